package sunward.firmware;

/**
 * One reading of one head, with the engineering channels of its mid-exposure moment. Mutable and reused: the giver fills
 * it, the float computer copies what it keeps before the call returns.
 */
public final class RawScan {
    /** A heading, dip, tilt or temperature that its sensor did not give. */
    public static final int MISSING = Integer.MIN_VALUE;

    /** Head, from 0. */
    public int head;

    /** Mid-exposure time, milliseconds since 2000-01-01T00:00:00Z. */
    public long timeMs;

    /** Shortest exposure of the plan doubled this many times. */
    public int exposureCode;

    /** True for a dark. */
    public boolean shutterClosed;

    /** Raw port pressure, 1e-4 dbar, no tare applied. */
    public int pressureE4Dbar;

    /** Pitch of tilt sensors 1 and 2, 0.01 degree, positive bow up, or {@link #MISSING}. */
    public final int[] pitchCdeg = new int[2];

    /** Roll of tilt sensors 1 and 2, 0.01 degree, positive starboard down, or {@link #MISSING}. */
    public final int[] rollCdeg = new int[2];

    /** Magnetic heading of the hull's x axis, 0.01 degree clockwise from magnetic north, or {@link #MISSING}. */
    public int headingCdeg;

    /** Angle of the magnetic field below the hull's x-y plane as the compass feels it, 0.01 degree, or {@link #MISSING}. */
    public int fieldDipCdeg = MISSING;

    /** Head temperature, 0.01 degC, or {@link #MISSING}. */
    public int temperatureCdeg;

    /** Channels read. */
    public int channels;

    /** Raw counts, 0 to 65535, one per flown channel. */
    public final char[] counts;

    /** Makes an empty scan for at most this many channels, 1 to 1024. */
    public RawScan(int maxChannels) {
        counts = new char[maxChannels];
    }
}
