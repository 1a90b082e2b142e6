package sunward.protocol.spectra;

/**
 * Relative scatter between scans as a short code: exact up to 7 (0.01 percent each), then four codes to the octave,
 * read back as the middle of their range. The scatter of a few scans is itself not known to better than 10 percent.
 */
final class SpreadCode {
    /** Code of a scatter that is not known. */
    static final int UNKNOWN = 60;

    private static final int UNKNOWN_VALUE = 65535;

    private SpreadCode() {}

    /** The code of a value, 0.01 percent; what is out of 0 to 65535 is held to it. */
    static int of(int value) {
        if (value >= UNKNOWN_VALUE) {
            return UNKNOWN;
        }
        if (value < 8) {
            return Math.max(0, value);
        }
        int octave = 31 - Integer.numberOfLeadingZeros(value);
        return 8 + 4 * (octave - 3) + ((value >>> (octave - 2)) & 3);
    }

    /** The value of a code, 0.01 percent. */
    static int value(int code) {
        if (code < 8) {
            return code;
        }
        if (code >= UNKNOWN) {
            return UNKNOWN_VALUE;
        }
        int octave = 3 + (code - 8) / 4;
        int quarter = 1 << (octave - 2);
        return (1 << octave) + (code & 3) * quarter + quarter / 2;
    }

    /** Half way between the values of two codes below {@link #UNKNOWN}. */
    static int middle(int lower, int upper) {
        return (value(lower) + value(upper) + 1) / 2;
    }
}
