package sunward.desk;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import sunward.planning.CardProof;

/** What the card of a recovered float says of the messages received. */
final class CardSheet {
    private static final int POSITIONS_SHOWN = 20;

    private CardSheet() {}

    static Sheet of(CardProof proof) {
        Sheet sheet = new Sheet()
                .say(verdict(proof))
                .put("float_number", "float", proof.floatNumber(), "")
                .put("dive", "dive", proof.dive(), "")
                .put("messages_made", "messages made from the card", proof.made(), "")
                .put(
                        "messages_confirmed",
                        "received and the same",
                        proof.confirmed().size(),
                        "")
                .put(
                        "messages_differing",
                        "received and not the same",
                        proof.differing().size(),
                        "")
                .put(
                        "messages_not_received",
                        "not received",
                        proof.notReceived().size(),
                        "")
                .machine("positions_differing", array(proof.differing()))
                .machine("positions_not_received", array(proof.notReceived()))
                .put("confirms", "the card confirms", proof.confirms());
        if (!proof.differing().isEmpty()) {
            sheet.say("  positions that differ: " + positions(proof.differing()));
        }
        sheet.put("scans", "scans on the card", proof.scans(), "")
                .put(
                        "scans_exposed_otherwise",
                        "of them exposed otherwise than now",
                        proof.otherExposures(),
                        "scans; 0 when plan and firmware are the float's")
                .heading("What telemetry left out")
                .put("bins_made", "bins made on the float", proof.binsMade(), "")
                .put("bins_received", "bins in hand from messages", proof.binsReceived(), "")
                .put("channels", "channels on the card", proof.channels(), "")
                .put("channels_per_sample", "channels averaged on the wire", proof.channelsPerSample(), "")
                .put(
                        "misfit_rms_sigma",
                        "samples off by",
                        proof.misfitRms(),
                        2,
                        "of their standard uncertainty (noise and rounding), rms")
                .put("misfit_worst_sigma", "the worst of them by", proof.misfitWorst(), 2, "of it");
        List<Sheet.Row> rows = new ArrayList<>();
        for (CardProof.Radiance one : proof.surface()) {
            rows.add(new Sheet.Row()
                    .put("wavelength_nm", one.wavelengthNm())
                    .put("lw_received_w_per_m2_nm_sr", one.received(), 6)
                    .put("u_received_percent", one.receivedPercent(), 2)
                    .put("lw_card_w_per_m2_nm_sr", one.card(), 6)
                    .put("u_card_percent", one.cardPercent(), 2)
                    .put("difference_percent", 100 * (one.received() / one.card() - 1), 2));
        }
        return sheet.heading("Water-leaving radiance, W m-2 nm-1 sr-1, and its standard uncertainty")
                .table(
                        "surface",
                        List.of("  nm", "from messages", "u, %", "from the card", "u, %", "difference, %"),
                        rows);
    }

    private static String verdict(CardProof proof) {
        if (proof.confirms()) {
            return "The card confirms the dive: every message received is one that the float's firmware makes of its scans.";
        }
        return proof.differing().size() + " of "
                + (proof.differing().size() + proof.confirmed().size())
                + " positions received are NOT what the firmware makes of this card; check that card, plan in force, calibration"
                + " and key are those of this float and dive.";
    }

    private static String positions(List<Integer> positions) {
        String shown =
                positions.stream().limit(POSITIONS_SHOWN).map(String::valueOf).collect(Collectors.joining(", "));
        return positions.size() <= POSITIONS_SHOWN
                ? shown
                : shown + " and " + (positions.size() - POSITIONS_SHOWN) + " more";
    }

    private static ArrayNode array(List<Integer> positions) {
        ArrayNode array = JsonNodeFactory.instance.arrayNode();
        positions.forEach(array::add);
        return array;
    }
}
