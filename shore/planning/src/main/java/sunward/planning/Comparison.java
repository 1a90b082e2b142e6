package sunward.planning;

import java.util.Arrays;
import sunward.profiles.SurfaceRadiance;
import sunward.simulator.Truth;

/**
 * Surface spectra of a product beside the truth, at the product's wavelengths. A sample on the wire is the mean of
 * neighbouring channels, so the truth is averaged over the same channels.
 */
final class Comparison {
    private static final int MOST_CHANNELS_PER_SAMPLE = 64;
    private static final double SAME_NM = 0.01;

    private final SurfaceRadiance surface;

    /** Wavelengths of the product, nm. */
    final double[] wavelengthNm;

    /** True water-leaving radiance, W m-2 nm-1 sr-1. */
    final double[] lw;

    /** True upwelling radiance just below the surface, W m-2 nm-1 sr-1. */
    final double[] lu0;

    /** True attenuation of upwelling radiance between the surface and the next depth of the truth's table, 1/m. */
    final double[] attenuation;

    /** Product against truth, percent of truth; NaN where there is no value. */
    final double[] errorPercent;

    /** Half the 95 % interval, percent of the product. */
    final double[] halfWidthPercent;

    Comparison(SurfaceRadiance surface, Truth truth) {
        this.surface = surface;
        wavelengthNm = surface.wavelengthNm().toArray();
        int channels = channelsPerSample(truth.wavelengthNm(), wavelengthNm);
        lw = means(truth.lw(), channels);
        lu0 = means(truth.lu0(), channels);
        double[] below = means(truth.lu()[1], channels);
        double[] above = means(truth.lu()[0], channels);
        double depthM = truth.depthM()[1] - truth.depthM()[0];
        attenuation = new double[lw.length];
        errorPercent = new double[lw.length];
        halfWidthPercent = new double[lw.length];
        for (int k = 0; k < lw.length; k++) {
            attenuation[k] = Math.log(above[k] / below[k]) / depthM;
            errorPercent[k] = 100 * (surface.lw().at(k) / lw[k] - 1);
            halfWidthPercent[k] = 50
                    * (surface.lwHigh(k) - surface.lwLow(k))
                    / Math.abs(surface.lw().at(k));
        }
    }

    /** True when there is a value at wavelength {@code k}. */
    boolean has(int k) {
        return Double.isFinite(surface.lw().at(k));
    }

    /** True when the 95 % interval holds the truth. */
    boolean holds(int k) {
        return surface.lwLow(k) <= lw[k] && lw[k] <= surface.lwHigh(k);
    }

    /** Adds the result at wavelength {@code k}, which must have a value, to a tally. */
    void addTo(CoverageTally tally, int k) {
        tally.add(
                wavelengthNm[k],
                surface.lw().at(k),
                surface.lwUncertainty(k),
                surface.lwLow(k),
                surface.lwHigh(k),
                lw[k]);
    }

    /** How many wavelengths have a value. */
    int values() {
        int count = 0;
        for (int k = 0; k < lw.length; k++) {
            count += has(k) ? 1 : 0;
        }
        return count;
    }

    /** How many of them hold the truth. */
    int held() {
        int count = 0;
        for (int k = 0; k < lw.length; k++) {
            count += has(k) && holds(k) ? 1 : 0;
        }
        return count;
    }

    /** Widest half width between two wavelengths, percent; NaN when no value lies there. */
    double widestPercent(double fromNm, double toNm) {
        double widest = Double.NaN;
        for (int k = 0; k < lw.length; k++) {
            if (has(k) && wavelengthNm[k] >= fromNm && wavelengthNm[k] <= toNm) {
                widest = Double.isNaN(widest) ? halfWidthPercent[k] : Math.max(widest, halfWidthPercent[k]);
            }
        }
        return widest;
    }

    /** The wavelength nearest to this one. */
    int nearest(double nm) {
        int best = 0;
        for (int k = 1; k < wavelengthNm.length; k++) {
            if (Math.abs(wavelengthNm[k] - nm) < Math.abs(wavelengthNm[best] - nm)) {
                best = k;
            }
        }
        return best;
    }

    /**
     * How many neighbouring channels each sample is the mean of.
     *
     * @throws IllegalArgumentException when the samples are not means of these channels
     */
    static int channelsPerSample(double[] channelNm, double[] sampleNm) {
        for (int channels = 1; channels <= MOST_CHANNELS_PER_SAMPLE; channels++) {
            double[] means = means(channelNm, channels);
            boolean same = means.length == sampleNm.length;
            for (int k = 0; same && k < means.length; k++) {
                same = Math.abs(means[k] - sampleNm[k]) < SAME_NM;
            }
            if (same) {
                return channels;
            }
        }
        throw new IllegalArgumentException("the " + sampleNm.length + " product wavelengths are no means of the "
                + channelNm.length + " flown channels: product and truth are of different dives");
    }

    /** Means of each {@code channels} neighbours; the last may have fewer. */
    static double[] means(double[] values, int channels) {
        double[] means = new double[(values.length + channels - 1) / channels];
        for (int k = 0; k < means.length; k++) {
            means[k] = Arrays.stream(values, k * channels, Math.min(values.length, (k + 1) * channels))
                    .average()
                    .orElseThrow();
        }
        return means;
    }
}
