package sunward.bench;

/**
 * Adaptive linear predictor with adaptive Golomb power-of-two codes, in the manner of CCSDS 123.0-B (not to its letter):
 * each value of a picture of bins by channels is predicted from its neighbours to the left and in the two bins above by
 * weights that follow the sign of the error; one code parameter a channel follows the errors' mean size. A comparison
 * coder only.
 */
final class AdaptiveGolomb {
    private static final int WEIGHTS = 6;
    private static final int UNARY_LIMIT = 24;
    private static final int REACH = 8;

    private AdaptiveGolomb() {}

    /** Codes rows of equal length. */
    static byte[] encode(int[][] rows) {
        BitOutput out = new BitOutput();
        Predictor predictor = new Predictor(rows.length == 0 ? 0 : rows[0].length);
        for (int[] row : rows) {
            predictor.startRow();
            for (int c = 0; c < row.length; c++) {
                int mapped = zigzag(row[c] - predictor.predict(c));
                int k = predictor.parameter(c);
                if (mapped >>> k < UNARY_LIMIT) {
                    out.unary(mapped >>> k);
                    out.bits(k, mapped);
                } else {
                    out.unary(UNARY_LIMIT);
                    out.bits(32, mapped);
                }
                predictor.learn(c, row[c], mapped);
            }
        }
        return out.finish();
    }

    /** Decodes so many rows of so many values. */
    static int[][] decode(byte[] coded, int rows, int columns) {
        BitInput in = new BitInput(coded);
        Predictor predictor = new Predictor(columns);
        int[][] decoded = new int[rows][columns];
        for (int[] row : decoded) {
            predictor.startRow();
            for (int c = 0; c < columns; c++) {
                int predicted = predictor.predict(c);
                int k = predictor.parameter(c);
                long high = in.unary();
                int mapped = (int) (high == UNARY_LIMIT ? in.bits(32) : high << k | in.bits(k));
                row[c] = predicted + (mapped >>> 1 ^ -(mapped & 1));
                predictor.learn(c, row[c], mapped);
            }
        }
        return decoded;
    }

    private static int zigzag(int value) {
        return value << 1 ^ value >> 31;
    }

    private static final class Predictor {
        private static final int WEIGHT_BITS = 14;

        private final int[] weight = new int[WEIGHTS];
        private final int[] difference = new int[WEIGHTS];
        private final int[] size;
        private int[] row;
        private int[] above;
        private int[] above2;
        private int rows;
        private long predicted;

        Predictor(int columns) {
            size = new int[columns];
            row = new int[columns];
            above = new int[columns];
            above2 = new int[columns];
            java.util.Arrays.fill(size, 16 * 16);
        }

        void startRow() {
            int[] oldest = above2;
            above2 = above;
            above = row;
            row = oldest;
            rows++;
        }

        /** The value above carried along by what the last values to the left changed; then neighbours weighted. */
        int predict(int c) {
            int left = c > 0 ? row[c - 1] : above[c];
            java.util.Arrays.fill(difference, 0);
            if (rows == 1 || c == 0) {
                predicted = c > 1 ? 2L * left - row[c - 2] : left;
                return (int) predicted;
            }
            int reach = Math.min(c, REACH);
            long change = 0;
            long change2 = 0;
            for (int j = 1; j <= reach; j++) {
                change += row[c - j] - above[c - j];
                change2 += row[c - j] - above2[c - j];
            }
            int base = above[c] + (int) Math.floorDiv(change, reach);
            difference[0] = rows > 2 ? above2[c] + (int) Math.floorDiv(change2, reach) - base : 0;
            difference[1] = left - above[c - 1] - (base - above[c]);
            difference[2] = c > 1 ? row[c - 2] - above[c - 2] - (base - above[c]) : 0;
            difference[3] = (c + 1 < row.length ? above[c + 1] : above[c]) - 2 * above[c] + above[c - 1];
            difference[4] = base - above[c];
            difference[5] = left - row[Math.max(0, c - 2)];
            long sum = 0;
            for (int i = 0; i < WEIGHTS; i++) {
                sum += (long) weight[i] * difference[i];
            }
            predicted = base + (sum >> WEIGHT_BITS);
            return (int) predicted;
        }

        int parameter(int c) {
            int mean = size[c] / 16;
            int k = 0;
            while (k < 20 && 1 << k < mean) {
                k++;
            }
            return Math.max(0, k - 1);
        }

        void learn(int c, int value, int mapped) {
            row[c] = value;
            size[c] += mapped - size[c] / 16;
            long norm = 1;
            for (int d : difference) {
                norm += (long) d * d;
            }
            long error = value - predicted;
            for (int i = 0; i < WEIGHTS; i++) {
                weight[i] += (int) ((error * difference[i] << WEIGHT_BITS - 5) / norm);
                weight[i] = Math.max(-(2 << WEIGHT_BITS), Math.min(2 << WEIGHT_BITS, weight[i]));
            }
        }
    }
}
