package sunward.bench;

/** The prediction that general compressors do best with: left plus above less above left. */
final class Delta {
    private Delta() {}

    /** Differences of rows of equal length. */
    static int[][] twoWay(int[][] rows) {
        int[][] delta = new int[rows.length][];
        for (int i = 0; i < rows.length; i++) {
            delta[i] = new int[rows[i].length];
            for (int c = 0; c < delta[i].length; c++) {
                delta[i][c] = rows[i][c] - predicted(rows, i, c);
            }
        }
        return delta;
    }

    /** The rows again. */
    static int[][] undoTwoWay(int[][] delta) {
        int[][] rows = new int[delta.length][];
        for (int i = 0; i < rows.length; i++) {
            rows[i] = new int[delta[i].length];
            for (int c = 0; c < rows[i].length; c++) {
                rows[i][c] = delta[i][c] + predicted(rows, i, c);
            }
        }
        return rows;
    }

    private static int predicted(int[][] rows, int i, int c) {
        int left = c > 0 ? rows[i][c - 1] : 0;
        int above = i > 0 ? rows[i - 1][c] : 0;
        return left + above - (i > 0 && c > 0 ? rows[i - 1][c - 1] : 0);
    }
}
