package sunward.bench;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.apache.commons.csv.CSVRecord;
import org.hipparchus.linear.Array2DRowRealMatrix;
import org.hipparchus.linear.CholeskyDecomposition;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.SingularValueDecomposition;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.Outline;
import sunward.protocol.spectra.OutlineBasis;

/**
 * Makes the table of outlines: {@code TrainOutline CONDITIONS.csv TABLE.txt}. Dives of the conditions are flown without noise
 * and waves; logarithms of their counts per second are fitted by a mean, a few spectra, and a smooth response of each dive's
 * head, which is the same at all depths and stays out of the table; each channel is weighed by what its noise would be
 * (weighted low-rank approximation by alternating least squares: K. R. Gabriel and S. Zamir 1979, Technometrics 21, 489).
 * The spectra are turned to their principal axes.
 */
public final class TrainOutline {
    private static final int RANK = OutlineBasis.RANK;
    private static final int NODES = OutlineBasis.NODES;
    private static final int ROUNDS = 48;
    private static final int EVERY = 6;
    private static final int USUAL_SCANS = 30;
    private static final double FLOOR = 0.0007;
    private static final double DARK = 2e-3;

    private final List<double[]> spectra = new ArrayList<>();
    private final List<double[]> weights = new ArrayList<>();
    private final List<double[]> responses = new ArrayList<>();

    /** Index of each spectrum's first fellow of the same dive and head. */
    private final List<Integer> fellows = new ArrayList<>();

    private final double[] mean = new double[NODES];
    private double[][] vector;
    private double[][] coefficient;

    private TrainOutline() {}

    /** Trains. */
    public static void main(String[] arguments) throws IOException {
        PrintStream out = new PrintStream(System.out, true, StandardCharsets.UTF_8);
        if (arguments.length != 2) {
            out.println("Give a conditions file and the table to write.");
            return;
        }
        TrainOutline training = new TrainOutline();
        for (CSVRecord row : CodecBench.rows(Path.of(arguments[0]))) {
            training.add(new Condition(row, 0).truth());
        }
        training.start();
        for (int round = 0; round < ROUNDS; round++) {
            double misfit = training.round();
            if (round % 10 == 9) {
                out.println("round " + (round + 1) + ": mean square misfit " + misfit + " of noise and floor");
            }
        }
        Files.writeString(
                Path.of(arguments[1]), training.table(Path.of(arguments[0]).getFileName() + ""));
    }

    private void add(DiveBins dive) {
        for (int head = 0; head < dive.heads(); head++) {
            int first = spectra.size();
            List<BinRecord> bins = dive.ofHead(head);
            for (int i = head; i < bins.size(); i += EVERY) {
                BinRecord bin = bins.get(i);
                if (!bin.shaded && bin.samples == NODES && DiveBins.depthM(bin) > 0) {
                    add(dive, bin);
                    fellows.add(first);
                    responses.add(new double[NODES]);
                }
            }
        }
    }

    private void add(DiveBins dive, BinRecord bin) {
        NoiseUnits units = dive.units();
        double[] spectrum = new double[NODES];
        double[] weight = new double[NODES];
        double t = dive.exposureS(bin);
        for (int k = 0; k < NODES; k++) {
            double rate = Math.max(DARK / 2, bin.counts[k] / 64.0 / t);
            double noise = units.variance(rate * t) / (USUAL_SCANS * t * t);
            spectrum[k] = Math.log(rate);
            weight[k] = (rate < DARK ? 1e-6 : 1) / (noise / (rate * rate) + FLOOR * FLOOR);
        }
        spectra.add(spectrum);
        weights.add(weight);
    }

    private void start() {
        int n = spectra.size();
        double[] sums = new double[NODES];
        for (int i = 0; i < n; i++) {
            for (int k = 0; k < NODES; k++) {
                mean[k] += weights.get(i)[k] * spectra.get(i)[k];
                sums[k] += weights.get(i)[k];
            }
        }
        for (int k = 0; k < NODES; k++) {
            mean[k] /= sums[k];
        }
        double[][] square = new double[NODES][NODES];
        for (int i = 0; i < n; i++) {
            double[] tapered = new double[NODES];
            for (int k = 0; k < NODES; k++) {
                double bright = Math.min(1, 20 * FLOOR * Math.sqrt(weights.get(i)[k]));
                tapered[k] = bright * (spectra.get(i)[k] - mean[k]);
            }
            for (int k = 0; k < NODES; k++) {
                for (int l = 0; l < NODES; l++) {
                    square[k][l] += tapered[k] * tapered[l];
                }
            }
        }
        RealMatrix axes = new SingularValueDecomposition(new Array2DRowRealMatrix(square, false)).getU();
        vector = axes.getSubMatrix(0, NODES - 1, 0, RANK - 1).getData();
        coefficient = new double[n][RANK];
    }

    private double round() {
        double misfit = 0;
        for (int i = 0; i < spectra.size(); i++) {
            coefficient[i] = solve(vector, weights.get(i), off(i), RANK, 1);
        }
        int n = spectra.size();
        for (int k = 0; k < NODES; k++) {
            double[] w = new double[n];
            double[] y = new double[n];
            for (int i = 0; i < n; i++) {
                w[i] = weights.get(i)[k];
                y[i] = spectra.get(i)[k] - mean[k] - responses.get(fellows.get(i))[k];
            }
            vector[k] = solve(coefficient, w, y, RANK, 100);
            double sum = 0;
            double weight = 0;
            for (int i = 0; i < n; i++) {
                double left = y[i] - dot(coefficient[i], vector[k]);
                misfit += w[i] * left * left / n / NODES;
                sum += w[i] * left;
                weight += w[i];
            }
            mean[k] += sum / weight / 2;
        }
        respond();
        return misfit;
    }

    /** Responses of the heads anew: what all depths of a dive have in common beside the model, smooth over the channels. */
    private void respond() {
        int cosines = Outline.COSINES;
        double[][] cosine = new double[NODES][cosines];
        for (int k = 0; k < NODES; k++) {
            for (int a = 0; a < cosines; a++) {
                cosine[k][a] = Math.cos(Math.PI * a * (k + 0.5) / NODES);
            }
        }
        for (int first = 0; first < spectra.size(); first++) {
            if (fellows.get(first) != first) {
                continue;
            }
            double[] w = new double[NODES];
            double[] y = new double[NODES];
            for (int i = first; i < spectra.size() && fellows.get(i) == first; i++) {
                double[] off = off(i);
                for (int k = 0; k < NODES; k++) {
                    w[k] += weights.get(i)[k];
                    y[k] += weights.get(i)[k] * (off[k] - dot(coefficient[i], vector[k]));
                }
            }
            for (int k = 0; k < NODES; k++) {
                y[k] /= w[k];
            }
            double[] more = solve(cosine, w, y, cosines, 1);
            for (int k = 0; k < NODES; k++) {
                responses.get(first)[k] += dot(more, cosine[k]);
            }
        }
    }

    private double[] off(int i) {
        double[] off = new double[NODES];
        Arrays.setAll(off, k -> spectra.get(i)[k] - mean[k] - responses.get(fellows.get(i))[k]);
        return off;
    }

    private static double dot(double[] a, double[] b) {
        double sum = 0;
        for (int m = 0; m < a.length; m++) {
            sum += a[m] * b[m];
        }
        return sum;
    }

    /** Weighted least squares with a ridge. */
    private static double[] solve(double[][] rows, double[] weight, double[] y, int rank, double ridge) {
        double[][] a = new double[rank][rank];
        double[] b = new double[rank];
        for (int i = 0; i < rows.length; i++) {
            for (int m = 0; m < rank; m++) {
                double wx = weight[i] * rows[i][m];
                b[m] += wx * y[i];
                for (int n = 0; n <= m; n++) {
                    a[m][n] += wx * rows[i][n];
                }
            }
        }
        for (int m = 0; m < rank; m++) {
            a[m][m] += ridge;
            for (int n = 0; n < m; n++) {
                a[n][m] = a[m][n];
            }
        }
        RealMatrix matrix = new Array2DRowRealMatrix(a, false);
        return new CholeskyDecomposition(matrix, 1e-9, 1e-30)
                .getSolver()
                .solve(new org.hipparchus.linear.ArrayRealVector(b, false))
                .toArray();
    }

    /** Principal axes, largest first; sizes are the root mean square of their coefficients. */
    private String table(String conditions) {
        int n = spectra.size();
        double[][] square = new double[RANK][RANK];
        for (double[] c : coefficient) {
            for (int a = 0; a < RANK; a++) {
                for (int b = 0; b < RANK; b++) {
                    square[a][b] += c[a] * c[b] / n;
                }
            }
        }
        RealMatrix v = new Array2DRowRealMatrix(vector, false);
        // Half of the covariance on either side, so that its singular vectors are those of all modelled spectra.
        SingularValueDecomposition inner = new SingularValueDecomposition(new Array2DRowRealMatrix(square, false));
        RealMatrix root = inner.getU().multiply(diagonalRoot(inner.getSingularValues()));
        SingularValueDecomposition axes = new SingularValueDecomposition(v.multiply(root));
        StringBuilder text = new StringBuilder(
                "# Mean and spectra of change of upwelling logarithms; made by TrainOutline of "
                        + conditions + " (invented dives), see DEVELOPERS.md.\n"
                        + "# Rows: sizes of the coefficients and mean spectrum (2^-16), then the spectra of change (2^-20).\n");
        double[] sizes = axes.getSingularValues();
        row(text, Arrays.copyOf(sizes, RANK), OutlineBasis.MEAN_BITS);
        row(text, mean, OutlineBasis.MEAN_BITS);
        for (int m = 0; m < RANK; m++) {
            row(text, axes.getU().getColumn(m), OutlineBasis.VECTOR_BITS);
        }
        return text.toString();
    }

    private static RealMatrix diagonalRoot(double[] values) {
        double[][] d = new double[values.length][values.length];
        for (int i = 0; i < values.length; i++) {
            d[i][i] = Math.sqrt(values[i]);
        }
        return new Array2DRowRealMatrix(d, false);
    }

    private static void row(StringBuilder text, double[] values, int bits) {
        for (int i = 0; i < values.length; i++) {
            text.append(i == 0 ? "" : " ").append(Math.round(values[i] * (1 << bits)));
        }
        text.append('\n');
    }
}
