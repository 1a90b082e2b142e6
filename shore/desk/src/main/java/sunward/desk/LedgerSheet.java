package sunward.desk;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import sunward.planning.WireWords;
import sunward.protocol.schema.Fix;
import sunward.protocol.schema.HeadCounts;
import sunward.protocol.schema.Ledger;

/** The dive's record of itself, in words and units. */
final class LedgerSheet {
    private static final double E5 = 1e-5;
    private static final double MILLI = 1e-3;
    private static final double CENTI = 1e-2;
    private static final String[] PHASES = {"pump", "heads", "sensors", "computer", "modem", "between dives"};

    private LedgerSheet() {}

    /** Adds the ledger's fields to a sheet; the names of the heads are empty where the plan is not known. */
    static void describe(Ledger ledger, List<String> names, Sheet sheet) {
        sheet.heading("Ledger: the dive's record of itself")
                .put("profile_start_utc", "profile started", MessageSheet.time(ledger.getProfileStartS()))
                .put("surfaced_utc", "surfaced", MessageSheet.time(ledger.getSurfacedS()))
                .put(
                        "tare_before_dbar",
                        "pressure in air, before",
                        ledger.hasTareBeforeMdbar() ? ledger.getTareBeforeMdbar() * MILLI : Double.NaN,
                        3,
                        "dbar")
                .put(
                        "tare_after_dbar",
                        "pressure in air, after",
                        ledger.hasTareAfterMdbar() ? ledger.getTareAfterMdbar() * MILLI : Double.NaN,
                        3,
                        "dbar")
                .put(
                        "declination_deg",
                        "declination in use",
                        ledger.getDeclinationCdeg() * CENTI,
                        2,
                        "degrees, east positive")
                .put(
                        "declination_date",
                        "declination dated",
                        MessageSheet.time(86_400L * ledger.getDeclinationDay()).substring(0, 10))
                .put(
                        "plan_digest_start",
                        "plan digest starts",
                        hex(ledger.getPlanDigest().toByteArray()))
                .put(
                        "calibration_digest_start",
                        "calibration digest starts",
                        hex(ledger.getCalibrationDigest().toByteArray()))
                .put("messages_planned", "messages of the dive", ledger.getMessagesPlanned(), "")
                .put("channels_per_sample", "channels in a sample", ledger.getChannelsPerSample(), "")
                .put("unsent", "left unsent", WireWords.unsent(ledger.getUnsentReason()));
        List<Sheet.Row> energy = new ArrayList<>();
        for (int i = 0; i < ledger.getEnergyJCount(); i++) {
            String phase = i < PHASES.length ? PHASES[i] : "phase " + i;
            energy.add(
                    new Sheet.Row().put("phase", phase).put("energy_j", Integer.toUnsignedLong(ledger.getEnergyJ(i))));
        }
        sheet.heading("Energy");
        if (ledger.hasBatteryPercent()) {
            sheet.put("battery_percent", "battery", Integer.toUnsignedLong(ledger.getBatteryPercent()), "%")
                    .put(
                            "dives_left",
                            "dives left",
                            Integer.toUnsignedLong(ledger.getDivesLeft()),
                            "like this one, down to the reserve");
        }
        sheet.table("energy", List.of("   phase", "     J"), energy);
        sheet.heading("Fixes")
                .table(
                        "fixes",
                        List.of("                 time", "latitude deg", "longitude deg"),
                        ledger.getFixesList().stream().map(LedgerSheet::fix).toList());
        sheet.heading("Scans and bins by head" + (names.isEmpty() ? "" : " (" + numbered(names) + ")"))
                .table(
                        "heads",
                        List.of(
                                "head",
                                "light scans",
                                "dark",
                                "saturated",
                                "tilted",
                                "shaded",
                                "preferred",
                                "bins made",
                                "bins sent"),
                        ledger.getHeadsList().stream().map(LedgerSheet::head).toList());
        List<Sheet.Row> fallbacks = new ArrayList<>();
        for (int i = 0; i < ledger.getFallbackScansCount(); i++) {
            if (ledger.getFallbackScans(i) != 0) {
                fallbacks.add(new Sheet.Row()
                        .put("fallback", WireWords.fallback(i))
                        .put("scans", Integer.toUnsignedLong(ledger.getFallbackScans(i))));
            }
        }
        sheet.heading("Fallbacks of the head choice")
                .table("fallbacks", List.of("           fallback", "scans"), fallbacks);
        ArrayNode faults = JsonNodeFactory.instance.arrayNode();
        ledger.getFaultsList().forEach(fault -> faults.add(WireWords.fault(fault)));
        sheet.machine("faults", faults);
        if (ledger.getScansDropped() != 0) {
            sheet.put(
                    "scans_dropped",
                    "scans that made room in memory",
                    Integer.toUnsignedLong(ledger.getScansDropped()),
                    "");
        }
        if (ledger.getFaultsCount() > 0) {
            sheet.say("  faults: "
                    + String.join(
                            ", ",
                            ledger.getFaultsList().stream()
                                    .map(WireWords::fault)
                                    .toList()));
        }
    }

    private static String numbered(List<String> names) {
        return IntStream.range(0, names.size())
                .mapToObj(head -> head + ": " + names.get(head))
                .collect(Collectors.joining(", "));
    }

    private static Sheet.Row fix(Fix fix) {
        return new Sheet.Row()
                .put("time_utc", MessageSheet.time(fix.getTimeS()))
                .put("latitude_deg", fix.getLatitudeE5() * E5, 5)
                .put("longitude_deg", fix.getLongitudeE5() * E5, 5);
    }

    private static Sheet.Row head(HeadCounts head) {
        return new Sheet.Row()
                .put("head", head.getHead())
                .put("light_scans", head.getLightScans())
                .put("dark_scans", head.getDarkScans())
                .put("saturated_scans", head.getSaturatedScans())
                .put("tilted_scans", head.getTiltedScans())
                .put("shaded_scans", head.getShadedScans())
                .put("preferred_scans", head.getPreferredScans())
                .put("bins_made", head.getBinsMade())
                .put("bins_sent", head.getBinsSent());
    }

    private static String hex(byte[] bytes) {
        return bytes.length == 0 ? null : HexFormat.of().formatHex(bytes);
    }
}
