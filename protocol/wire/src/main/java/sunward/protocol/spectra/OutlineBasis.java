package sunward.protocol.spectra;

/**
 * The trained table of outlines: logarithms of upwelling counts per second as a mean spectrum plus a few spectra of change,
 * over {@link #NODES} places spread evenly from a head's first channel to its last. WIRE.md names the table and its hash,
 * DEVELOPERS.md the command that made it.
 */
public final class OutlineBasis {
    /** Number of the table on the wire. */
    public static final int NUMBER = 2;

    /** Spectra of change. */
    public static final int RANK = 32;

    /** Places of the table. */
    public static final int NODES = 720;

    /** Fraction bits of the mean and the sizes, and of the spectra of change. */
    public static final int MEAN_BITS = 16;

    /** See {@link #MEAN_BITS}. */
    public static final int VECTOR_BITS = 20;

    private static final int[][] TABLE = load();

    private OutlineBasis() {}

    private static int[][] load() {
        int[][] table = new int[RANK + 2][];
        int row = 0;
        for (String line : OutlineTable.ROWS) {
            String[] words = line.split(" ", -1);
            table[row] = new int[words.length];
            for (int k = 0; k < words.length; k++) {
                table[row][k] = Integer.parseInt(words[k]);
            }
            row++;
        }
        return table;
    }

    /** Size of a coefficient, one standard deviation over the dives that it was trained on. */
    static double size(int m) {
        return TABLE[0][m] / (double) (1 << MEAN_BITS);
    }

    /** The mean spectrum at a sample of so many. */
    static double mean(int samples, int sample) {
        return at(TABLE[1], samples, sample) / (1 << MEAN_BITS);
    }

    /** Fills the spectra of change at a sample of so many. */
    static void vectors(int samples, int sample, double[] into) {
        for (int m = 0; m < RANK; m++) {
            into[m] = at(TABLE[2 + m], samples, sample) / (1 << VECTOR_BITS);
        }
    }

    /** Straight lines between places; sample k of n lies at place (k + 1/2) NODES / n - 1/2. */
    private static double at(int[] row, int samples, int sample) {
        if (samples == NODES) {
            return row[sample];
        }
        double place = Math.max(0, Math.min(NODES - 1, (sample + 0.5) * NODES / samples - 0.5));
        int below = Math.min(NODES - 2, (int) place);
        double share = place - below;
        return row[below] * (1 - share) + row[below + 1] * share;
    }
}
