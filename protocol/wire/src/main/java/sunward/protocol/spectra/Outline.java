package sunward.protocol.spectra;

import java.util.Arrays;

/**
 * The smooth profile of a dive: counts per second of every channel at every depth, from a few knots in depth. Mutable and
 * reused; the float fills it, {@link OutlineCodec} writes and reads it.
 *
 * <p>The logarithm of counts per second of the first head is, at a knot, a spectrum of {@link OutlineModel}, and between knots
 * runs straight in depth (raw port pressure plus the aperture's offset, one dbar taken as one metre, no tare). Another
 * head differs from it by a smooth spectrum that is the same at all depths. Where the trained spectra cannot follow,
 * {@link #novelty} says by how much.
 */
public final class Outline {
    /** Most knots. */
    public static final int MAX_KNOTS = 18;

    /** Most heads. */
    public static final int MAX_HEADS = 4;

    /** Cosines in a head's difference from the first. */
    public static final int COSINES = 8;

    /** Bands and groups of layers in which novelty is told. */
    public static final int BANDS = 45;

    /** See {@link #BANDS}. */
    public static final int GROUPS = 3;

    /** Units of novelty and of the heads' differences: 2^-10 of a logarithm, about 0.1 percent. */
    public static final int FINE = 1 << 10;

    /** Samples of a spectrum, each a mean of the block header's channels. */
    public int samples;

    /** Heads whose bins are in it. */
    public int heads;

    /** Their numbers in the plan. */
    public final int[] head = new int[MAX_HEADS];

    /** Knots that hold values. */
    public int knots;

    /** Depths of the knots, cm, growing. */
    public final int[] knotCm = new int[MAX_KNOTS];

    /** Exposure at each knot: shortest exposure of the plan doubled this many times. */
    public final int[] exposureCode = new int[MAX_KNOTS];

    /** Scans that a knot rests on, 2^(code/2). */
    public final int[] scansCode = new int[MAX_KNOTS];

    /** What the float found, for the writer. */
    public final double[][] wanted = new double[MAX_KNOTS][OutlineBasis.RANK];

    /** What a reader gets. */
    public final double[][] coefficient = new double[MAX_KNOTS][OutlineBasis.RANK];

    /** Differences of the heads after the first, cosines over the samples, 1/{@link #FINE}. */
    public final int[][] difference = new int[MAX_HEADS][COSINES];

    /** Rms of the bins' brightness about the profile, of the layer below each knot, 0.01 percent. */
    public final int[] scatter = new int[MAX_KNOTS];

    /** Largest misfit of a band in that layer, tenths of its own noise (of all the layer's bins together). */
    public final int[] misfitTenths = new int[MAX_KNOTS];

    /** The band where it is. */
    public final int[] misfitBand = new int[MAX_KNOTS];

    /** By how much the bins' logarithm is above the trained spectra, by group of layers and band, 1/{@link #FINE}. */
    public final int[][] novelty = new int[GROUPS][BANDS];

    /** Forgets everything. */
    public void clear() {
        samples = 0;
        heads = 0;
        knots = 0;
        for (int j = 0; j < MAX_KNOTS; j++) {
            Arrays.fill(wanted[j], 0);
            Arrays.fill(coefficient[j], 0);
        }
        for (int[] row : difference) {
            Arrays.fill(row, 0);
        }
        forgetQuality();
    }

    /** Forgets novelty, scatter and misfit. */
    public void forgetQuality() {
        for (int[] row : novelty) {
            Arrays.fill(row, 0);
        }
        Arrays.fill(scatter, 0);
        Arrays.fill(misfitTenths, 0);
        Arrays.fill(misfitBand, 0);
    }

    /** The knot above a depth, at most the last but one. */
    public int layer(double depthM) {
        int j = 0;
        while (j < knots - 2 && knotCm[j + 1] <= depthM * 100) {
            j++;
        }
        return j;
    }

    /** Share of the knot below in what lies at a depth of a layer; held to the layer. */
    public double share(int layer, double depthM) {
        double thickness = knotCm[layer + 1] - knotCm[layer];
        return Math.max(0, Math.min(1, (depthM * 100 - knotCm[layer]) / thickness));
    }

    /** The band that a sample lies in. */
    public int band(int sample) {
        return sample * BANDS / samples;
    }

    /** The group that a layer lies in. */
    public int group(int layer) {
        return layer * GROUPS / (knots - 1);
    }
}
