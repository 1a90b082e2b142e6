package sunward.protocol.message;

import java.util.Arrays;
import java.util.Locale;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Codecs;
import sunward.protocol.spectra.FirstLook;
import sunward.protocol.spectra.FirstLookCodec;
import sunward.protocol.spectra.Outline;
import sunward.protocol.spectra.OutlineCodec;
import sunward.protocol.spectra.OutlineModel;

/** Contents of bodies as lines of a vector's file. */
final class VectorText {
    private VectorText() {}

    /** What a decoder must give back of a body, nothing for blocks whose bodies have no decoder here. */
    static String decoded(Message m) {
        if (m.kind() != Kind.DIVE) {
            return "";
        }
        if (m.block() == BlockType.BINS.number()) {
            return decodedBins(m.body());
        }
        if (m.block() == BlockType.FIRST_LOOK.number()) {
            return decodedLook(m.body());
        }
        return m.block() == BlockType.OUTLINE.number() ? decodedOutline(m.body()) : "";
    }

    static String header(BlockHeader h) {
        return String.format(
                Locale.ROOT,
                "block header = codec %d, head %d, samples %d, channels_per_sample %d, gain_sixteenths %d,"
                        + " read_noise_quarters %d, calibration_tag %08x, plan_tag %08x\n",
                h.codec,
                h.head,
                h.samples,
                h.channelsPerSample,
                h.gainSixteenths,
                h.readNoiseQuarters,
                h.calibrationTag,
                h.planTag);
    }

    static String text(BinRecord b, int stepCode) {
        String counts =
                IntStream.range(0, b.samples).mapToObj(i -> " " + b.counts[i]).collect(Collectors.joining());
        return String.format(
                Locale.ROOT,
                "step_code %d, bin %d, pass %d, shaded %b, exposure_code %d, mixed_exposure %b, used %d, rejected %d,"
                        + " shaded_scans %d, pressure_mdbar %d, time_s %d, offset_mm %d, depth_sd_mm %d, tilt_cdeg %d,"
                        + " antisun_deg %d, fallback %d, dark_counts %d, dark_scans %d, spread %d %d %d, counts%s\n",
                stepCode,
                b.bin,
                b.pass,
                b.shaded,
                b.exposureCode,
                b.mixedExposure,
                b.used,
                b.rejected,
                b.shadedScans,
                b.pressureMdbar,
                b.timeS,
                b.offsetMm,
                b.depthSdMm,
                b.tiltCdeg,
                b.antisunDeg,
                b.fallback,
                b.darkCounts,
                b.darkScans,
                b.spread[0],
                b.spread[1],
                b.spread[2],
                counts);
    }

    static String text(FirstLook look) {
        String place = look.placeKnown
                ? "latitude_cdeg " + look.latitudeCdeg + ", longitude_cdeg " + look.longitudeCdeg
                : "place not known";
        StringBuilder text = new StringBuilder(String.format(
                Locale.ROOT,
                "first look = surfaced_s %d, %s, %s, messages %d, repair %d\n",
                look.surfacedS,
                place,
                look.tareKnown ? "tare_mdbar " + look.tareMdbar : "tare not known",
                look.messagesPlanned,
                look.repairMessages));
        for (int h = 0; h < look.heads; h++) {
            FirstLook.Head head = look.head(h);
            text.append(String.format(
                    Locale.ROOT,
                    "first look head %d = bins %d, top_cm %d, bottom_cm %d, effective_bins %s, scatter %s, misfit %s,"
                            + " surface_sd %s, attenuation_sd %s\n",
                    head.number,
                    head.bins,
                    head.topCm,
                    head.bottomCm,
                    Arrays.toString(head.effectiveBins),
                    Arrays.toString(head.scatter),
                    Arrays.toString(head.misfitPercent),
                    Arrays.toString(head.surfaceSd),
                    Arrays.toString(head.attenuationSd)));
            text.append("first look head ").append(head.number).append(" spectra =");
            for (int i = 0; i < head.samples; i++) {
                text.append(head.lit[i] ? " " + head.logSurface[i] + "/" + head.logAttenuation[i] : " dark");
            }
            text.append('\n');
        }
        return text.toString();
    }

    static String text(Outline o, double[][] coefficients) {
        StringBuilder text = new StringBuilder(String.format(
                Locale.ROOT,
                "outline = samples %d, heads %s, knots %d\n",
                o.samples,
                Arrays.toString(Arrays.copyOf(o.head, o.heads)),
                o.knots));
        for (int j = 0; j < o.knots; j++) {
            text.append(String.format(
                    Locale.ROOT,
                    "outline knot %d = depth_cm %d, exposure_code %d, scatter %d, misfit_tenths %d,"
                            + " misfit_band %d, coefficients",
                    j,
                    o.knotCm[j],
                    o.exposureCode[j],
                    o.scatter[j],
                    o.misfitTenths[j],
                    o.misfitBand[j]));
            for (double coefficient : coefficients[j]) {
                text.append(String.format(Locale.ROOT, " %.9f", coefficient));
            }
            text.append('\n');
        }
        for (int g = 0; g < Outline.GROUPS; g++) {
            text.append("outline novelty ")
                    .append(g)
                    .append(" = ")
                    .append(Arrays.toString(o.novelty[g]))
                    .append('\n');
        }
        for (int h = 0; h < o.heads; h++) {
            text.append("outline response ")
                    .append(h)
                    .append(" = ")
                    .append(Arrays.toString(o.response[h]))
                    .append('\n');
        }
        return text.toString();
    }

    private static String decodedBins(byte[] body) {
        BlockCodec.Decoder decoder = Codecs.ofBody(body).decoder(1024);
        BlockHeader header = new BlockHeader();
        int state = decoder.begin(body, 0, body.length, header);
        StringBuilder text = new StringBuilder(header(header));
        BinRecord bin = new BinRecord(1024);
        for (int n = 0; state != BlockCodec.Decoder.SPOILT; n++) {
            state = decoder.next(bin);
            if (state == BlockCodec.Decoder.END) {
                return text.append("end = well\n").toString();
            }
            if (state == BlockCodec.Decoder.BIN) {
                text.append("bin ").append(n).append(" = ").append(text(bin, decoder.stepCode()));
                if (header.codec == 2) {
                    text.append("bin ").append(n).append(" misfit = ");
                    text.append(Arrays.toString(bin.misfit)).append('\n');
                }
            }
        }
        return text.append("end = spoilt\n").toString();
    }

    private static String decodedLook(byte[] body) {
        BlockHeader header = new BlockHeader();
        FirstLook look = new FirstLook(FirstLook.MAX_HEADS, 1024);
        boolean sound = new FirstLookCodec(1024).decode(body, 0, body.length, header, look);
        return header(header) + (sound ? text(look) + "end = well\n" : "end = spoilt\n");
    }

    private static String decodedOutline(byte[] body) {
        BlockHeader header = new BlockHeader();
        Outline outline = new Outline();
        boolean sound = new OutlineCodec(new OutlineModel()).decode(body, 0, body.length, header, outline);
        return header(header) + (sound ? text(outline, outline.coefficient) + "end = well\n" : "end = spoilt\n");
    }
}
