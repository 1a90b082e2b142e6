package sunward.protocol.spectra;

import java.util.Arrays;

/**
 * The smooth profile of a dive: counts per second of every channel at every depth, from a few knots in depth. Mutable and
 * reused; the float fills it, {@link OutlineCodec} writes and reads it.
 *
 * <p>The logarithm of counts per second is, at a knot, a spectrum of {@link OutlineModel}, and between knots runs along a cubic
 * in depth (raw port pressure plus the aperture's offset, one dbar taken as one metre, no tare). Each head has a response
 * beside, a smooth spectrum that is the same at all depths. Where the trained spectra cannot follow, {@link #novelty} says by
 * how much.
 */
public final class Outline {
    /** Most knots. */
    public static final int MAX_KNOTS = 26;

    /** Most heads. */
    public static final int MAX_HEADS = 4;

    /** Cosines in a head's response. */
    public static final int COSINES = 16;

    /** Bands and groups of layers in which novelty is told. */
    public static final int BANDS = 45;

    /** See {@link #BANDS}. */
    public static final int GROUPS = 3;

    /** Units of novelty: 2^-10 of a logarithm, about 0.1 percent. */
    public static final int FINE = 1 << 10;

    /** Units of the heads' responses: 2^-12 of a logarithm. */
    public static final int FINER = 1 << 12;

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

    /** What the float found, for the writer. */
    public final double[][] wanted = new double[MAX_KNOTS][OutlineBasis.RANK];

    /** What a reader gets. */
    public final double[][] coefficient = new double[MAX_KNOTS][OutlineBasis.RANK];

    /** Responses of the heads, cosines over the samples, 1/{@link #FINER}. */
    public final int[][] response = new int[MAX_HEADS][COSINES];

    /** Rms of the bins' brightness about the profile, of the layer below each knot, 0.01 percent. */
    public final int[] scatter = new int[MAX_KNOTS];

    /** Largest misfit of a band in that layer, tenths of its own noise (of all the layer's bins together). */
    public final int[] misfitTenths = new int[MAX_KNOTS];

    /** The band where it is; told where the misfit is {@link OutlineCodec#TELLING}. */
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
        for (int[] row : response) {
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

    /** The band that a sample lies in. */
    public int band(int sample) {
        return sample * BANDS / samples;
    }

    /** The group that a layer lies in. */
    public int group(int layer) {
        return layer * GROUPS / (knots - 1);
    }
}
