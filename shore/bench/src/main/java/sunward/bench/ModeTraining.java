package sunward.bench;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.hipparchus.linear.ArrayRealVector;
import org.hipparchus.linear.CholeskyDecomposition;
import org.hipparchus.linear.EigenDecompositionSymmetric;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealMatrix;
import sunward.protocol.spectra.BinRecord;

/**
 * Finds the few ways in which the logarithm of light changes from bin to bin: of pairs of bins of training dives, each change
 * weighted by what is known of it, the low-rank model of least squares, by rows and columns in turn (weighted alternating least
 * squares: K. R. Gabriel and S. Zamir 1979). The first mode is grey and stays so; every pair may differ in its dark level too. Pairs that no
 * few modes can follow count less, and modes are kept smooth where light says little.
 */
final class ModeTraining {
    private static final int CHANNELS = 720;
    private static final int[] LAGS = {1, 2, 4};

    /** One pair in so many is used. */
    private static final int THINNED = 12;

    private static final int SWEEPS = 12;
    private static final double LEAST_SNR = 0.5;
    private static final double LOG_SNR = 15;
    private static final double MOST_WEIGHT = 300 * 300;
    private static final double SMOOTH = 3;
    private static final double RIDGE = 0.01;

    private final List<float[]> change = new ArrayList<>();
    private final List<float[]> weight = new ArrayList<>();
    private final List<float[]> dark = new ArrayList<>();
    private int pairs;

    /** Takes the bins of one head. */
    void learn(DiveBins dive, List<BinRecord> bins) {
        List<BinRecord> clear =
                bins.stream().filter(b -> b.samples == CHANNELS && !b.shaded).toList();
        for (int lag : LAGS) {
            for (int i = lag; i < clear.size(); i++) {
                if (pairs++ % THINNED == 0) {
                    pair(dive, clear.get(i - lag), clear.get(i));
                }
            }
        }
    }

    private void pair(DiveBins dive, BinRecord then, BinRecord now) {
        NoiseUnits units = dive.units();
        double longer = dive.exposureS(now) / dive.exposureS(then);
        float[] x = new float[CHANNELS];
        float[] w = new float[CHANNELS];
        float[] d = new float[CHANNELS];
        for (int c = 0; c < CHANNELS; c++) {
            double is = now.counts[c] / 64.0;
            double before = Math.max(0, then.counts[c] / 64.0);
            double expected = before * longer;
            double variance = units.variance(expected);
            double snr = Math.sqrt(now.used / variance) * expected;
            if (snr < LEAST_SNR) {
                continue;
            }
            double known = 1 + now.used / (double) then.used * units.variance(before) * longer * longer / variance;
            boolean bright = snr > LOG_SNR && is > 0;
            x[c] = (float)
                    (bright
                            ? Math.log(is / expected)
                            : (units.of(is) - units.of(expected)) * Math.sqrt(now.used) / snr);
            w[c] = (float) Math.min(MOST_WEIGHT, snr * snr / known);
            d[c] = (float) (1 / expected);
        }
        change.add(x);
        weight.add(w);
        dark.add(d);
    }

    /** So many modes, each with 1 as its largest value. */
    double[][] modes(int count) {
        double[][] modes = new double[count][CHANNELS];
        for (int m = 0; m < count; m++) {
            for (int c = 0; c < CHANNELS; c++) {
                modes[m][c] = Math.cos(m * Math.PI * (c + 0.5) / CHANNELS);
            }
        }
        double[][] amounts = new double[change.size()][];
        double[] trust = new double[change.size()];
        for (int sweep = 0; sweep < SWEEPS; sweep++) {
            for (int i = 0; i < amounts.length; i++) {
                amounts[i] = amounts(i, modes);
                trust[i] = trust(i, amounts[i], modes);
            }
            for (int m = 1; m < count; m++) {
                modes[m] = improved(m, modes, amounts, trust);
            }
        }
        return ordered(modes, amounts, trust);
    }

    /** Amounts of the modes in a pair, and last the change of its dark level. */
    private double[] amounts(int pair, double[][] modes) {
        int n = modes.length;
        float[] x = change.get(pair);
        float[] w = weight.get(pair);
        double[][] a = new double[n + 1][n + 1];
        double[] b = new double[n + 1];
        double[] row = new double[n + 1];
        for (int c = 0; c < CHANNELS; c++) {
            for (int m = 0; m <= n; m++) {
                row[m] = m < n ? modes[m][c] : dark.get(pair)[c];
            }
            for (int m = 0; m <= n; m++) {
                for (int k = 0; k <= m; k++) {
                    a[m][k] += w[c] * row[m] * row[k];
                }
                b[m] += w[c] * row[m] * x[c];
            }
        }
        for (int m = 0; m <= n; m++) {
            a[m][m] += RIDGE;
            for (int k = 0; k < m; k++) {
                a[k][m] = a[m][k];
            }
        }
        return new CholeskyDecomposition(MatrixUtils.createRealMatrix(a), 1e-6, 0)
                .getSolver()
                .solve(new ArrayRealVector(b, false))
                .toArray();
    }

    private double left(int pair, int c, double[] amounts, double[][] modes) {
        double left = change.get(pair)[c] - amounts[modes.length] * dark.get(pair)[c];
        for (int m = 0; m < modes.length; m++) {
            left -= amounts[m] * modes[m][c];
        }
        return left;
    }

    private double trust(int pair, double[] amounts, double[][] modes) {
        double squares = 0;
        for (int c = 0; c < CHANNELS; c++) {
            double left = left(pair, c, amounts, modes);
            squares += weight.get(pair)[c] * left * left;
        }
        return 1 / (1 + Math.max(0, squares - CHANNELS) / 100);
    }

    /** A mode by the residuals of the others, its second differences held down. */
    private double[] improved(int mode, double[][] modes, double[][] amounts, double[] trust) {
        double[] along = new double[CHANNELS];
        double[] square = new double[CHANNELS];
        double smooth = 0;
        for (int i = 0; i < amounts.length; i++) {
            double a = amounts[i][mode];
            smooth += SMOOTH * trust[i] * a * a;
            for (int c = 0; c < CHANNELS; c++) {
                double w = trust[i] * weight.get(i)[c] * a;
                along[c] += w * (left(i, c, amounts[i], modes) + a * modes[mode][c]);
                square[c] += w * a;
            }
        }
        double[][] matrix = new double[CHANNELS][CHANNELS];
        double least = 1e-9 * Arrays.stream(square).max().orElse(0);
        int[] second = {1, -2, 1};
        for (int c = 0; c < CHANNELS; c++) {
            matrix[c][c] += square[c] + least;
            for (int i = 0; i < 3 && c + 2 < CHANNELS; i++) {
                for (int k = 0; k < 3; k++) {
                    matrix[c + i][c + k] += smooth * second[i] * second[k];
                }
            }
        }
        return new CholeskyDecomposition(MatrixUtils.createRealMatrix(matrix), 1e-6, 0)
                .getSolver()
                .solve(new ArrayRealVector(along, false))
                .toArray();
    }

    /** The modes but the first turned so that each takes as much as it can of what those before leave. */
    private double[][] ordered(double[][] modes, double[][] amounts, double[] trust) {
        int n = modes.length - 1;
        double[] w = new double[CHANNELS];
        double[][] spread = new double[n][n];
        for (int i = 0; i < amounts.length; i++) {
            for (int c = 0; c < CHANNELS; c++) {
                w[c] += trust[i] * weight.get(i)[c] / amounts.length;
            }
            for (int m = 0; m < n; m++) {
                for (int k = 0; k < n; k++) {
                    spread[m][k] += trust[i] * amounts[i][m + 1] * amounts[i][k + 1] / amounts.length;
                }
            }
        }
        double[][] metric = new double[n][n];
        for (int m = 0; m < n; m++) {
            for (int k = 0; k < n; k++) {
                for (int c = 0; c < CHANNELS; c++) {
                    metric[m][k] += w[c] * modes[m + 1][c] * modes[k + 1][c];
                }
            }
        }
        RealMatrix root = new CholeskyDecomposition(MatrixUtils.createRealMatrix(metric), 1e-6, 0).getL();
        RealMatrix turned =
                root.transpose().multiply(MatrixUtils.createRealMatrix(spread)).multiply(root);
        RealMatrix half = turned.add(turned.transpose()).scalarMultiply(0.5);
        RealMatrix directions = new EigenDecompositionSymmetric(half).getV().transpose();
        RealMatrix shapes = MatrixUtils.createRealMatrix(Arrays.copyOfRange(modes, 1, n + 1));
        RealMatrix upright = MatrixUtils.inverse(root).multiply(shapes);
        double[][] result = new double[n + 1][];
        result[0] = modes[0];
        for (int m = 0; m < n; m++) {
            result[m + 1] = directions.multiply(upright).getRow(m);
        }
        for (double[] mode : result) {
            double most = 0;
            for (double v : mode) {
                most = Math.abs(v) > Math.abs(most) ? v : most;
            }
            for (int c = 0; c < CHANNELS; c++) {
                mode[c] /= most;
            }
        }
        return result;
    }
}
