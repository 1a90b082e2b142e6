package sunward.bench;

/**
 * The frozen judge of surface and attenuation, named <em>one-exponential fit, 1</em>: for one head and band, ln of the
 * radiance just below the surface a and the attenuation K of L = exp(a - K z), z the aperture's depth as raw port pressure
 * plus offset (one dbar taken as one metre, no tare), over the clear bins of 0 to 20 m, by Gauss-Newton steps on
 * untransformed counts per second. A bin's variance is taken at the model: band noise, plus the squares of
 * (0.02 exp(-z/8) + 0.002) / sqrt(max(1, scans/3)) for waves and 0.01 (exp(2 K z) - 1), K z held to 20, for what one exponential
 * cannot follow (inelastic light falls more slowly, so its share grows with every e-folding), both times the model. Start: a from the uppermost bin, K 0.1 per m; 40 steps, each held to 0.5 in a and in ln K.
 */
final class SurfaceJudge {
    static final String NAME = "one-exponential fit, 1";
    static final double DEEPEST_M = 20;
    private static final int STEPS = 40;
    private static final double LARGEST_STEP = 0.5;
    private static final double FIRST_ATTENUATION = 0.1;
    private static final double MOST_DROP = 20;

    /**
     * What it finds.
     *
     * @param logSurface a, ln of counts per second
     * @param attenuationPerM K
     * @param noise standard deviation of a that the bins' shot and read noise leaves
     */
    record Found(double logSurface, double attenuationPerM, double noise) {}

    private SurfaceJudge() {}

    /**
     * Fits.
     *
     * @param z depths, m, down
     * @param y counts per second
     * @param noiseAtZero variance of y that does not depend on it
     * @param noisePerY variance of y per y
     * @param scans in each bin
     * @return null when there are fewer than three bins or no light in the first
     */
    static Found fit(double[] z, double[] y, double[] noiseAtZero, double[] noisePerY, int[] scans) {
        if (z.length < 3 || !(y[0] > 0)) {
            return null;
        }
        double k = FIRST_ATTENUATION;
        double a = Math.log(y[0]) + k * z[0];
        for (int step = 0; step < STEPS; step++) {
            double s0 = 0;
            double s1 = 0;
            double s2 = 0;
            double r0 = 0;
            double r1 = 0;
            for (int i = 0; i < z.length; i++) {
                double model = Math.exp(a - k * z[i]);
                double w = weight(model, k * z[i], z[i], noiseAtZero[i], noisePerY[i], scans[i]);
                double slope = -k * z[i];
                double off = y[i] / model - 1;
                s0 += w;
                s1 += w * slope;
                s2 += w * slope * slope;
                r0 += w * off;
                r1 += w * slope * off;
            }
            double det = s0 * s2 - s1 * s1;
            if (!(det > 1e-12 * s0 * s2)) {
                return null;
            }
            a += hold((s2 * r0 - s1 * r1) / det);
            k *= Math.exp(hold((s0 * r1 - s1 * r0) / det));
        }
        return new Found(a, k, noise(a, k, z, noiseAtZero, noisePerY, scans));
    }

    private static double hold(double step) {
        return Math.max(-LARGEST_STEP, Math.min(LARGEST_STEP, step));
    }

    /** Of a relative residual. */
    private static double weight(double model, double drop, double z, double zero, double perY, int scans) {
        double waves = (0.02 * Math.exp(-z / 8) + 0.002) / Math.sqrt(Math.max(1, scans / 3.0));
        double left = 0.01 * Math.expm1(2 * Math.min(MOST_DROP, drop));
        return 1 / ((zero / model + perY) / model + waves * waves + left * left);
    }

    private static double noise(double a, double k, double[] z, double[] zero, double[] perY, int[] scans) {
        double s0 = 0;
        double s1 = 0;
        double s2 = 0;
        for (int i = 0; i < z.length; i++) {
            double w = weight(Math.exp(a - k * z[i]), k * z[i], z[i], zero[i], perY[i], scans[i]);
            s0 += w;
            s1 -= w * k * z[i];
            s2 += w * k * z[i] * k * z[i];
        }
        double det = s0 * s2 - s1 * s1;
        double sum = 0;
        for (int i = 0; i < z.length; i++) {
            double model = Math.exp(a - k * z[i]);
            double w = weight(model, k * z[i], z[i], zero[i], perY[i], scans[i]);
            double gain = w * (s2 + s1 * k * z[i]) / det;
            sum += gain * gain * (zero[i] / model + perY[i]) / model;
        }
        return Math.sqrt(sum);
    }
}
