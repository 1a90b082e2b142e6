package sunward.protocol.spectra;

import sunward.protocol.trig.Trig;

/**
 * Spectra of an {@link Outline} and what is known of them: shared by the float's fit, the coder and shore, so that all agree to
 * the bit. Only IEEE double + - * / and square roots, in the order written here, and {@link Trig}.
 */
public final class OutlineModel {
    /** What trained spectra and straight lines between knots leave in a sample, relative (assumed; chosen on the tuning dives). */
    private static final double FLOOR = 0.01;

    private static final double ROUNDING = 1.0 / 12;
    private static final double WAVES_LEAST = 0.0003;
    private static final double SCANS_A_WAVE = 3;
    private static final double LARGEST_LOG = 30;
    private static final int RANK = OutlineBasis.RANK;

    private final double[] vector = new double[RANK];
    private final double[] mixed = new double[RANK];
    private final double[] pull = new double[RANK];

    /** Information on the coefficients at a knot, then its lower Cholesky factor. */
    private final double[][] factor = new double[RANK][RANK];

    private int samples;
    private int channelsPerSample;
    private double gain;
    private double readVariance;

    /** Bytes of state, beside the table. */
    public int ramBytes() {
        return 8 * RANK * (RANK + 3);
    }

    /** Takes what a block header says. */
    public void start(BlockHeader header) {
        samples = header.samples;
        channelsPerSample = header.channelsPerSample;
        gain = header.gainSixteenths / 16.0;
        readVariance = header.readNoiseQuarters * header.readNoiseQuarters / 16.0 + ROUNDING;
    }

    /** Size of a coefficient, one standard deviation over the dives that the table was made of. */
    public double size(int m) {
        return OutlineBasis.size(m);
    }

    /** Fills the spectra of change at a sample. */
    public void vectors(int sample, double[] into) {
        OutlineBasis.vectors(samples, sample, into);
    }

    /** Fills ln of counts per second for coefficients. */
    public void spectrum(double[] coefficient, double[] into) {
        for (int k = 0; k < samples; k++) {
            into[k] = log(coefficient, k);
        }
    }

    /** ln of counts per second at a sample; leaves its spectra of change in {@link #vector}. */
    private double log(double[] coefficient, int sample) {
        OutlineBasis.vectors(samples, sample, vector);
        double sum = OutlineBasis.mean(samples, sample);
        for (int m = 0; m < RANK; m++) {
            sum += coefficient[m] * vector[m];
        }
        return Math.max(-LARGEST_LOG, Math.min(LARGEST_LOG, sum));
    }

    /**
     * Weight of a sample's relative error: one over its variance, noise and {@link #FLOOR}.
     *
     * @param rate counts per second, as modelled
     */
    public double weight(double rate, double scans, double exposureS) {
        double averaged = scans * channelsPerSample;
        double fixed = readVariance / (averaged * exposureS * exposureS);
        double perCount = 1 / (averaged * gain * exposureS);
        return 1 / ((fixed / rate + perCount) / rate + FLOOR * FLOOR);
    }

    /** Variance of the brightness that all samples of some scans share, from waves (assumed: 2 % for one wave at the surface). */
    public static double waves(double depthM, double scans) {
        double waves = 0.02 * Trig.exp(-depthM / 8) + WAVES_LEAST;
        return waves * waves / Math.max(1, scans / SCANS_A_WAVE);
    }

    /**
     * Makes {@link #whitened} and {@link #coloured} ready for a knot.
     *
     * @param expected coefficients to take the weights at
     * @param priorShare size of what is to be coded in units of the table's sizes
     */
    void prepare(double[] expected, double depthM, double scans, double exposureS, double priorShare) {
        double sum = 1 / waves(depthM, scans);
        for (int m = 0; m < RANK; m++) {
            pull[m] = 0;
            for (int n = 0; n <= m; n++) {
                factor[m][n] = 0;
            }
        }
        for (int k = 0; k < samples; k++) {
            double weight = weight(Trig.exp(log(expected, k)), scans, exposureS);
            sum += weight;
            for (int m = 0; m < RANK; m++) {
                double pulled = weight * vector[m];
                pull[m] += pulled;
                for (int n = 0; n <= m; n++) {
                    factor[m][n] += pulled * vector[n];
                }
            }
        }
        for (int m = 0; m < RANK; m++) {
            for (int n = 0; n <= m; n++) {
                factor[m][n] -= pull[m] * pull[n] / sum;
            }
            double size = priorShare * OutlineBasis.size(m);
            factor[m][m] += 1 / (size * size);
        }
        cholesky(factor);
    }

    /** Replaces the lower half of a positive matrix by its factor. */
    public static void cholesky(double[][] a) {
        for (int m = 0; m < a.length; m++) {
            for (int n = 0; n <= m; n++) {
                double s = a[m][n];
                for (int i = 0; i < n; i++) {
                    s -= a[m][i] * a[n][i];
                }
                a[m][n] = m == n ? Math.sqrt(Math.max(1e-12, s)) : s / a[n][n];
            }
        }
    }

    /** One coefficient of a change on the scale where its uncertainty is one: what the later coefficients add is in it. */
    double whitened(int m, double[] change) {
        double sum = 0;
        for (int n = m; n < RANK; n++) {
            sum += factor[n][m] * change[n];
        }
        return sum;
    }

    /** The change of a coefficient, those after it being known. */
    double coloured(int m, double value, double[] change) {
        double sum = value;
        for (int n = m + 1; n < RANK; n++) {
            sum -= factor[n][m] * change[n];
        }
        return sum / factor[m][m];
    }

    /** Rise of chi squared that a change of coefficients costs. */
    public double cost(double[] change) {
        double sum = 0;
        for (int m = 0; m < RANK; m++) {
            double u = whitened(m, change);
            sum += u * u;
        }
        return sum;
    }

    /** Same as {@link #prepare} with no prior to speak of. */
    public void prepareCost(double[] at, double depthM, double scans, double exposureS) {
        prepare(at, depthM, scans, exposureS, 1);
    }

    /** A head's difference from the first at a sample. */
    public double difference(int[] cosines, int sample) {
        double twice = 2 * cosine(sample);
        double before = twice / 2;
        double now = 1;
        double sum = 0;
        for (int i = 0; i < Outline.COSINES; i++) {
            sum += cosines[i] * now;
            double next = twice * now - before;
            before = now;
            now = next;
        }
        return sum / Outline.FINE;
    }

    /** The first cosine over the samples; that of order i is the Chebyshev polynomial of it. */
    public double cosine(int sample) {
        return Trig.cos(Math.PI * (sample + 0.5) / samples);
    }

    /**
     * Fills ln of counts per second at a depth for a head.
     *
     * @param headIndex its place in the outline
     */
    public void at(Outline outline, int headIndex, double depthM, double[] into) {
        int layer = outline.layer(depthM);
        double share = outline.share(layer, depthM);
        double[] above = outline.coefficient[layer];
        double[] below = outline.coefficient[layer + 1];
        for (int m = 0; m < RANK; m++) {
            mixed[m] = above[m] + share * (below[m] - above[m]);
        }
        int[] novelty = outline.novelty[outline.group(layer)];
        for (int k = 0; k < samples; k++) {
            double sum = log(mixed, k);
            double place = Math.max(0, Math.min(Outline.BANDS - 1, (k + 0.5) * Outline.BANDS / samples - 0.5));
            int band = Math.min(Outline.BANDS - 2, (int) place);
            sum += (novelty[band] + (place - band) * (novelty[band + 1] - novelty[band])) / Outline.FINE;
            into[k] = Math.max(-LARGEST_LOG, Math.min(LARGEST_LOG, sum));
        }
        if (headIndex > 0) {
            for (int k = 0; k < samples; k++) {
                into[k] += difference(outline.difference[headIndex], k);
            }
        }
    }
}
