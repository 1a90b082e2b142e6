package sunward.desk;

import com.google.protobuf.InvalidProtocolBufferException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import sunward.profiles.WaterReadings;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.RepairGroup;
import sunward.protocol.plan.Digests;
import sunward.protocol.schema.AncillaryProfile;
import sunward.protocol.schema.Head;
import sunward.protocol.schema.Ledger;
import sunward.protocol.schema.Plan;

/** One accepted message, field by field, in words and units. */
final class MessageSheet {
    private static final Instant EPOCH = Instant.parse("2000-01-01T00:00:00Z");

    private final Plan plan;
    private final Sheet sheet;

    private MessageSheet(Plan plan, Sheet sheet) {
        this.plan = plan;
        this.sheet = sheet;
    }

    /** Adds header and body of a message to a sheet; the plan names heads and exposures if the message is of it. */
    static void describe(Message message, Plan plan, Sheet sheet) {
        MessageSheet own = new MessageSheet(plan, sheet);
        own.header(message);
        own.body(message);
    }

    private void header(Message message) {
        BlockType block = message.kind() == Kind.DIVE ? BlockType.ofNumber(message.block()) : null;
        sheet.put("version", "wire version", message.version(), "")
                .put("kind", "kind", word(message.kind()))
                .put("simulated", "simulated", message.simulated())
                .put("sealed", "sealed", !message.unsealed())
                .put("float_number", "float", message.floatNumber(), "")
                .put("dive", "dive", message.dive(), "")
                .put("position", "position in the dive", message.position(), "")
                .put("block", "block", block == null ? "number " + message.block() : word(block))
                .put("part", "part of the block", message.part(), "")
                .put("bytes", "length", message.bytes().length, "bytes")
                .put(
                        "overhead_bytes",
                        "of it header and seal",
                        (long) message.bytes().length - message.bodyLength(),
                        "bytes");
        if (message.simulated()) {
            sheet.say("  SIMULATED: a simulator made this message; nothing in it was measured at sea.");
        }
        if (message.unsealed()) {
            sheet.say("  UNSEALED: only a checksum protects this message; anyone could have made it.");
        }
    }

    private void body(Message message) {
        BlockType block = message.kind() == Kind.DIVE ? BlockType.ofNumber(message.block()) : null;
        try {
            if (block == BlockType.LEDGER) {
                Ledger ledger = Ledger.parseFrom(message.body());
                LedgerSheet.describe(ledger, flew(ledger) ? headNames(plan) : List.of(), sheet);
            } else if (block == BlockType.ANCILLARY) {
                ancillary(AncillaryProfile.parseFrom(message.body()));
            } else if (block == BlockType.FIRST_LOOK) {
                FirstLookSheet.describe(message.body(), sheet);
            } else if (block == BlockType.OUTLINE) {
                OutlineSheet.describe(message.body(), sheet);
            } else if (block == BlockType.BINS) {
                BinsSheet.describe(message.body(), plan, sheet);
            } else if (message.kind() == Kind.ORDER) {
                OrderSheet.order(message.body(), sheet);
            } else if (message.kind() == Kind.RECEIPT) {
                OrderSheet.receipt(message.body(), sheet);
            } else if (message.group() != null) {
                RepairGroup group = message.group();
                sheet.heading("Repair message")
                        .put("group_first", "protects the messages from", group.firstPosition(), "")
                        .put("group_last", "to", group.firstPosition() + group.messages() - 1, "");
            } else {
                raw(message.body());
            }
        } catch (InvalidProtocolBufferException e) {
            problem(
                    sheet,
                    "the body is not what a " + (block == null ? word(message.kind()) : word(block) + " block")
                            + " holds, though the message is whole; report it");
        }
    }

    private boolean flew(Ledger ledger) {
        byte[] start = ledger.getPlanDigest().toByteArray();
        return start.length > 0 && Arrays.equals(start, Arrays.copyOf(Digests.of(plan), start.length));
    }

    /** Names of a plan's heads, by number. */
    static List<String> headNames(Plan plan) {
        return plan.getHeadsList().stream().map(Head::getName).toList();
    }

    /** Says what keeps the body of a whole message from being read. */
    static void problem(Sheet sheet, String sentence) {
        sheet.put("body_problem", "problem", sentence);
    }

    private void raw(byte[] body) {
        sheet.heading("Body, not read further by this version")
                .put("body_hex", "bytes in hexadecimal", HexFormat.of().formatHex(body));
    }

    private void ancillary(AncillaryProfile profile) {
        List<Sheet.Row> levels = new ArrayList<>();
        for (WaterReadings.Level level : WaterReadings.levels(profile)) {
            levels.add(new Sheet.Row()
                    .put("pressure_dbar", level.pressureDbar(), 2)
                    .put("temperature_degc", level.temperatureDegC(), 3)
                    .put("practical_salinity", level.salinity(), 3)
                    .put("chlorophyll_mg_per_m3", level.chlorophyllMgPerM3(), 3)
                    .put("backscatter_per_m", level.backscatterPerM(), 6));
        }
        sheet.heading("The water (raw port pressure; chlorophyll by fluorescence, backscatter of particles at 700 nm)")
                .table(
                        "levels",
                        List.of(
                                "pressure dbar",
                                "temperature degC",
                                "practical salinity",
                                "chlorophyll mg m-3",
                                "backscatter m-1"),
                        levels);
        List<Sheet.Row> layers = new ArrayList<>();
        for (WaterReadings.Layer layer : WaterReadings.layers(List.of(profile))) {
            layers.add(new Sheet.Row()
                    .put("from_dbar", layer.fromDbar(), 0)
                    .put("readings", layer.readings())
                    .put("tilt_mean_deg", layer.tiltMeanDeg(), 1)
                    .put("tilt_sd_deg", layer.tiltSdDeg(), 1)
                    .put("tilt_most_deg", layer.tiltMostDeg(), 1)
                    .put("heading_mean_deg", layer.headingDeg(), 0)
                    .put("heading_length", layer.headingLength(), 2)
                    .put("turned_deg", layer.turnedDeg(), 0));
        }
        sheet.heading("How the float hung and turned, in layers to the next one's start (every other layer a message)")
                .table(
                        "layers",
                        List.of(
                                "from dbar",
                                "readings",
                                "mean tilt deg",
                                "its s.d.",
                                "largest",
                                "mean heading deg",
                                "steadiness 0-1",
                                "turned deg"),
                        layers);
        List<Sheet.Row> successions = new ArrayList<>();
        for (WaterReadings.Succession layer : WaterReadings.successions(List.of(profile))) {
            successions.add(new Sheet.Row()
                    .put("from_dbar", layer.fromDbar(), 0)
                    .put("pairs", layer.pairs())
                    .put("correlation_lower", layer.ofBand().get(0), 2)
                    .put("correlation_middle", layer.ofBand().get(1), 2)
                    .put("correlation_upper", layer.ofBand().get(2), 2));
        }
        sheet.heading("Brightness from one scan to the next: its correlation, by thirds of the channels")
                .table(
                        "successions",
                        List.of("from dbar", "pairs of scans", "lower third", "middle third", "upper third"),
                        successions);
    }

    private static String word(Enum<?> value) {
        return value.name().toLowerCase(Locale.ROOT).replace('_', ' ');
    }

    /** Seconds since 2000 as UTC text; unsigned 32 bits on the wire. */
    static String time(long seconds) {
        return EPOCH.plusSeconds(seconds & 0xffff_ffffL).toString();
    }
}
