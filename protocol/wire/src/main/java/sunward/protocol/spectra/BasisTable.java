package sunward.protocol.spectra;

import java.util.Base64;

/**
 * The table of codec 2, {@code protocol/tables/spectral-basis.bin}: constants, in a float's flash and not in its RAM. Rows
 * of {@link #CHANNELS} numbers of 16 bits, high byte first: steps, attenuation, band patterns, shapes; see WIRE.md.
 */
final class BasisTable {
    static final int CHANNELS = 720;
    static final int BANDS = 56;
    static final int SHAPES = 36;
    private static final int ROWS = 2 + BANDS + SHAPES;
    private static final BasisTable INSTANCE = new BasisTable();

    private final short[] numbers;

    private BasisTable() {
        numbers = new short[ROWS * CHANNELS];
        for (int row = 0; row < ROWS; row++) {
            byte[] bytes = Base64.getDecoder().decode(BasisRows.BASE64[row]);
            for (int c = 0; c < CHANNELS; c++) {
                numbers[row * CHANNELS + c] = (short) (bytes[2 * c] << 8 | bytes[2 * c + 1] & 0xff);
            }
        }
    }

    static BasisTable get() {
        return INSTANCE;
    }

    /** Step of a band pattern at the middle step code, 1/64 of a bin's noise. */
    int step(int band) {
        return numbers[band];
    }

    /** Attenuation to expect, 1/4096 per dbar. */
    int attenuation(int channel) {
        return numbers[CHANNELS + channel];
    }

    /** Where the numbers of a band pattern start. */
    static int band(int number) {
        return (2 + number) * CHANNELS;
    }

    /** Where the numbers of a shape start. */
    static int shape(int number) {
        return (2 + BANDS + number) * CHANNELS;
    }

    /** Inner product of a row and a spectrum, with the row in 2^-15. */
    long project(int row, int[] spectrum) {
        long sum = 0;
        for (int c = 0; c < CHANNELS; c++) {
            sum += (long) numbers[row + c] * spectrum[c];
        }
        return sum + (1 << 14) >> 15;
    }

    /** Adds so much of a row, still in 2^-15. */
    void add(int row, long amount, long[] sum) {
        for (int c = 0; c < CHANNELS; c++) {
            sum[c] += numbers[row + c] * amount;
        }
    }
}
