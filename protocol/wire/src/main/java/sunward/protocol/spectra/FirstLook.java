package sunward.protocol.spectra;

import java.util.Arrays;

/**
 * What one message says of a whole dive: for each upwelling head the spectrum just below the surface and its attenuation,
 * fitted on the float through its own bins. Mutable and reused; the float fills it, {@link FirstLookCodec} writes and reads
 * it.
 *
 * <p>The fit of a sample is exp(a - K z), z being raw port pressure plus the aperture's offset, one dbar taken as one metre
 * and no tare applied. Logarithms are natural, in {@value #LOG_ONE}ths; counts are dark-corrected, per second.
 */
public final class FirstLook {
    /** Units of a logarithm in one. */
    public static final int LOG_ONE = 1 << 16;

    /** Parts of equal width in channels for which a fit's quality is kept. */
    public static final int REGIONS = 6;

    /** Most heads. */
    public static final int MAX_HEADS = 4;

    /** One head's spectra. */
    public static final class Head {
        /** Number of the head in the plan, 0 to 3. */
        public int number;

        /** Samples that hold values. */
        public int samples;

        /** Least step of the logarithms of the surface, in {@value FirstLook#LOG_ONE}ths; set by a reader. */
        public int leastStep;

        /** Clear bins that the fit rests on. */
        public int bins;

        /** Depth of the uppermost and lowest of them, cm. */
        public int topCm;

        /** See {@link #topCm}. */
        public int bottomCm;

        /** Bins that count in full for a sample, mean of a region: (sum of weights)^2 / sum of squared weights. */
        public final int[] effectiveBins = new int[REGIONS];

        /** Weighted rms of the bins about the fit, mean of a region, 0.01 percent. */
        public final int[] scatter = new int[REGIONS];

        /** Rms of the bins about the fit in units of what was expected of them, percent. */
        public final int[] misfitPercent = new int[REGIONS];

        /** Relative standard deviation of the surface value, geometric mean of a region, 0.01 percent. */
        public final int[] surfaceSd = new int[REGIONS];

        /** Relative standard deviation of the attenuation, geometric mean of a region, 0.01 percent. */
        public final int[] attenuationSd = new int[REGIONS];

        /** True for samples with light enough for a fit. */
        public final boolean[] lit;

        /** ln of counts per second just below the surface. */
        public final int[] logSurface;

        /** ln of the attenuation, 1/m. */
        public final int[] logAttenuation;

        Head(int maxSamples) {
            lit = new boolean[maxSamples];
            logSurface = new int[maxSamples];
            logAttenuation = new int[maxSamples];
        }

        void clear() {
            number = 0;
            leastStep = 0;
            samples = 0;
            bins = 0;
            topCm = 0;
            bottomCm = 0;
            Arrays.fill(effectiveBins, 0);
            Arrays.fill(scatter, 0);
            Arrays.fill(misfitPercent, 0);
            Arrays.fill(surfaceSd, 0);
            Arrays.fill(attenuationSd, 0);
            Arrays.fill(lit, false);
            Arrays.fill(logSurface, 0);
            Arrays.fill(logAttenuation, 0);
        }

        /** Step in which the logarithm of a sample's surface was told, in {@value FirstLook#LOG_ONE}ths. */
        public int surfaceStep(int sample) {
            return FirstLookCodec.step(leastStep, surfaceSd[region(sample)]);
        }

        /** That of the logarithm of its attenuation. */
        public int attenuationStep(int sample) {
            return FirstLookCodec.step(FirstLookCodec.ATTENUATION_STEPS * leastStep, attenuationSd[region(sample)]);
        }

        /** The region that a sample lies in. */
        public int region(int sample) {
            return sample * REGIONS / samples;
        }
    }

    /** Time of surfacing, seconds since 2000-01-01T00:00:00Z. */
    public long surfacedS;

    /** True when the place is known. */
    public boolean placeKnown;

    /** Latitude of the last fix, 0.01 degree, north positive. */
    public int latitudeCdeg;

    /** Longitude of the last fix, 0.01 degree, east positive. */
    public int longitudeCdeg;

    /** True when an air pressure is known. */
    public boolean tareKnown;

    /** Raw port pressure in air before the dive, 0.001 dbar. */
    public int tareMdbar;

    /** Data messages of the dive, this one included; 0 when not known. */
    public int messagesPlanned;

    /** Repair messages of the dive. */
    public int repairMessages;

    /** Heads that hold values. */
    public int heads;

    /** The heads. */
    private final Head[] head = new Head[MAX_HEADS];

    /**
     * Makes an empty one.
     *
     * @param maxHeads most heads, 1 to {@value #MAX_HEADS}
     * @param maxSamples most samples of a head
     */
    public FirstLook(int maxHeads, int maxSamples) {
        for (int h = 0; h < maxHeads; h++) {
            head[h] = new Head(maxSamples);
        }
    }

    /** A head by its place here, 0 to {@link #heads} - 1. */
    public Head head(int index) {
        return head[index];
    }

    /** Forgets everything. */
    public void clear() {
        surfacedS = 0;
        placeKnown = false;
        latitudeCdeg = 0;
        longitudeCdeg = 0;
        tareKnown = false;
        tareMdbar = 0;
        messagesPlanned = 0;
        repairMessages = 0;
        heads = 0;
        for (Head one : head) {
            if (one != null) {
                one.clear();
            }
        }
    }
}
