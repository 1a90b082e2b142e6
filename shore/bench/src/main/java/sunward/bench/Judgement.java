package sunward.bench;

import java.util.Arrays;
import java.util.List;
import sunward.protocol.spectra.BinRecord;

/**
 * How far decoded bins are from the float's own.
 *
 * @param bandSigmaP95 over bins, 95th percentile of the rms over bands of error over the band's own noise
 * @param worstSigma largest error of a sample over its own noise
 * @param surfaceExcessP95 95th percentile over bands and heads of the surface's error over its allowance, max(0.1 %, 0.3 of its own standard deviation)
 * @param surfacePercentP95 same of the surface's error, percent
 */
record Judgement(double bandSigmaP95, double worstSigma, double surfaceExcessP95, double surfacePercentP95) {
    private static final double SURFACE = 0.001;
    private static final double SURFACE_SIGMA = 0.3;

    boolean meetsBins() {
        return bandSigmaP95 <= 0.3 && surfaceExcessP95 <= 1;
    }

    boolean meetsSamples() {
        return worstSigma <= 1;
    }

    /** Judges decoded bins, which must be as many and in the same order. */
    static Judgement of(DiveBins own, DiveBins decoded) {
        if (own.bins().size() != decoded.bins().size()) {
            throw new IllegalArgumentException(
                    decoded.bins().size() + " bins decoded of " + own.bins().size());
        }
        Bands bands = own.bands();
        double[] rms = new double[own.bins().size()];
        double worst = 0;
        for (int i = 0; i < rms.length; i++) {
            BinRecord bin = own.bins().get(i);
            NoiseUnits units = own.units(bin);
            double[] error = new double[bin.samples];
            double[] variance = new double[bin.samples];
            for (int c = 0; c < bin.samples; c++) {
                error[c] = (decoded.bins().get(i).counts[c] - bin.counts[c]) / 64.0;
                variance[c] = units.variance(bin.counts[c] / 64.0) / bin.used;
                worst = Math.max(worst, Math.abs(error[c]) / Math.sqrt(variance[c]));
            }
            double sum = 0;
            for (int b = 0; b < Bands.COUNT; b++) {
                double e = bands.of(error, b);
                sum += e * e / bands.variance(variance, b);
            }
            rms[i] = Math.sqrt(sum / Bands.COUNT);
        }
        double[][] surface = surface(own, decoded);
        return new Judgement(
                percentile(rms, 0.95), worst, percentile(surface[0], 0.95), 100 * percentile(surface[1], 0.95));
    }

    private static double[][] surface(DiveBins own, DiveBins decoded) {
        double[] excess = new double[own.heads() * Bands.COUNT];
        double[] relative = new double[excess.length];
        int n = 0;
        for (int head = 0; head < own.heads(); head++) {
            List<SurfaceJudge.Found> is = decoded.surface(head);
            List<SurfaceJudge.Found> was = own.surface(head);
            for (int b = 0; b < Bands.COUNT; b++) {
                SurfaceJudge.Found o = was.get(b);
                if (o == null || o.noise() > 0.3) {
                    continue; // nothing to be seen at the surface
                }
                SurfaceJudge.Found d = is.get(b);
                relative[n] = d == null ? 1 : Math.abs(Math.expm1(d.logSurface() - o.logSurface()));
                excess[n] = relative[n] / Math.max(SURFACE, SURFACE_SIGMA * o.noise());
                n++;
            }
        }
        return new double[][] {Arrays.copyOf(excess, n), Arrays.copyOf(relative, n)};
    }

    /** Smallest value that this share of all does not exceed; 0 of none. */
    static double percentile(double[] values, double share) {
        double[] sorted = values.clone();
        Arrays.sort(sorted);
        return sorted.length == 0 ? 0 : sorted[(int) Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)];
    }
}
