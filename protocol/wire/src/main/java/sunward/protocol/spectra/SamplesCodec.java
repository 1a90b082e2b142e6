package sunward.protocol.spectra;

/**
 * What opens the body of a samples part, which refines one base message:
 *
 * <pre>
 *  byte   0        1        2        3        4
 *      +-----------------+-----------------------------------+
 *      | C4  base 12     | first 10   channels 10  noise 4   |
 *      +-----------------+-----------------------------------+
 *  C number of this codec (1), base: position of the base message; samples first .. first + channels - 1 of all its bins
 *  follow; noise: by how many 1/64 counts a dark scan of its quietest bin is noisier than its header states
 * </pre>
 */
public final class SamplesCodec {
    /** Number on the wire. */
    public static final int NUMBER = 1;

    /** Largest error of a sample, in standard deviations of the bin's own noise (shot and read). */
    public static final double ERROR_BOUND_SIGMA = 1;

    static final int HEADER_BYTES = 5;

    /** Most by which the quietest bin's noise is told to exceed what the base's header states, 1/64 count. */
    static final int MOST_NOISE = 15;

    /** Farthest that a level may be from the base's, either way. */
    static final int MOST_LEVELS = (1 << 28) - 1;

    /** Stands for what no writer writes: more steps than there can be, wherever they are counted from. */
    static final int TOO_MANY = 1 << 26;

    private SamplesCodec() {}

    static void writeHeader(byte[] body, int offset, int basePosition, int first, int channels, int noise) {
        long bits = (long) NUMBER << 36
                | (long) (basePosition & 0xfff) << 24
                | (long) first << 14
                | (long) channels << 4
                | noise;
        for (int i = 0; i < HEADER_BYTES; i++) {
            body[offset + i] = (byte) (bits >>> 8 * (HEADER_BYTES - 1 - i));
        }
    }

    private static int field(byte[] body, int offset, int shift, int width) {
        long bits = 0;
        for (int i = 0; i < HEADER_BYTES; i++) {
            bits = bits << 8 | body[offset + i] & 0xff;
        }
        return (int) (bits >>> shift) & (1 << width) - 1;
    }

    /** True for a body that this version can read once its base is there. */
    public static boolean known(byte[] body, int offset, int length) {
        return length >= HEADER_BYTES && field(body, offset, 36, 4) == NUMBER && channels(body, offset) > 0;
    }

    /** Position of the base message; the body must be {@link #known}. */
    public static int basePosition(byte[] body, int offset) {
        return field(body, offset, 24, 12);
    }

    /** First sample of a bin that is refined; the body must be {@link #known}. */
    public static int first(byte[] body, int offset) {
        return field(body, offset, 14, 10);
    }

    /** How many are; the body must be {@link #known}. */
    public static int channels(byte[] body, int offset) {
        return field(body, offset, 4, 10);
    }

    /** By how much, 1/64 count, dark scans are noisier than the base's header states. */
    static int noise(byte[] body, int offset) {
        return field(body, offset, 0, 4);
    }
}
