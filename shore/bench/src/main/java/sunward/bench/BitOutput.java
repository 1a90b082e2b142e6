package sunward.bench;

import java.io.ByteArrayOutputStream;

/** Bits, most significant first. */
final class BitOutput {
    private final ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    private int held;
    private int count;

    void bits(int number, long value) {
        for (int i = number - 1; i >= 0; i--) {
            held = held << 1 | (int) (value >>> i & 1);
            if (++count == 8) {
                bytes.write(held);
                held = 0;
                count = 0;
            }
        }
    }

    /** So many zeros and a one. */
    void unary(long zeros) {
        for (long i = 0; i < zeros; i++) {
            bits(1, 0);
        }
        bits(1, 1);
    }

    /** All bytes, the last filled up with zeros. */
    byte[] finish() {
        while (count != 0) {
            bits(1, 0);
        }
        return bytes.toByteArray();
    }
}
