package sunward.desk;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import sunward.profiles.DiveProduct;
import sunward.profiles.Gap;
import sunward.profiles.SurfaceRadiance;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;

/** What shore made of one dive, in short. */
final class DiveSheet {
    private static final Instant EPOCH = Instant.parse("2000-01-01T00:00:00Z");

    /** Where people look first, nm. */
    private static final double[] SHOWN_NM = {412, 443, 490, 510, 555, 620, 670};

    private DiveSheet() {}

    /**
     * The sheet of a product.
     *
     * @param accepted the messages that it was made from, with any of other dives
     * @param headNames names of the plan's heads
     */
    static Sheet of(DiveProduct product, List<Message> accepted, List<String> headNames) {
        long repaired = product.messages() - arrived(product, accepted);
        Sheet sheet = new Sheet();
        if (product.simulated()) {
            sheet.say("SIMULATED: nothing in this dive was measured at sea.");
        }
        sheet.put("float_number", "float", product.floatNumber(), "")
                .put("dive", "dive", product.dive(), "")
                .put("simulated", "simulated", product.simulated())
                .put("sealed", "sealed", !product.unsealed())
                .put("messages", "data messages in use", product.messages(), "")
                .put("messages_repaired", "of them made good by repair", repaired, "");
        if (product.messagesPlanned() > 0) {
            sheet.put("messages_planned", "data messages of the dive", product.messagesPlanned(), "");
        } else {
            sheet.put("messages_planned", "data messages of the dive", null);
        }
        sheet.put("surfaced_utc", "surfaced", time(product.place().timeS()))
                .put("latitude_deg", "latitude", product.place().latitudeDeg(), 4, "degrees")
                .put("longitude_deg", "longitude", product.place().longitudeDeg(), 4, "degrees")
                .put("bins", "bins", product.profile().bins().size(), "")
                .put("gaps", "gaps", product.profile().gaps().size(), "");
        gaps(product, headNames, sheet);
        ArrayNode reasons = JsonNodeFactory.instance.arrayNode();
        product.reasons().forEach(reasons::add);
        sheet.machine("reasons", reasons);
        if (!product.reasons().isEmpty()) {
            sheet.heading("To know before use");
            product.reasons().forEach(reason -> sheet.say("  " + reason));
        }
        if (product.surface() != null) {
            surface(product.surface(), sheet);
        }
        return sheet;
    }

    private static void gaps(DiveProduct product, List<String> headNames, Sheet sheet) {
        List<Sheet.Row> rows = new ArrayList<>();
        for (Gap gap : product.profile().gaps()) {
            rows.add(new Sheet.Row()
                    .put("head", headNames.get(gap.head()))
                    .put("from_dbar", gap.fromDbar(), 2)
                    .put("to_dbar", gap.toDbar(), 2)
                    .put("cause", gap.cause().words()));
        }
        if (rows.isEmpty()) {
            sheet.machine("gap_list", JsonNodeFactory.instance.arrayNode());
        } else {
            sheet.heading("Gaps")
                    .table(
                            "gap_list",
                            List.of("head", "from dbar", "  to dbar", "                           cause"),
                            rows);
        }
    }

    private static void surface(SurfaceRadiance surface, Sheet sheet) {
        List<Sheet.Row> rows = new ArrayList<>();
        for (double shown : SHOWN_NM) {
            int k = nearest(surface, shown);
            if (k >= 0) {
                rows.add(new Sheet.Row()
                        .put("wavelength_nm", surface.wavelengthNm().at(k), 2)
                        .put("lw_w_per_m2_nm_sr", surface.lw().at(k), 6)
                        .put(
                                "lw_half_width_95_percent",
                                100
                                        * SurfaceRadiance.COVERAGE_FACTOR
                                        * surface.lwRelative().at(k),
                                1)
                        .put("rrs_per_sr", surface.rrs().at(k), 6)
                        .put("reason", surface.missing().get(k)));
            }
        }
        sheet.heading("Water-leaving radiance")
                .table(
                        "surface",
                        List.of(
                                "wavelength nm",
                                "Lw W m-2 nm-1 sr-1",
                                "95 % interval +- %",
                                "Rrs sr-1 ",
                                "why missing"),
                        rows);
    }

    /** Distinct messages of data that arrived and are in use. */
    private static long arrived(DiveProduct product, List<Message> accepted) {
        return accepted.stream()
                .filter(m -> m.kind() == Kind.DIVE && m.dive() == product.dive())
                .filter(m -> m.floatNumber() == product.floatNumber())
                .map(Message::position)
                .filter(position -> !product.conflicts().contains(position))
                .distinct()
                .count();
    }

    /** The nearest wavelength within 5 nm, or -1. */
    private static int nearest(SurfaceRadiance surface, double shownNm) {
        int best = -1;
        double least = 5;
        for (int k = 0; k < surface.wavelengthNm().size(); k++) {
            double distance = Math.abs(surface.wavelengthNm().at(k) - shownNm);
            if (distance < least) {
                least = distance;
                best = k;
            }
        }
        return best;
    }

    private static String time(double seconds) {
        return Double.isNaN(seconds)
                ? null
                : EPOCH.plusSeconds(Math.round(seconds)).toString();
    }
}
