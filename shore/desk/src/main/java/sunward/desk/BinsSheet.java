package sunward.desk;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import sunward.planning.WireWords;
import sunward.protocol.plan.Digests;
import sunward.protocol.schema.Plan;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Codecs;

/** The bins of one spectral message, in words and units. */
final class BinsSheet {
    private static final double MILLI = 1e-3;
    private static final double CENTI = 1e-2;

    private BinsSheet() {}

    /** Adds the bins of a body to a sheet; the plan names heads and exposures if the message is of it. */
    static void describe(byte[] body, Plan plan, Sheet sheet) {
        BlockCodec codec = Codecs.ofBody(body);
        if (codec == null) {
            MessageSheet.problem(
                    sheet, "the spectra's codec is not known here, so they stay unread; use a later Sunward");
            return;
        }
        BlockHeader header = new BlockHeader();
        BlockCodec.Decoder decoder = codec.decoder(1024);
        if (decoder.begin(body, 0, body.length, header) != BlockCodec.Decoder.END) {
            MessageSheet.problem(sheet, "the spectra's header cannot be read, though the message is whole; report it");
            return;
        }
        boolean flown = header.planTag == ByteBuffer.wrap(Digests.of(plan)).getInt();
        List<String> names = MessageSheet.headNames(plan);
        String name =
                flown && header.head < names.size() ? "(" + names.get(header.head) + ")" : "(another plan names it)";
        double shortestMs = flown ? plan.getExposure().getShortestMs() : Double.NaN;
        sheet.heading("Bins of one head")
                .put("codec", "codec", header.codec, "")
                .put("head", "head", header.head, name)
                .put("samples", "samples in a bin", header.samples, "")
                .put("channels_per_sample", "channels in a sample", header.channelsPerSample, "")
                .put("gain_electrons_per_count", "gain", header.gainSixteenths / 16.0, 4, "electrons per count")
                .put("read_noise_counts", "noise of a scan without light", header.readNoiseQuarters / 4.0, 2, "counts")
                .put("plan_tag", "plan digest starts", tag(header.planTag))
                .put("calibration_tag", "calibration digest starts", tag(header.calibrationTag));
        List<Sheet.Row> rows = new ArrayList<>();
        BinRecord bin = new BinRecord(1024);
        int state = decoder.next(bin);
        while (state == BlockCodec.Decoder.BIN) {
            rows.add(row(bin, decoder.stepCode(), codec, shortestMs));
            state = decoder.next(bin);
        }
        sheet.say(
                "  head m: head below the port. out: scans left out. ms: exposure. tilt: degrees. antisun: azimuth of the"
                        + " head from the anti-solar\n  direction, degrees. rounding: the most that coding moved a value, in standard"
                        + " deviations of its noise;\n  of codec 2 what it moves a band of 10 nm by, rms. misfit: the most that it left in a cell of"
                        + " 4.5 nm, likewise. dark, least, most: counts.");
        sheet.table(
                "bins",
                List.of(
                        " bin",
                        "time UTC",
                        "port dbar",
                        "head m",
                        "used",
                        "out",
                        "shaded",
                        "  ms",
                        " tilt",
                        "antisun",
                        "dark",
                        "rounding",
                        "misfit",
                        "  least",
                        "   most",
                        "fallback"),
                rows);
        if (state == BlockCodec.Decoder.SPOILT) {
            MessageSheet.problem(
                    sheet,
                    "after bin row " + rows.size()
                            + " the spectra cannot be read, though the message is whole; report it");
        }
    }

    private static Sheet.Row row(BinRecord bin, int stepCode, BlockCodec codec, double shortestMs) {
        double unit = 1 << BinRecord.FRACTION_BITS;
        double least = Double.POSITIVE_INFINITY;
        double most = Double.NEGATIVE_INFINITY;
        ArrayNode counts = JsonNodeFactory.instance.arrayNode();
        for (int i = 0; i < bin.samples; i++) {
            double value = bin.counts[i] / unit;
            counts.add(value);
            least = Math.min(least, value);
            most = Math.max(most, value);
        }
        ArrayNode spread = JsonNodeFactory.instance.arrayNode();
        for (int value : bin.spread) {
            if (value == 65535) {
                spread.addNull();
            } else {
                spread.add(value * CENTI);
            }
        }
        return new Sheet.Row()
                .put("bin", bin.bin)
                .put(
                        "time_utc",
                        MessageSheet.time(bin.timeS),
                        MessageSheet.time(bin.timeS).substring(11, 19))
                .put("port_pressure_dbar", bin.pressureMdbar * MILLI, 3)
                .put("head_below_port_m", bin.offsetMm * MILLI, 3)
                .put("scans_used", bin.used)
                .put("scans_left_out", bin.rejected)
                .put("scans_shaded", bin.shadedScans)
                .put("exposure_ms", shortestMs * (1 << bin.exposureCode), 0)
                .put("tilt_deg", bin.tiltCdeg * CENTI, 2)
                .put(
                        "azimuth_from_antisun_deg",
                        bin.antisunDeg == BinRecord.ANTISUN_UNKNOWN ? Double.NaN : bin.antisunDeg,
                        0)
                .put("dark_counts", bin.darkCounts)
                .put(
                        codec.bandwise() ? "band_error_sigma" : "error_bound_sigma",
                        codec.errorBoundSigma(stepCode) / (codec.bandwise() ? Math.sqrt(3) : 1),
                        2)
                .put("misfit_sigma", codec.bandwise() ? misfit(bin) : Double.NaN, 1)
                .put("least_count", least, 1)
                .put("most_counts", most, 1)
                .put("fallback", WireWords.fallback(bin.fallback))
                .machine("exposure_code", JsonNodeFactory.instance.numberNode(bin.exposureCode))
                .machine("pass", JsonNodeFactory.instance.numberNode(bin.pass))
                .machine("shaded_class", JsonNodeFactory.instance.booleanNode(bin.shaded))
                .machine("mixed_exposure", JsonNodeFactory.instance.booleanNode(bin.mixedExposure))
                .machine("depth_sd_m", JsonNodeFactory.instance.numberNode(bin.depthSdMm * MILLI))
                .machine("dark_scans", JsonNodeFactory.instance.numberNode(bin.darkScans))
                .machine("spread_percent", spread)
                .machine("counts", counts);
    }

    private static double misfit(BinRecord bin) {
        return 5 * Math.pow(2, Arrays.stream(bin.misfit).max().orElse(0) / 2.0);
    }

    private static String tag(int value) {
        return String.format(Locale.ROOT, "%08x", value);
    }
}
