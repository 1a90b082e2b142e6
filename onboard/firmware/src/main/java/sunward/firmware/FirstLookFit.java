package sunward.firmware;

import java.util.Arrays;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.FirstLook;
import sunward.protocol.spectra.Workspace;
import sunward.protocol.trig.Trig;

/**
 * Surface spectrum and attenuation of a head from its finished bins, sample by sample: exp(a - K z) by Gauss-Newton steps on
 * counts per second, so that noisy bins are not biased as they would be in logarithms (D'Alimonte et al. 2013, Opt. Express
 * 21, 27707).
 *
 * <p>z is raw port pressure plus the aperture's offset, one dbar taken as one metre, no tare; clear bins of 0 to 20 m count.
 * The variance expected of a bin, taken at the model: shot and read noise; ((0.02 exp(-z/8) + 0.002) / sqrt(max(1,
 * scans/3)))^2 for waves and (0.01 (exp(2 K z) - 1))^2 for what one exponential cannot
 * follow, both relative (assumed): inelastic light falls more slowly, so its share grows with every e-folding. Bins stream
 * from flash once a step. Only + - * /, square roots and the wire's own functions, so the same bytes everywhere.
 */
final class FirstLookFit {
    private static final double DEEPEST_M = 20;
    private static final int MOST_BINS = 255;
    private static final int FEWEST_BINS = 3;
    private static final int STEPS = 24;
    private static final double LARGEST_STEP = 0.5;
    private static final double SETTLED = 0.01;
    private static final double FIRST_ATTENUATION = 0.1;
    private static final double MOST_DROP = 20;
    private static final double LARGEST_SD = 0.5;
    private static final double ROUNDING = 1.0 / 12;

    private final FloatPlan plan;
    private final BinStore bins;
    private final BinRecord bin;
    private final char[] near = new char[MOST_BINS];
    private final double[] log;
    private final double[] attenuation;
    private final double[] s0;
    private final double[] s1;
    private final double[] s2;
    private final double[] r0;
    private final double[] r1;
    private final double[] lastStep;
    private final double[] squares;
    private final double[] weightSquares;
    private int count;

    /** Fits heads of at most so many samples; {@code bin} and the workspace are lent while it works. */
    FirstLookFit(FloatPlan plan, BinStore bins, BinRecord bin, int maxSamples, Workspace work) {
        this.plan = plan;
        this.bins = bins;
        this.bin = bin;
        log = work.doubles(maxSamples);
        attenuation = work.doubles(maxSamples);
        s0 = work.doubles(maxSamples);
        s1 = work.doubles(maxSamples);
        s2 = work.doubles(maxSamples);
        r0 = work.doubles(maxSamples);
        r1 = work.doubles(maxSamples);
        lastStep = work.doubles(maxSamples);
        squares = work.doubles(maxSamples);
        weightSquares = work.doubles(maxSamples);
    }

    int ramBytes() {
        return 2 * near.length;
    }

    /** Fits a head; false when it has too few bins near the surface. */
    boolean fit(int head, int channelsPerSample, FirstLook.Head into) {
        into.number = head;
        collect(head, into);
        if (count < FEWEST_BINS) {
            return false;
        }
        bins.load(near[0], channelsPerSample, bin);
        int samples = bin.samples;
        into.samples = samples;
        double first = depthM();
        for (int k = 0; k < samples; k++) {
            double y = bin.counts[k] / (64 * exposureS());
            attenuation[k] = FIRST_ATTENUATION;
            log[k] = y > 0 ? Trig.log(y) + FIRST_ATTENUATION * first : Double.NaN;
        }
        for (int step = 0; step < STEPS; step++) {
            gather(head, channelsPerSample, samples);
            for (int k = 0; k < samples; k++) {
                move(k);
            }
        }
        gather(head, channelsPerSample, samples);
        judge(into);
        return true;
    }

    private void collect(int head, FirstLook.Head into) {
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

    /** One pass over the bins: the sums of a step at the values that now hold. */
    private void gather(int head, int channelsPerSample, int samples) {
        Arrays.fill(s0, 0);
        Arrays.fill(s1, 0);
        Arrays.fill(s2, 0);
        Arrays.fill(r0, 0);
        Arrays.fill(r1, 0);
        Arrays.fill(squares, 0);
        Arrays.fill(weightSquares, 0);
        FloatPlan.Head h = plan.heads[head];
        for (int i = 0; i < count; i++) {
            bins.load(near[i], channelsPerSample, bin);
            double z = depthM();
            double t = exposureS();
            double averaged = (double) bin.used * channelsPerSample;
            double fixed = (h.readNoiseCounts * h.readNoiseCounts + ROUNDING) / (averaged * t * t);
            double perCount = 1 / (averaged * h.gainElectronsPerCount * t);
            double waves = 0.02 * Trig.exp(-z / 8) + 0.002;
            double wavesSquared = waves * waves / Math.max(1, bin.used / 3.0);
            for (int k = 0; k < samples; k++) {
                double drop = attenuation[k] * z;
                double model = Trig.exp(log[k] - drop);
                double left = 0.01 * (Trig.exp(2 * Math.min(MOST_DROP, drop)) - 1);
                double w = 1 / ((fixed / model + perCount) / model + wavesSquared + left * left);
                double off = bin.counts[k] / (64 * t * model) - 1;
                s0[k] += w;
                s1[k] -= w * drop;
                s2[k] += w * drop * drop;
                r0[k] += w * off;
                r1[k] -= w * drop * off;
                squares[k] += w * off * off;
                weightSquares[k] += w * w;
            }
        }
    }

    private void move(int k) {
        double det = s0[k] * s2[k] - s1[k] * s1[k];
        if (!(det > 1e-12 * s0[k] * s2[k])) {
            log[k] = Double.NaN;
            return;
        }
        double da = hold((s2[k] * r0[k] - s1[k] * r1[k]) / det);
        double dk = hold((s0[k] * r1[k] - s1[k] * r0[k]) / det);
        log[k] += da;
        attenuation[k] *= Trig.exp(dk);
        lastStep[k] = Math.max(Math.abs(da), Math.abs(dk));
    }

    private static double hold(double step) {
        return Math.max(-LARGEST_STEP, Math.min(LARGEST_STEP, step));
    }

    private void judge(FirstLook.Head into) {
        for (int region = 0; region < FirstLook.REGIONS; region++) {
            double n = 0;
            double effective = 0;
            double scatter = 0;
            double misfit = 0;
            double surface = 0;
            double slope = 0;
            for (int k = 0; k < into.samples; k++) {
                if (into.region(k) != region) {
                    continue;
                }
                double det = s0[k] * s2[k] - s1[k] * s1[k];
                double reduced = squares[k] / (count - 2);
                double more = Math.max(1, reduced);
                double sd = Math.sqrt(more * s2[k] / det);
                into.lit[k] =
                        lastStep[k] < SETTLED && sd < LARGEST_SD && Math.abs(log[k]) < 30 && attenuation[k] > 1e-4;
                if (!into.lit[k]) {
                    continue;
                }
                into.logSurface[k] = rounded(log[k] * FirstLook.LOG_ONE);
                into.logAttenuation[k] = rounded(Trig.log(attenuation[k]) * FirstLook.LOG_ONE);
                n++;
                effective += s0[k] * s0[k] / weightSquares[k];
                scatter += Math.sqrt(squares[k] / s0[k]);
                misfit += Math.sqrt(reduced);
                surface += sd;
                slope += Math.min(1, Math.sqrt(more * s0[k] / det));
            }
            double each = Math.max(1, n);
            into.effectiveBins[region] = rounded(effective / each);
            into.scatter[region] = rounded(Math.min(1, scatter / each) * 10_000);
            into.misfitPercent[region] = rounded(Math.min(100, misfit / each) * 100);
            into.surfaceSd[region] = rounded(surface / each * 10_000);
            into.attenuationSd[region] = rounded(slope / each * 10_000);
        }
    }

    private static int rounded(double value) {
        return (int) Math.floor(value + 0.5);
    }
}
