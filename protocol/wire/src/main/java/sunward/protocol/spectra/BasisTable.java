package sunward.protocol.spectra;

import java.util.Base64;

/**
 * The table of codec 2, {@code protocol/tables/spectral-basis.bin}: constants, in a float's flash and not in its RAM. Rows
 * of {@link #CHANNELS} numbers of 16 bits, high byte first: steps, attenuation, band patterns, shapes; see WIRE.md.
 */
final class BasisTable {
    static final int CHANNELS = 720;
    static final int BANDS = 62;

    /** So many of them are of the bands from 400 to 700 nm. */
    static final int WITHIN = 46;

    static final int MODES = 8;
    static final int SHAPES = 36;
    private static final int ROWS = 2 + MODES + BANDS + SHAPES;
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

    /** Mean size of a pattern's amount, 1/64 of a bin's noise: in a body's first spectrum, or in later ones. */
    int size(int band, boolean first) {
        return numbers[(first ? 2 : 1) * BANDS + band];
    }

    /** Attenuation to expect, 1/4096 per dbar. */
    int attenuation(int channel) {
        return numbers[CHANNELS + channel];
    }

    /** A mode: change of the logarithm of light, 2^-14. */
    int mode(int number, int channel) {
        return numbers[(2 + number) * CHANNELS + channel];
    }

    /** Where the numbers of a band pattern start. */
    static int band(int number) {
        return (2 + MODES + number) * CHANNELS;
    }

    /** Where the numbers of a shape start. */
    static int shape(int number) {
        return (2 + MODES + BANDS + number) * CHANNELS;
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
