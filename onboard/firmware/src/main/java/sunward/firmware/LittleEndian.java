package sunward.firmware;

/** Integers in byte arrays, lowest byte first: how the firmware lays out its own records in flash. */
final class LittleEndian {
    private LittleEndian() {}

    /** Writes the low {@code size} bytes of a value at {@code at}. */
    static void put(byte[] into, int at, int size, long value) {
        for (int i = 0; i < size; i++) {
            into[at + i] = (byte) (value >>> (8 * i));
        }
    }

    /** Reads {@code size} bytes, 1 to 8, as an unsigned value (8: as is). */
    static long unsigned(byte[] from, int at, int size) {
        long value = 0;
        for (int i = size - 1; i >= 0; i--) {
            value = value << 8 | from[at + i] & 0xffL;
        }
        return value;
    }

    /** Reads {@code size} bytes, 1 to 8, as a signed value. */
    static long signed(byte[] from, int at, int size) {
        int shift = 64 - 8 * size;
        return unsigned(from, at, size) << shift >> shift;
    }
}
