package sunward.protocol.seal;

/**
 * CRC-32C (Castagnoli): reflected polynomial 0x82F63B78, start and final XOR 0xFFFFFFFF; RFC 3720, appendix B.4 has
 * test patterns.
 */
public final class Crc32c {
    private static final int POLYNOMIAL = 0x82F63B78;
    private static final int[] TABLE = table();

    private Crc32c() {}

    /** The CRC of a range of bytes. */
    public static int of(byte[] bytes, int offset, int length) {
        return continued(0, bytes, offset, length);
    }

    /**
     * The CRC of what was already summed followed by a range of bytes.
     *
     * @param crc the CRC of the bytes before; 0 when there are none
     */
    public static int continued(int crc, byte[] bytes, int offset, int length) {
        int state = ~crc;
        for (int i = offset; i < offset + length; i++) {
            state = state >>> 8 ^ TABLE[(state ^ bytes[i]) & 0xff];
        }
        return ~state;
    }

    private static int[] table() {
        int[] table = new int[256];
        for (int i = 0; i < 256; i++) {
            int value = i;
            for (int bit = 0; bit < 8; bit++) {
                value = value >>> 1 ^ ((value & 1) == 0 ? 0 : POLYNOMIAL);
            }
            table[i] = value;
        }
        return table;
    }
}
