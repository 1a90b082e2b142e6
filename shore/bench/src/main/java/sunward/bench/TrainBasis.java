package sunward.bench;

import java.io.ByteArrayOutputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import org.apache.commons.csv.CSVRecord;
import org.hipparchus.linear.EigenDecompositionSymmetric;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealMatrix;
import sunward.protocol.spectra.BinRecord;

/**
 * Makes the table of codec 2: {@code TrainBasis TRAINING.csv SPECTRAL-BASIS.bin}. Rows of 720 numbers of 16 bits, high byte
 * first:
 *
 * <ol>
 *   <li>steps of the band patterns, in 1/64 of a bin's noise, zero beyond them;
 *   <li>attenuation to expect before any is known, 1/4096 per dbar;
 *   <li>{@value #BAND_ROWS} band patterns, in 2^-15: the directions in which errors of Gaussian bands lie, the most visible
 *       first, of unit length. They follow from the bands alone;
 *   <li>{@value #SHAPE_ROWS} spectral shapes, in 2^-15: principal directions of the flown bins' levels above dark, each bin in
 *       units of its own noise.
 * </ol>
 */
public final class TrainBasis {
    static final int BAND_ROWS = 56;
    static final int SHAPE_ROWS = 36;
    private static final int CHANNELS = 720;

    /** Mean squared error in units of a band's own variance that one step leaves in a pattern. */
    private static final double LEFT = 0.235;

    /** Errors outside 400 to 700 nm count so much as those within. */
    private static final double SHORT_WEIGHT = 0.35;

    private static final double LONG_WEIGHT = 0.42;
    private static final double FULL_WIDTH_PER_SIGMA = 2.3548200450309493;
    private static final double REACH = 4;
    private static final double BRIGHT = 400;

    private final double[][] shapes = new double[CHANNELS][CHANNELS];
    private final double[] fallen = new double[CHANNELS];
    private final double[] fallenWeight = new double[CHANNELS];

    private TrainBasis() {}

    /** Runs. */
    public static void main(String[] arguments) throws IOException {
        PrintStream out = new PrintStream(System.out, true, StandardCharsets.UTF_8);
        if (arguments.length != 2) {
            out.println("Give the training conditions and the file to write.");
            return;
        }
        TrainBasis training = new TrainBasis();
        double[] nm = {};
        int dives = 0;
        for (CSVRecord row : CodecBench.rows(Path.of(arguments[0]))) {
            DiveBins dive = new Condition(row, 0).fly();
            nm = dive.channelNm().stream().mapToDouble(w -> w).toArray();
            for (int head = 0; head < dive.heads(); head++) {
                training.learn(dive, dive.ofHead(head));
            }
            dives++;
        }
        byte[] table = training.table(nm);
        Files.write(Path.of(arguments[1]), table);
        out.println(dives + " dives, " + table.length + " bytes");
    }

    private void learn(DiveBins dive, List<BinRecord> bins) {
        NoiseUnits units = dive.units();
        double[] before = null;
        BinRecord last = null;
        for (BinRecord bin : bins) {
            if (bin.samples != CHANNELS || bin.shaded) {
                continue;
            }
            double[] rate = new double[CHANNELS];
            double[] y = new double[CHANNELS];
            for (int c = 0; c < CHANNELS; c++) {
                double counts = bin.counts[c] / 64.0;
                y[c] = units.of(counts) * Math.sqrt(bin.used);
                rate[c] = counts / dive.exposureS(bin);
            }
            for (int a = 0; a < CHANNELS; a++) {
                for (int b = 0; b <= a; b++) {
                    shapes[a][b] += y[a] * y[b];
                }
            }
            if (last != null) {
                double step = (bin.pressureMdbar - last.pressureMdbar) / 1000.0;
                for (int c = 0; c < CHANNELS; c++) {
                    if (y[c] > 40 && rate[c] > 0 && before[c] > 0 && step > 0.01) {
                        double weight = Math.min(BRIGHT, y[c]);
                        fallen[c] += weight * weight * step * Math.log(before[c] / rate[c]);
                        fallenWeight[c] += weight * weight * step * step;
                    }
                }
            }
            last = bin;
            before = rate;
        }
    }

    private byte[] table(double[] nm) {
        for (int a = 0; a < CHANNELS; a++) {
            for (int b = 0; b < a; b++) {
                shapes[b][a] = shapes[a][b];
            }
        }
        double[][] seen = visible(nm);
        EigenDecompositionSymmetric bands = new EigenDecompositionSymmetric(MatrixUtils.createRealMatrix(seen));
        EigenDecompositionSymmetric flown = new EigenDecompositionSymmetric(MatrixUtils.createRealMatrix(shapes));
        double[] steps = new double[CHANNELS];
        for (int k = 0; k < BAND_ROWS; k++) {
            steps[k] = 64 * Math.sqrt(12 * LEFT / bands.getEigenvalues()[k]);
        }
        double[] attenuation = new double[CHANNELS];
        double known = 0;
        for (int c = 0; c < CHANNELS; c++) {
            known = fallenWeight[c] > 0 ? fallen[c] / fallenWeight[c] : known;
            attenuation[c] = 4096 * known;
        }
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        try (DataOutputStream out = new DataOutputStream(bytes)) {
            write(out, steps);
            write(out, attenuation);
            rows(out, bands.getV(), BAND_ROWS);
            rows(out, flown.getV(), SHAPE_ROWS);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return bytes.toByteArray();
    }

    /** Inner products of the channels in the bands of all the range, wider where a finer look is of no use. */
    private static double[][] visible(double[] nm) {
        double[][] sum = new double[CHANNELS][CHANNELS];
        for (double centre = nm[0]; centre <= nm[CHANNELS - 1]; centre += Bands.STEP_NM) {
            boolean isLong = centre > 701;
            boolean isShort = centre < 399;
            double sigma = (isLong ? 20 : 10) / FULL_WIDTH_PER_SIGMA;
            double[] w = new double[CHANNELS];
            double squares = 0;
            for (int c = 0; c < CHANNELS; c++) {
                double off = (nm[c] - centre) / sigma;
                w[c] = Math.abs(off) > REACH ? 0 : Math.exp(-0.5 * off * off);
                squares += w[c] * w[c];
            }
            double share = isLong ? LONG_WEIGHT : isShort ? SHORT_WEIGHT : 1;
            double scale = share * share / squares;
            for (int a = 0; a < CHANNELS; a++) {
                for (int b = 0; b < CHANNELS && w[a] > 0; b++) {
                    sum[a][b] += scale * w[a] * w[b];
                }
            }
        }
        return sum;
    }

    private static void rows(DataOutputStream out, RealMatrix vectors, int count) throws IOException {
        for (int k = 0; k < count; k++) {
            double[] v = vectors.getColumn(k);
            double sign = Math.signum(Arrays.stream(v).sum());
            for (int c = 0; c < CHANNELS; c++) {
                v[c] *= 32768 * (sign == 0 ? 1 : sign);
            }
            write(out, v);
        }
    }

    private static void write(DataOutputStream out, double[] row) throws IOException {
        for (double v : row) {
            out.writeShort((short) Math.max(-32768, Math.min(32767, Math.rint(v))));
        }
    }
}
