package sunward.firmware;

import java.util.Arrays;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.FirstLook;
import sunward.protocol.trig.Trig;

/**
 * What a choice of bins and of their precision does to the uncertainty of surface radiance, as the float can foresee it: the
 * line ln L = a - K z fitted to the bins that go, in bands over the spectrum, heads taken together.
 *
 * <p>The variance of a bin's band is that of its noise (averaged over the band's channels), of waves and of what one
 * exponential cannot follow, as in {@link FirstLookFit}, and of rounding: a third of the squared bound of the codec, times
 * the sample's noise. Where a codec bounds each sample, rounding much finer than the noise differs from sample to sample and
 * averages out over the band; coarser than the noise it is the same for neighbours and does not. Where it bounds bands
 * ({@link BlockCodec#bandwise}), its error is a share of the band's noise. Level and attenuation are those of the first look.
 */
final class SurfaceScore {
    /** Bands over the spectrum of a head. */
    private static final int BANDS = 16;

    /** A band holds so much of the spectrum: 10 of 540 nm for the reference head. */
    private static final int BANDS_IN_SPECTRUM = 54;

    /** What no choice can take away, relative variance: calibration, 1 percent (assumed). */
    private static final double FLOOR = 1e-4;

    /** A band that says nothing of the surface. */
    private static final double UNKNOWN = 1;

    private static final double ROUNDING = 1.0 / 12;
    private static final double MOST_DROP = 20;

    private final FloatPlan plan;
    private final double[] log;
    private final double[] attenuation;
    private final double[] s0;
    private final double[] s1;
    private final double[] s2;
    private boolean known;

    SurfaceScore(FloatPlan plan) {
        this.plan = plan;
        int cells = BANDS * plan.heads.length;
        log = new double[cells];
        attenuation = new double[cells];
        s0 = new double[cells];
        s1 = new double[cells];
        s2 = new double[cells];
    }

    int ramBytes() {
        return 5 * 8 * log.length;
    }

    /** Takes level and attenuation from a first look. */
    void expect(FirstLook look) {
        Arrays.fill(log, Double.NaN);
        known = false;
        for (int i = 0; i < look.heads; i++) {
            FirstLook.Head head = look.head(i);
            for (int band = 0; band < BANDS; band++) {
                int k = (2 * band + 1) * head.samples / (2 * BANDS);
                if (head.lit[k]) {
                    int cell = BANDS * head.number + band;
                    log[cell] = head.logSurface[k] / (double) FirstLook.LOG_ONE;
                    attenuation[cell] = Trig.exp(head.logAttenuation[k] / (double) FirstLook.LOG_ONE);
                    known = true;
                }
            }
        }
    }

    /** False when there is no first look to foresee anything from. */
    boolean known() {
        return known;
    }

    /** Nothing goes yet. */
    void begin() {
        Arrays.fill(s0, 0);
        Arrays.fill(s1, 0);
        Arrays.fill(s2, 0);
    }

    /**
     * A bin goes.
     *
     * @param boundSigma the codec's bound on the error of a sample, in standard deviations of its noise
     * @param bandwise true when the bound is one of bands, in standard deviations of theirs
     */
    void add(BinRecord bin, int channelsPerSample, double boundSigma, boolean bandwise) {
        double z = (bin.pressureMdbar + bin.offsetMm) / 1000.0;
        if (!known || bin.shaded || bin.used == 0 || !(z > 0)) {
            return;
        }
        FloatPlan.Head h = plan.heads[bin.head];
        double t = plan.shortestMs * (1 << bin.exposureCode) / 1000;
        double fixed = (h.readNoiseCounts * h.readNoiseCounts + ROUNDING) / (bin.used * t * t);
        double perCount = 1 / (bin.used * h.gainElectronsPerCount * t);
        double channels = plan.thinned ? 1 : Math.max(channelsPerSample, h.channels / BANDS_IN_SPECTRUM);
        double alike = bandwise ? 0 : Math.min(1, boundSigma * boundSigma);
        double rounding = boundSigma * boundSigma / 3;
        double ofNoise = (1 + rounding * (1 - alike)) / channels + rounding * alike / channelsPerSample;
        double waves = 0.02 * Trig.exp(-z / 8) + 0.002;
        double wavesSquared = waves * waves / Math.max(1, bin.used / 3.0);
        for (int cell = BANDS * bin.head; cell < BANDS * (bin.head + 1); cell++) {
            if (!Double.isNaN(log[cell])) {
                double drop = Math.min(MOST_DROP, attenuation[cell] * z);
                double model = Trig.exp(log[cell] - drop);
                double left = 0.01 * (Trig.exp(2 * drop) - 1);
                double w = 1 / (ofNoise * (fixed / model + perCount) / model + wavesSquared + left * left);
                s0[cell] += w;
                s1[cell] -= w * z;
                s2[cell] += w * z * z;
            }
        }
    }

    /** Mean over bands of the logarithm of the relative variance of surface radiance: smaller is better. */
    double value() {
        double sum = 0;
        for (int band = 0; band < BANDS; band++) {
            double information = 0;
            for (int cell = band; cell < log.length; cell += BANDS) {
                double det = s0[cell] * s2[cell] - s1[cell] * s1[cell];
                information += det > 1e-9 * s0[cell] * s2[cell] ? det / s2[cell] : 0;
            }
            sum += Trig.log(Math.min(UNKNOWN, information > 0 ? 1 / information + FLOOR : UNKNOWN));
        }
        return sum / BANDS;
    }
}
