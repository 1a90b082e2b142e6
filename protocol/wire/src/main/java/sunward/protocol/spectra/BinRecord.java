package sunward.protocol.spectra;

import java.util.Arrays;

/**
 * One bin: a pressure interval of one head, as integers with units. Mutable and reused, so that neither end allocates
 * per bin; the float fills it, the codec writes and reads it, shore turns it into a profile.
 *
 * <p>What the float holds is dark-corrected counts at an exposure; counts per second are {@code counts / 2^FRACTION_BITS
 * / exposure}. Radiance exists only on shore.
 */
public final class BinRecord {
    /** Binary fraction digits of {@link #counts}: one unit is 1/64 count. */
    public static final int FRACTION_BITS = 6;

    /** {@link #darkNoise} in a quarter of a count, the unit of {@link BlockHeader#readNoiseQuarters}. */
    public static final int DARK_NOISE_PER_QUARTER = 16;

    /** Spectral bands in which the scatter between a bin's scans is kept. */
    public static final int SPREAD_BANDS = 3;

    /** {@link #antisunDeg} when no azimuth is known. */
    public static final int ANTISUN_UNKNOWN = 255;

    /** Head, 0 to 3. */
    public int head;

    /** Number of the bin from the surface down, 0 to 1023, by the plan's zones. */
    public int bin;

    /** Pass through the bin: 0 the ascent, 1 a dwell, and so on to 3. */
    public int pass;

    /** True for scans whose predicted shading is above the plan's limit; such a record may carry counts of scans only. */
    public boolean shaded;

    /** Exposure: shortest exposure of the plan doubled this many times, 0 to 15. */
    public int exposureCode;

    /** True when scans of another exposure were scaled to {@link #exposureCode} and included. */
    public boolean mixedExposure;

    /** Scans in the mean, 0 to 4095. */
    public int used;

    /** Scans left out as flashes, spikes, saturated or too tilted, 0 to 4095. */
    public int rejected;

    /** Scans of the same head and interval that went to the other (shaded) class, 0 to 4095. */
    public int shadedScans;

    /** Mean time of the scans, seconds since 2000-01-01T00:00:00Z. */
    public long timeS;

    /** Mean raw port pressure, exposure-weighted, no tare applied, 0.001 dbar. */
    public int pressureMdbar;

    /** Mean depth of the aperture below the pressure port (lever arm turned by tilt), mm, positive down. */
    public int offsetMm;

    /** Standard deviation of the aperture's depth within the bin, mm. */
    public int depthSdMm;

    /** Mean tilt from the vertical, 0.01 degree. */
    public int tiltCdeg;

    /** Mean azimuth of the head from the anti-solar direction, whole degrees, -180 to 179, or {@link #ANTISUN_UNKNOWN}. */
    public int antisunDeg;

    /** Fallback of the head choice that held for most scans: 0 none, else see WIRE.md. */
    public int fallback;

    /** Mean dark level subtracted, whole counts at the exposure. */
    public int darkCounts;

    /** Dark scans behind the dark level, 0 to 255. */
    public int darkScans;

    /**
     * Noise of one scan without light at the exposure and warmth, 1/64 count: readout and the dark's shot noise. The float's
     * own of each bin; from decoders what the message states, the least of its bins.
     */
    public int darkNoise;

    /** Relative standard deviation between scans in the lower, middle and upper third of the channels, 0.01 percent; 65535: not known. */
    public final int[] spread = new int[SPREAD_BANDS];

    /**
     * Worst difference that the codec left in 4.5-nm cells of each region (to 400, 500, 600, 700 nm and beyond): at most
     * {@code 5 * 2^(code/2)} of a cell's own noise. Set by decoders of codecs that leave something out; else 0.
     */
    public final int[] misfit = new int[BasisCoder.REGIONS];

    /** Regions of {@link #misfit}. */
    public static final int MISFIT_REGIONS = BasisCoder.REGIONS;

    /** The region of {@link #misfit} that a channel lies in; those beyond the table's are in the last. */
    public static int misfitRegion(int channel) {
        int region = 0;
        while (region < MISFIT_REGIONS - 1 && channel >= BasisCoder.CELL * BasisCoder.REGION_CELLS[region + 1]) {
            region++;
        }
        return region;
    }

    /** Samples in {@link #counts} that hold values. */
    public int samples;

    /** Dark-corrected mean counts at the exposure, 1/64 count; a sample is the mean of its channels. May be negative. */
    public final int[] counts;

    /**
     * Makes an empty record.
     *
     * @param maxSamples the most samples that it will hold, 1 to 1024
     */
    public BinRecord(int maxSamples) {
        counts = new int[maxSamples];
    }

    /** Copies every field and the samples of another record, which must fit. */
    public void copyFrom(BinRecord other) {
        head = other.head;
        bin = other.bin;
        pass = other.pass;
        shaded = other.shaded;
        exposureCode = other.exposureCode;
        mixedExposure = other.mixedExposure;
        used = other.used;
        rejected = other.rejected;
        shadedScans = other.shadedScans;
        timeS = other.timeS;
        pressureMdbar = other.pressureMdbar;
        offsetMm = other.offsetMm;
        depthSdMm = other.depthSdMm;
        tiltCdeg = other.tiltCdeg;
        antisunDeg = other.antisunDeg;
        fallback = other.fallback;
        darkCounts = other.darkCounts;
        darkScans = other.darkScans;
        darkNoise = other.darkNoise;
        System.arraycopy(other.spread, 0, spread, 0, SPREAD_BANDS);
        System.arraycopy(other.misfit, 0, misfit, 0, misfit.length);
        samples = other.samples;
        System.arraycopy(other.counts, 0, counts, 0, other.samples);
    }

    /** Sets every field to zero. */
    public void clear() {
        head = 0;
        bin = 0;
        pass = 0;
        shaded = false;
        exposureCode = 0;
        mixedExposure = false;
        used = 0;
        rejected = 0;
        shadedScans = 0;
        timeS = 0;
        pressureMdbar = 0;
        offsetMm = 0;
        depthSdMm = 0;
        tiltCdeg = 0;
        antisunDeg = 0;
        fallback = 0;
        darkCounts = 0;
        darkScans = 0;
        darkNoise = 0;
        Arrays.fill(spread, 0);
        Arrays.fill(misfit, 0);
        samples = 0;
        Arrays.fill(counts, 0);
    }
}
