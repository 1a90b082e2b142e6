package sunward.bench;

import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import sunward.protocol.spectra.BinRecord;

/**
 * How far spectra are from the truth: the same dive without noise and waves. Bands of bins that both dives made of the same
 * scans count.
 *
 * @param sigma rms over bins and bands, in the noise of the bin's band
 * @param percent median over bins and bands that have light (noise below 1 %)
 */
record TruthError(double sigma, double percent) {
    private static final double LIT = 0.01;
    private static final int SAME_MDBAR = 2;

    /**
     * Judges.
     *
     * @param told counts of every channel of every bin of {@code dive}, in the bins' exposure and order
     * @param smoothedNm2 variance of the smoothing that they had, nm^2
     */
    static TruthError of(DiveBins dive, DiveBins truth, List<double[]> told, double smoothedNm2) {
        Bands bands = dive.bands();
        Bands narrower =
                new Bands(dive.channelNm().stream().mapToDouble(nm -> nm).toArray(), smoothedNm2);
        NoiseUnits units = dive.units();
        Map<List<Integer>, BinRecord> really = new HashMap<>();
        truth.bins().forEach(b -> really.put(key(b), b));
        double[] relative = new double[dive.bins().size() * Bands.COUNT];
        int lit = 0;
        int n = 0;
        double sum = 0;
        for (int i = 0; i < dive.bins().size(); i++) {
            BinRecord bin = dive.bins().get(i);
            BinRecord is = really.get(key(bin));
            if (bin.shaded
                    || is == null
                    || is.used != bin.used
                    || is.samples != bin.samples
                    || Math.abs(is.pressureMdbar - bin.pressureMdbar) > SAME_MDBAR) {
                continue;
            }
            double scale = dive.exposureS(bin) / truth.exposureS(is);
            double[] real = new double[bin.samples];
            double[] variance = new double[bin.samples];
            for (int c = 0; c < bin.samples; c++) {
                real[c] = is.counts[c] / 64.0 * scale;
                variance[c] = units.variance(real[c]) / bin.used;
            }
            for (int b = 0; b < Bands.COUNT; b++) {
                double sd = Math.sqrt(bands.variance(variance, b));
                double level = bands.of(real, b);
                double off = narrower.of(told.get(i), b) - level;
                sum += off * off / (sd * sd);
                n++;
                if (level > 0 && sd / level < LIT) {
                    relative[lit++] = 100 * Math.abs(off) / level;
                }
            }
        }
        return new TruthError(Math.sqrt(sum / n), Judgement.percentile(Arrays.copyOf(relative, lit), 0.5));
    }

    private static List<Integer> key(BinRecord b) {
        return List.of(b.head, b.bin, b.pass, b.shaded ? 1 : 0);
    }
}
