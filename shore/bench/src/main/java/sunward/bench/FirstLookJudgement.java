package sunward.bench;

import java.util.Arrays;
import java.util.List;
import sunward.protocol.message.BlockType;
import sunward.protocol.spectra.FirstLook;

/**
 * How far a first look, read from its one message alone, is from the judge's fit on the float's own bins.
 *
 * @param bytes length of the message
 * @param surfacePercentP95 over bands and heads, 95th percentile
 * @param attenuationPercentP95 same of K
 * @param missing bands that the judge has and the message has not
 */
record FirstLookJudgement(int bytes, double surfacePercentP95, double attenuationPercentP95, int missing) {
    private static final int LEVELS = 40;
    private static final int USUAL_SCANS = 6;

    boolean meets() {
        return bytes <= OwnCodec.MESSAGE_BYTES
                && missing == 0
                && surfacePercentP95 <= 0.5
                && attenuationPercentP95 <= 1;
    }

    /** The first look of a dive's own messages, or null. */
    static byte[] message(DiveBins dive) {
        return dive.message(BlockType.FIRST_LOOK);
    }

    /** Judges what came out of a message of so many bytes. */
    static FirstLookJudgement of(DiveBins dive, int bytes, DecodedFiles.Look decoded) {
        FirstLook look = decoded.look();
        int group = decoded.channelsPerSample();
        double[] surface = new double[look.heads * Bands.COUNT];
        double[] attenuation = new double[surface.length];
        int n = 0;
        int missing = 0;
        double[] nm = dive.channelNm().stream().mapToDouble(w -> w).toArray();
        // Averaging channels into a sample smooths once, spreading the sample over its channels again.
        double sampleNm = (nm[1] - nm[0]) * group;
        Bands bands = new Bands(nm, 2 * sampleNm * sampleNm / 12);
        for (int h = 0; h < look.heads; h++) {
            FirstLook.Head head = look.head(h);
            int channels = dive.channelNm().size();
            double[] dark = new double[channels];
            for (int c = 0; c < channels; c++) {
                dark[c] = head.lit[c / group] ? 0 : 1;
            }
            List<SurfaceJudge.Found> judged = dive.surface(head.number);
            for (int b = 0; b < Bands.COUNT; b++) {
                SurfaceJudge.Found own = judged.get(b);
                if (own == null || own.noise() > 0.3) {
                    continue;
                }
                if (bands.of(dark, b) > 0.05) {
                    missing++;
                    continue;
                }
                SurfaceJudge.Found told = told(head, group, bands, b, channels);
                surface[n] = 100 * Math.abs(Math.expm1(told.logSurface() - own.logSurface()));
                attenuation[n] = 100 * Math.abs(told.attenuationPerM() / own.attenuationPerM() - 1);
                n++;
            }
        }
        return new FirstLookJudgement(
                bytes,
                Judgement.percentile(Arrays.copyOf(surface, n), 0.95),
                Judgement.percentile(Arrays.copyOf(attenuation, n), 0.95),
                missing);
    }

    /** The judge's fit through the profile that the message tells of, at even depths over its interval. */
    static SurfaceJudge.Found told(FirstLook.Head head, int group, Bands bands, int band, int channels) {
        double top = head.topCm / 100.0;
        double[] z = new double[LEVELS];
        double[] y = new double[LEVELS];
        double[] none = new double[LEVELS];
        int[] scans = new int[LEVELS];
        double[] spectrum = new double[channels];
        for (int i = 0; i < LEVELS; i++) {
            z[i] = top + (head.bottomCm / 100.0 - top) * i / (LEVELS - 1);
            scans[i] = USUAL_SCANS;
            for (int c = 0; c < channels; c++) {
                int sample = c / group;
                double drop = Math.exp(head.logAttenuation[sample] / (double) FirstLook.LOG_ONE) * z[i];
                spectrum[c] = Math.exp(head.logSurface[sample] / (double) FirstLook.LOG_ONE - drop);
            }
            y[i] = bands.of(spectrum, band);
        }
        return SurfaceJudge.fit(z, y, none, none, scans);
    }
}
