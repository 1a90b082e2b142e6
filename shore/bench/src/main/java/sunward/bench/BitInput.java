package sunward.bench;

/** Reads what {@link BitOutput} wrote; zeros beyond the end. */
final class BitInput {
    private final byte[] bytes;
    private long at;

    BitInput(byte[] bytes) {
        this.bytes = bytes;
    }

    long bits(int number) {
        long value = 0;
        for (int i = 0; i < number; i++) {
            int octet = (int) (at >>> 3);
            int bit = octet < bytes.length ? bytes[octet] >>> (7 - (int) (at & 7)) & 1 : 0;
            value = value << 1 | bit;
            at++;
        }
        return value;
    }

    /** Zeros before the next one. */
    long unary() {
        long zeros = 0;
        while (bits(1) == 0) {
            if (at > 8L * bytes.length) {
                throw new IllegalArgumentException("the stream ends within a code");
            }
            zeros++;
        }
        return zeros;
    }
}
