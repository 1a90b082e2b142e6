package sunward.firmware;

import java.util.Arrays;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.FirstLook;
import sunward.protocol.spectra.Workspace;
import sunward.protocol.trig.Trig;

/**
 * Surface spectrum and attenuation of a head from its finished bins: exp(a - K z) by Gauss-Newton steps on counts per second,
 * so that noisy bins are not biased as they would be in logarithms (D'Alimonte et al. 2013, Opt. Express 21, 27707).
 *
 * <p>z is raw port pressure plus the aperture's offset, one dbar taken as one metre, no tare; clear bins of 0 to 20 m count.
 * The variance expected of a bin, taken at the model: shot and read noise; ((0.02 exp(-z/8) + 0.002) / sqrt(max(1,
 * scans/3)))^2 for waves and (0.01 (exp(2 K z) - 1))^2 for what one exponential cannot
 * follow, both relative (assumed): inelastic light falls more slowly, so its share grows with every e-folding. Bins stream
 * from flash once a step. Only + - * /, square roots and the wire's own functions, so the same bytes everywhere.
 *
 * <p>A sample alone is noisy in the red, and a noisy fit is biased as well. So samples are fitted and, apart from that, the
 * bands about them, a Gaussian of 1/54 of the head's range in full width (10 nm of the reference head). A sample starts where
 * its band is, moved towards its own fit as far as that is sure; then bands of the model so found are fitted as those of the
 * bins were, and the samples are moved by what they differ by (P. H. van Cittert 1931), a few times. What is told agrees with
 * the bands' own fits, keeps narrow lines where there is light for them, and holds no more noise than bands do.
 */
final class FirstLookFit {
    private static final double DEEPEST_M = 20;
    private static final int MOST_BINS = 255;
    private static final int FEWEST_BINS = 3;
    private static final int STEPS = 24;
    private static final double LARGEST_STEP = 0.5;
    private static final double SETTLED = 0.01;
    private static final double STILL = 1e-5;
    private static final int ONE = 1 << 20;
    private static final double FIRST_ATTENUATION = 0.1;
    private static final double MOST_DROP = 20;
    private static final double LARGEST_SD = 0.5;
    private static final double LARGEST_LOG = 30;
    private static final double LEAST_ATTENUATION = 1e-4;
    private static final double ROUNDING = 1.0 / 12;

    /** Standard deviation of a band over the head's range: full width 1/54 of it. */
    private static final double BAND = 1 / (54 * 2.3548200450309493);

    /** Samples on either side that a band reaches. */
    private static final int REACH = 4;

    /** A sample's own fit counts by half where its standard deviation is this, relative. */
    private static final double OWN = 0.02;

    /** How often the samples are moved to bring their bands home. */
    private static final int CORRECTIONS = 3;

    private final FloatPlan plan;
    private final BinStore bins;
    private final BinRecord bin;
    private final char[] near = new char[MOST_BINS];
    private final double[] kernel = new double[2 * REACH + 1];
    private final double[] log;
    private final double[] attenuation;
    private final double[] bandLog;
    private final double[] bandAttenuation;
    private final double[] rate;
    private final double[] past = new double[REACH];
    private final double[] s0;
    private final double[] s1;
    private final double[] s2;
    private final double[] r0;
    private final double[] r1;

    /** How far a fit's last step went, and how much a sample's own fit counts, 2^-20. */
    private final int[] lastStep;

    private final int[] ownSurface;
    private final int[] ownSlope;
    private int count;
    private int head;
    private int group;
    private int samples;

    /** What is fitted. */
    private enum Of {
        SAMPLES,
        BANDS,
        BANDS_OF_MODEL
    }

    /** Fits heads of at most so many samples; {@code bin} and the workspace are lent while it works. */
    FirstLookFit(FloatPlan plan, BinStore bins, BinRecord bin, int maxSamples, Workspace work) {
        this.plan = plan;
        this.bins = bins;
        this.bin = bin;
        log = work.doubles(maxSamples);
        attenuation = work.doubles(maxSamples);
        bandLog = work.doubles(maxSamples);
        bandAttenuation = work.doubles(maxSamples);
        rate = work.doubles(maxSamples);
        s0 = work.doubles(maxSamples);
        s1 = work.doubles(maxSamples);
        s2 = work.doubles(maxSamples);
        r0 = work.doubles(maxSamples);
        r1 = work.doubles(maxSamples);
        lastStep = work.ints(maxSamples);
        ownSurface = work.ints(maxSamples);
        ownSlope = work.ints(maxSamples);
    }

    int ramBytes() {
        return 2 * near.length + 8 * (kernel.length + past.length);
    }

    /** Fits a head; false when it has too few bins near the surface. */
    boolean fit(int ofHead, int channelsPerSample, FirstLook.Head into) {
        head = ofHead;
        group = channelsPerSample;
        into.number = head;
        collect(into);
        if (count < FEWEST_BINS) {
            return false;
        }
        bins.load(near[0], group, bin);
        samples = bin.samples;
        into.samples = samples;
        setKernel();
        settle(Of.SAMPLES, log, attenuation);
        for (int k = 0; k < samples; k++) {
            double det = determinant(k);
            boolean sure = lit(k, log, attenuation);
            ownSurface[k] = sure ? share(s2[k] / det) : 0;
            ownSlope[k] = sure ? share(s0[k] / det) : 0;
        }
        settle(Of.BANDS, bandLog, bandAttenuation);
        judge(into);
        for (int k = 0; k < samples; k++) {
            log[k] = between(bandLog[k], log[k], ownSurface[k]);
            attenuation[k] = between(bandAttenuation[k], attenuation[k], ownSlope[k]);
        }
        for (int i = 0; i < CORRECTIONS; i++) {
            gather(Of.BANDS_OF_MODEL, bandLog, bandAttenuation, false);
            for (int k = 0; k < samples; k++) {
                if (into.lit[k]) {
                    log[k] -= surfaceStep(k);
                    attenuation[k] *= Trig.exp(-slopeStep(k));
                }
            }
        }
        tell(into);
        return true;
    }

    private static int share(double variance) {
        return rounded(ONE * (OWN * OWN / (OWN * OWN + variance)));
    }

    /** From a value towards another, which may be none where the share is 0. */
    private static double between(double from, double to, int share) {
        return share == 0 ? from : from + share / (double) ONE * (to - from);
    }

    private void collect(FirstLook.Head into) {
        count = 0;
        for (int i = 0; i < bins.size() && count < MOST_BINS; i++) {
            if (bins.head(i) != head) {
                continue;
            }
            bins.load(i, 1, bin);
            double z = depthM();
            if (!bin.shaded && bin.samples > 0 && bin.used > 0 && z > 0 && z <= DEEPEST_M) {
                int cm = (int) (z * 100 + 0.5);
                into.topCm = count == 0 ? cm : Math.min(into.topCm, cm);
                into.bottomCm = count == 0 ? cm : Math.max(into.bottomCm, cm);
                near[count++] = (char) i;
            }
        }
        into.bins = count;
    }

    private double depthM() {
        return (bin.pressureMdbar + bin.offsetMm) / 1000.0;
    }

    private double exposureS() {
        return plan.shortestMs * (1 << bin.exposureCode) / 1000;
    }

    /** A band over samples, which are averages already; thinned channels are no neighbours and make none. */
    private void setKernel() {
        double variance = samples * BAND * samples * BAND - 1.0 / 12;
        double sum = 0;
        for (int i = -REACH; i <= REACH; i++) {
            boolean counts = i == 0 || !plan.thinned && variance > 0;
            kernel[REACH + i] = counts ? Trig.exp(-i * i / (2 * Math.max(1e-3, variance))) : 0;
            sum += kernel[REACH + i];
        }
        for (int i = 0; i < kernel.length; i++) {
            kernel[i] /= sum;
        }
    }

    /** Puts the bands about samples in their place; beyond the ends there is nothing. */
    private void bands() {
        for (int k = 0; k < samples; k++) {
            double sum = 0;
            double weight = 0;
            for (int i = Math.max(0, k - REACH); i <= Math.min(samples - 1, k + REACH); i++) {
                sum += kernel[REACH + i - k] * (i < k ? past[i % REACH] : rate[i]);
                weight += kernel[REACH + i - k];
            }
            past[k % REACH] = rate[k];
            rate[k] = sum / weight;
        }
    }

    /** Fits from the first bin and the usual attenuation to where nothing moves; the sums at the end are there afterwards. */
    private void settle(Of what, double[] a, double[] slope) {
        bins.load(near[0], group, bin);
        double first = depthM();
        row(what);
        for (int k = 0; k < samples; k++) {
            slope[k] = FIRST_ATTENUATION;
            a[k] = rate[k] > 0 ? Trig.log(rate[k]) + FIRST_ATTENUATION * first : Double.NaN;
        }
        double moved = 1;
        for (int step = 0; step < STEPS && moved > STILL; step++) {
            gather(what, a, slope, false);
            moved = 0;
            for (int k = 0; k < samples; k++) {
                moved = Math.max(moved, move(k, a, slope));
            }
        }
        gather(what, a, slope, true);
    }

    /** Counts per second of the bin that is loaded, as they are to be fitted. */
    private void row(Of what) {
        double z = depthM();
        double t = 64 * exposureS();
        for (int k = 0; k < samples; k++) {
            boolean model = what == Of.BANDS_OF_MODEL && Math.abs(log[k]) < LARGEST_LOG;
            rate[k] = model ? Trig.exp(log[k] - attenuation[k] * z) : bin.counts[k] / t;
        }
        if (what != Of.SAMPLES) {
            bands();
        }
    }

    /**
     * One pass over the bins: the sums of a step at the values that now hold; at the end, for the quality, in r0 and r1 those of
     * weighted squares and of squared weights.
     */
    private void gather(Of what, double[] a, double[] slope, boolean end) {
        Arrays.fill(s0, 0);
        Arrays.fill(s1, 0);
        Arrays.fill(s2, 0);
        Arrays.fill(r0, 0);
        Arrays.fill(r1, 0);
        FloatPlan.Head h = plan.heads[head];
        double noise = 1;
        for (int i = 0; i < kernel.length && what != Of.SAMPLES; i++) {
            noise = (i == 0 ? 0 : noise) + kernel[i] * kernel[i];
        }
        for (int i = 0; i < count; i++) {
            bins.load(near[i], group, bin);
            row(what);
            double z = depthM();
            double t = exposureS();
            double averaged = bin.used * group / noise;
            double fixed = (h.readNoiseCounts * h.readNoiseCounts + ROUNDING) / (averaged * t * t);
            double perCount = 1 / (averaged * h.gainElectronsPerCount * t);
            double waves = 0.02 * Trig.exp(-z / 8) + 0.002;
            double wavesSquared = waves * waves / Math.max(1, bin.used / 3.0);
            for (int k = 0; k < samples; k++) {
                double drop = slope[k] * z;
                double model = Trig.exp(a[k] - drop);
                double left = 0.01 * (Trig.exp(2 * Math.min(MOST_DROP, drop)) - 1);
                double w = 1 / ((fixed / model + perCount) / model + wavesSquared + left * left);
                double off = rate[k] / model - 1;
                s0[k] += w;
                s1[k] -= w * drop;
                s2[k] += w * drop * drop;
                r0[k] += end ? w * off * off : w * off;
                r1[k] += end ? w * w : -w * drop * off;
            }
        }
    }

    private double determinant(int k) {
        return s0[k] * s2[k] - s1[k] * s1[k];
    }

    private double surfaceStep(int k) {
        return hold((s2[k] * r0[k] - s1[k] * r1[k]) / determinant(k));
    }

    private double slopeStep(int k) {
        return hold((s0[k] * r1[k] - s1[k] * r0[k]) / determinant(k));
    }

    /** Moves a fit; returns by how much. */
    private double move(int k, double[] a, double[] slope) {
        if (!(determinant(k) > 1e-12 * s0[k] * s2[k])) {
            a[k] = Double.NaN;
            return 0;
        }
        double da = surfaceStep(k);
        double dk = slopeStep(k);
        a[k] += da;
        slope[k] *= Trig.exp(dk);
        double step = Math.max(Math.abs(da), Math.abs(dk));
        lastStep[k] = rounded(ONE * step);
        return step;
    }

    private static double hold(double step) {
        return Math.max(-LARGEST_STEP, Math.min(LARGEST_STEP, step));
    }

    /** How much more than expected the bins stray from a fit, as a variance; never less than one. */
    private double excess(int k) {
        return Math.max(1, r0[k] / (count - 2));
    }

    /** True where the fit just settled is good for something. */
    private boolean lit(int k, double[] a, double[] slope) {
        double sd = Math.sqrt(excess(k) * s2[k] / determinant(k));
        return lastStep[k] < SETTLED * ONE
                && sd < LARGEST_SD
                && Math.abs(a[k]) < LARGEST_LOG
                && slope[k] > LEAST_ATTENUATION;
    }

    /** Takes quality and light from the bands' fits; deviations as geometric means, since they grow tenfold within a region of the red. */
    private void judge(FirstLook.Head into) {
        for (int region = 0; region < FirstLook.REGIONS; region++) {
            double n = 0;
            double effective = 0;
            double scatter = 0;
            double misfit = 0;
            double surface = 0;
            double slope = 0;
            for (int k = 0; k < samples; k++) {
                if (into.region(k) != region) {
                    continue;
                }
                into.lit[k] = lit(k, bandLog, bandAttenuation);
                if (!into.lit[k]) {
                    continue;
                }
                double det = determinant(k);
                n++;
                effective += s0[k] * s0[k] / r1[k];
                scatter += Math.sqrt(r0[k] / s0[k]);
                misfit += Math.sqrt(r0[k] / (count - 2));
                surface += Trig.log(excess(k) * s2[k] / det) / 2;
                slope += Math.min(0, Trig.log(excess(k) * s0[k] / det) / 2);
            }
            double each = Math.max(1, n);
            into.effectiveBins[region] = rounded(effective / each);
            into.scatter[region] = rounded(Math.min(1, scatter / each) * 10_000);
            into.misfitPercent[region] = rounded(Math.min(100, misfit / each) * 100);
            into.surfaceSd[region] = n == 0 ? 0 : rounded(Trig.exp(surface / n) * 10_000);
            into.attenuationSd[region] = n == 0 ? 0 : rounded(Trig.exp(slope / n) * 10_000);
        }
    }

    private void tell(FirstLook.Head into) {
        for (int k = 0; k < samples; k++) {
            into.lit[k] &= Math.abs(log[k]) < LARGEST_LOG && attenuation[k] > LEAST_ATTENUATION;
            if (into.lit[k]) {
                into.logSurface[k] = rounded(log[k] * FirstLook.LOG_ONE);
                into.logAttenuation[k] = rounded(Trig.log(attenuation[k]) * FirstLook.LOG_ONE);
            }
        }
    }

    private static int rounded(double value) {
        return (int) Math.floor(value + 0.5);
    }
}
