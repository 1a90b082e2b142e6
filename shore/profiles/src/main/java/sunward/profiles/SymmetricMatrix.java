package sunward.profiles;

/** Small symmetric positive definite matrices, by Cholesky's decomposition. */
final class SymmetricMatrix {
    private SymmetricMatrix() {}

    /** The inverse, or null when the matrix is not positive definite. */
    static double[][] inverse(double[][] matrix) {
        int n = matrix.length;
        double[][] lower = new double[n][n];
        for (int i = 0; i < n; i++) {
            for (int j = 0; j <= i; j++) {
                double sum = matrix[i][j];
                for (int k = 0; k < j; k++) {
                    sum -= lower[i][k] * lower[j][k];
                }
                if (i != j) {
                    lower[i][j] = sum / lower[j][j];
                } else if (sum > 0) {
                    lower[i][i] = Math.sqrt(sum);
                } else {
                    return null;
                }
            }
        }
        double[][] inverse = new double[n][n];
        for (int column = 0; column < n; column++) {
            double[] x = new double[n];
            for (int i = column; i < n; i++) {
                double sum = i == column ? 1 : 0;
                for (int k = column; k < i; k++) {
                    sum -= lower[i][k] * x[k];
                }
                x[i] = sum / lower[i][i];
            }
            for (int i = n - 1; i >= 0; i--) {
                double sum = x[i];
                for (int k = i + 1; k < n; k++) {
                    sum -= lower[k][i] * inverse[k][column];
                }
                inverse[i][column] = sum / lower[i][i];
            }
        }
        return inverse;
    }
}
