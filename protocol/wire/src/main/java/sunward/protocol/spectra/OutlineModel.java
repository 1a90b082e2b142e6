package sunward.protocol.spectra;

import sunward.protocol.trig.Trig;

/**
 * Spectra of an {@link Outline} and what is known of them: shared by the float's fit, the coder and shore, so that all agree to
 * the bit. Only IEEE double + - * / and square roots, in the order written here, and {@link Trig}.
 */
public final class OutlineModel {
    /** What trained spectra leave in a channel, relative (assumed; chosen on the tuning dives). */
    private static final double FLOOR = 0.0007;

    /** Scans of a usual bin: the noise that steps are told in. */
    private static final double USUAL_SCANS = 6;

    private static final double THICK = 3;
    private static final double ROUNDING = 1.0 / 12;
    private static final double LARGEST_LOG = 30;
    private static final int RANK = OutlineBasis.RANK;

    private final double[] vector = new double[RANK];
    private final double[] mixed = new double[RANK];

    /** Information on the coefficients at a knot, then its lower Cholesky factor. */
    private final double[][] factor = new double[RANK][RANK];

    private int samples;
    private int channelsPerSample;
    private double gain;
    private double readVariance;

    /** Bytes of state, beside the table. */
    public int ramBytes() {
        return 8 * RANK * (RANK + 2);
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

    /** ln of counts per second at a sample for coefficients; leaves its spectra of change in {@link #vector}. */
    public double log(double[] coefficient, int sample) {
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
        return 1 / (noise(rate, scans, exposureS) + FLOOR * FLOOR);
    }

    /** Variance of a sample's relative error from noise. */
    public double noise(double rate, double scans, double exposureS) {
        double averaged = scans * channelsPerSample;
        double fixed = readVariance / (averaged * exposureS * exposureS);
        double perCount = 1 / (averaged * gain * exposureS);
        return (fixed / rate + perCount) / rate;
    }

    /**
     * Makes {@link #whitened} and {@link #coloured} ready for a knot.
     *
     * @param expected coefficients to take the weights at
     */
    public void prepare(double[] expected, double exposureS) {
        startInformation();
        for (int k = 0; k < samples; k++) {
            double rate = Trig.exp(log(expected, k));
            inform(weight(rate, USUAL_SCANS, exposureS));
        }
        cholesky(factor);
    }

    /** Information on coefficients before any light is seen: that of the table's sizes. Replaces what was prepared. */
    public double[][] startInformation() {
        for (int m = 0; m < RANK; m++) {
            for (int n = 0; n < m; n++) {
                factor[m][n] = 0;
            }
            factor[m][m] = 1 / (OutlineBasis.size(m) * OutlineBasis.size(m));
        }
        return factor;
    }

    /** Adds what a sample, whose spectra of change are in {@link #vector}, tells. */
    private void inform(double weight) {
        for (int m = 0; m < RANK; m++) {
            double pulled = weight * vector[m];
            for (int n = 0; n <= m; n++) {
                factor[m][n] += pulled * vector[n];
            }
        }
    }

    /** Adds to {@link #startInformation} what a sample with this weight tells, and fills its spectra of change. */
    public void inform(int sample, double weight, double[] vectors) {
        OutlineBasis.vectors(samples, sample, vector);
        System.arraycopy(vector, 0, vectors, 0, RANK);
        inform(weight);
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

    /** A head's response at a sample. */
    public double response(int[] cosines, int sample) {
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
        return sum / Outline.FINER;
    }

    /** The first cosine over the samples; that of order i is the Chebyshev polynomial of it. */
    public double cosine(int sample) {
        return Trig.cos(Math.PI * (sample + 0.5) / samples);
    }

    /**
     * Coefficients that light at a depth may not exceed: those of the knot above where its layer is more than {@link #THICK}
     * times as thick as the one before, else null. Such a layer reaches from the lowest light to the bottom; what is said of it
     * rests on dark bins, and light that grew downward there would be invented.
     */
    public static double[] ceilingOrNull(Outline outline, double[][] c, double depthM) {
        int b = outline.layer(depthM);
        int[] cm = outline.knotCm;
        return b > 0 && cm[b + 1] - cm[b] > THICK * (cm[b] - cm[b - 1]) ? c[b] : null;
    }

    /** ln of counts per second at a sample, held to a ceiling's where there is one. */
    public double log(double[] coefficient, double[] ceilingOrNull, int sample) {
        double sum = log(coefficient, sample);
        return ceilingOrNull == null ? sum : Math.min(sum, log(ceilingOrNull, sample));
    }

    /** Fills the coefficients at a depth of a finished outline. */
    public static void mix(Outline outline, double[][] c, double depthM, double[] into) {
        int layer = outline.layer(depthM);
        int after = layer + 2 < outline.knots ? layer + 2 : -1;
        cubic(outline.knotCm, c, layer - 1, layer, layer + 1, after, depthM, into);
    }

    /**
     * Fills values between knots b and c: the cubic whose slope at a knot is that of the parabola through it and the knots
     * on both sides; where there is none beyond b, of the parabola through b, c and d at b; none beyond c, of the straight line.
     * A straight line where the layer is more than {@link #THICK} times as thick as the one above.
     *
     * @param a knot above b, or -1
     * @param d knot below c, or -1
     */
    public static void cubic(int[] cm, double[][] values, int a, int b, int c, int d, double depthM, double[] into) {
        double thick = cm[c] - cm[b];
        double share = Math.max(0, Math.min(1, (depthM * 100 - cm[b]) / thick));
        double above = a < 0 ? 0 : cm[b] - cm[a];
        double below = d < 0 ? 0 : cm[d] - cm[c];
        double curved = a >= 0 && thick > THICK * above ? 0 : share * (1 - share) * thick;
        for (int m = 0; m < into.length; m++) {
            double rise = values[c][m] - values[b][m];
            double slope = rise / thick;
            double next = d < 0 ? slope : (values[d][m] - values[c][m]) / below;
            double atB;
            if (a < 0) {
                atB = d < 0 ? slope : ((2 * thick + below) * slope - thick * next) / (thick + below);
            } else {
                atB = ((values[b][m] - values[a][m]) / above * thick + slope * above) / (above + thick);
            }
            double atC = d < 0 ? slope : (slope * below + next * thick) / (thick + below);
            double bend = (1 - share) * (atB - slope) - share * (atC - slope);
            into[m] = values[b][m] + share * rise + curved * bend;
        }
    }

    /**
     * Fills ln of counts per second at a depth for a head.
     *
     * @param headIndex its place in the outline
     */
    public void at(Outline outline, int headIndex, double depthM, double[] into) {
        at(outline, headIndex, depthM, 0, samples, into);
    }

    /** Same, of some samples from a first one on. */
    public void at(Outline outline, int headIndex, double depthM, int first, int count, double[] into) {
        mix(outline, outline.coefficient, depthM, mixed);
        double[] ceilingOrNull = ceilingOrNull(outline, outline.coefficient, depthM);
        int[] novelty = outline.novelty[outline.group(outline.layer(depthM))];
        for (int i = 0; i < count; i++) {
            int k = first + i;
            double place = Math.max(0, Math.min(Outline.BANDS - 1, (k + 0.5) * Outline.BANDS / samples - 0.5));
            int band = Math.min(Outline.BANDS - 2, (int) place);
            double sum = log(mixed, ceilingOrNull, k)
                    + (novelty[band] + (place - band) * (novelty[band + 1] - novelty[band])) / Outline.FINE
                    + response(outline.response[headIndex], k);
            into[i] = Math.max(-LARGEST_LOG, Math.min(LARGEST_LOG, sum));
        }
    }
}
