package sunward.bench;

import java.io.ByteArrayOutputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Base64;
import java.util.List;
import java.util.stream.Collectors;
import org.apache.commons.csv.CSVRecord;
import org.hipparchus.linear.EigenDecompositionSymmetric;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealMatrix;
import sunward.protocol.spectra.BasisCensus;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockHeader;

/**
 * Makes the tables of codec 2, as files and as constants in code: {@code TrainBasis TRAINING.csv PROJECT basis|census}.
 *
 * <p>{@code basis} makes {@code spectral-basis.bin}, rows of 720 numbers of 16 bits, high byte first:
 *
 * <ol>
 *   <li>steps of the band patterns, in 1/64 of a bin's noise; then, counted by {@code census}, usual sizes of their amounts in
 *       later spectra and in a body's first; zero beyond them;
 *   <li>attenuation to expect before any is known, 1/4096 per dbar;
 *   <li>{@value #MODE_ROWS} modes, in 2^-14: see {@link ModeTraining};
 *   <li>{@value #WITHIN_ROWS} band patterns, in 2^-15: the directions in which errors of Gaussian bands of 400 to 700 nm lie, the
 *       most visible first, of unit length; then {@value #OUTSIDE_ROWS} of what bands outside that range see besides. They follow
 *       from the bands alone;
 *   <li>{@value #SHAPE_ROWS} spectral shapes, in 2^-15: principal directions of the flown bins' levels above dark, each bin in
 *       units of its own noise.
 * </ol>
 *
 * <p>{@code census} counts what the codec, as it is built, writes for the training dives at step code 8, and makes the usual
 * sizes and {@code basis-start.txt} from that. One changes the other, so it is run twice, with a build between.
 */
public final class TrainBasis {
    static final int MODE_ROWS = 8;
    static final int WITHIN_ROWS = 46;
    static final int OUTSIDE_ROWS = 16;
    static final int SHAPE_ROWS = 36;
    private static final int BAND_ROWS = WITHIN_ROWS + OUTSIDE_ROWS;
    private static final int CHANNELS = 720;
    private static final int STEP_CODE = 8;
    private static final int USUAL_SIZE = 70;

    /** Mean squared error in units of a band's own variance that one step leaves in a pattern. */
    private static final double LEFT = 0.235;

    /** Errors outside 400 to 700 nm count so much as those within. */
    private static final double SHORT_WEIGHT = 0.27;

    private static final double LONG_WEIGHT = 0.33;

    /** From here on bands are twice as wide: little light, little structure. */
    private static final double WIDE_NM = 745;

    private static final double FULL_WIDTH_PER_SIGMA = 2.3548200450309493;
    private static final double REACH = 4;
    private static final double NEGLIGIBLE = 1e-6;
    private static final double BRIGHT = 400;
    private static final String TABLES = "protocol/tables/";
    private static final String SOURCES = "protocol/wire/src/main/java/sunward/protocol/spectra/";

    private final double[][] shapes = new double[CHANNELS][CHANNELS];
    private final double[] fallen = new double[CHANNELS];
    private final double[] fallenWeight = new double[CHANNELS];
    private final ModeTraining modes = new ModeTraining();

    private TrainBasis() {}

    /** Runs. */
    public static void main(String[] arguments) throws IOException {
        PrintStream out = new PrintStream(System.out, true, StandardCharsets.UTF_8);
        if (arguments.length != 3 || !List.of("basis", "census").contains(arguments[2])) {
            out.println("Give the training conditions, the directory of the project, and basis or census.");
            return;
        }
        Path project = Path.of(arguments[1]);
        List<CSVRecord> rows = CodecBench.rows(Path.of(arguments[0]));
        Iterable<DiveBins> dives =
                () -> rows.stream().map(row -> new Condition(row, 0).fly()).iterator();
        if (arguments[2].equals("basis")) {
            basis(dives, project);
        } else {
            census(dives, project);
        }
        out.println(rows.size() + " dives");
    }

    static void basis(Iterable<DiveBins> dives, Path project) throws IOException {
        TrainBasis training = new TrainBasis();
        double[] nm = {};
        for (DiveBins dive : dives) {
            nm = dive.channelNm().stream().mapToDouble(w -> w).toArray();
            for (int head = 0; head < dive.heads(); head++) {
                training.learn(dive, dive.ofHead(head));
                training.modes.learn(dive, dive.ofHead(head));
            }
        }
        writeBasis(project, training.table(nm));
    }

    private static void writeBasis(Path project, byte[] table) throws IOException {
        Files.write(project.resolve(TABLES + "spectral-basis.bin"), table);
        List<String> lines = new ArrayList<>();
        for (int row = 0; row < table.length; row += 2 * CHANNELS) {
            lines.add("        \""
                    + Base64.getEncoder().encodeToString(Arrays.copyOfRange(table, row, row + 2 * CHANNELS)) + "\"");
        }
        replace(project.resolve(SOURCES + "BasisRows.java"), "String[] BASE64 = {", lines);
    }

    static void census(Iterable<DiveBins> dives, Path project) throws IOException {
        BasisCensus census = new BasisCensus();
        for (DiveBins dive : dives) {
            BlockHeader header = OwnCodec.header(dive, 2);
            List<OwnCodec.Sent> messages = OwnCodec.messages(dive, 2, STEP_CODE, OwnCodec.MESSAGE_BYTES);
            if (messages == null) {
                messages = OwnCodec.messages(dive, 2, STEP_CODE, OwnCodec.LONG_MESSAGE_BYTES);
            }
            for (OwnCodec.Sent message : messages) {
                census.add(message.bins(), header, STEP_CODE);
            }
        }
        byte[] table = Files.readAllBytes(project.resolve(TABLES + "spectral-basis.bin"));
        for (int k = 0; k < BAND_ROWS; k++) {
            put(table, BAND_ROWS + k, census.sizes(false)[k]);
            put(table, 2 * BAND_ROWS + k, census.sizes(true)[k]);
        }
        writeBasis(project, table);
        writeStarts(project, census.starts());
    }

    private static void put(byte[] table, int number, double value) {
        int whole = (int) Math.max(1, Math.rint(value));
        table[2 * number] = (byte) (whole >> 8);
        table[2 * number + 1] = (byte) whole;
    }

    private static void writeStarts(Path project, List<int[]> starts) throws IOException {
        String head = """
                # Start of the models of codec 2: one line per source, in this order: 18 contexts, 9 modes, count, gap and size of novel
                # cells, 5 misfits, trim, 22 fields of a body's first bin, 22 fields of later bins. Each number: chance in 256 that a size
                # class, from 0 up, is the one, given that no smaller class is. Classes beyond the line's end: 154. Counted on invented dives.
                """;
        String text = starts.stream().map(line -> joined(line, " ") + "\n").collect(Collectors.joining());
        Files.writeString(project.resolve(TABLES + "basis-start.txt"), head + text, StandardCharsets.UTF_8);
        List<String> lines = starts.stream()
                .map(line -> "        {" + joined(line, ", ") + "}")
                .toList();
        replace(project.resolve(SOURCES + "BasisStart.java"), "int[][] STOP = {", lines);
    }

    private static String joined(int[] numbers, String by) {
        return Arrays.stream(numbers).mapToObj(Integer::toString).collect(Collectors.joining(by));
    }

    /** Puts lines between an opening and the end of its array. */
    private static void replace(Path source, String opening, List<String> lines) throws IOException {
        String text = Files.readString(source, StandardCharsets.UTF_8);
        int from = text.indexOf(opening) + opening.length();
        int to = text.indexOf("    };", from);
        String changed = text.substring(0, from) + "\n" + String.join(",\n", lines) + "\n" + text.substring(to);
        Files.writeString(source, changed, StandardCharsets.UTF_8);
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
        EigenDecompositionSymmetric flown = new EigenDecompositionSymmetric(MatrixUtils.createRealMatrix(shapes));
        EigenDecompositionSymmetric within =
                new EigenDecompositionSymmetric(MatrixUtils.createRealMatrix(visible(nm, true)));
        RealMatrix patterns = within.getV().getSubMatrix(0, CHANNELS - 1, 0, WITHIN_ROWS - 1);
        RealMatrix rest =
                MatrixUtils.createRealIdentityMatrix(CHANNELS).subtract(patterns.multiply(patterns.transpose()));
        RealMatrix seen =
                rest.multiply(MatrixUtils.createRealMatrix(visible(nm, false))).multiply(rest);
        EigenDecompositionSymmetric outside =
                new EigenDecompositionSymmetric(seen.add(seen.transpose()).scalarMultiply(0.5));
        double[] steps = new double[CHANNELS];
        for (int k = 0; k < BAND_ROWS; k++) {
            double visible = k < WITHIN_ROWS ? within.getEigenvalues()[k] : outside.getEigenvalues()[k - WITHIN_ROWS];
            steps[k] = 64 * Math.sqrt(12 * LEFT / visible);
            steps[BAND_ROWS + k] = USUAL_SIZE;
            steps[2 * BAND_ROWS + k] = USUAL_SIZE;
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
            for (double[] mode : modes.modes(MODE_ROWS)) {
                write(out, Arrays.stream(mode).map(v -> 16384 * v).toArray());
            }
            rows(out, within.getV(), WITHIN_ROWS);
            rows(out, outside.getV(), OUTSIDE_ROWS);
            rows(out, flown.getV(), SHAPE_ROWS);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return bytes.toByteArray();
    }

    /** Inner products of the channels in the bands from 400 to 700 nm, or in those outside. */
    private static double[][] visible(double[] nm, boolean isWithin) {
        double[][] sum = new double[CHANNELS][CHANNELS];
        for (int c = 0; c < CHANNELS; c++) {
            sum[c][c] = NEGLIGIBLE; // decompositions of what is exactly singular need not converge
        }
        int last = (int) ((nm[CHANNELS - 1] - nm[0]) / Bands.STEP_NM);
        for (int band = 0; band <= last; band++) {
            double centre = nm[0] + band * Bands.STEP_NM;
            boolean isLong = centre > 700;
            boolean isShort = centre < 400;
            if (isWithin == (isLong || isShort)) {
                continue;
            }
            double sigma = (centre > WIDE_NM ? 20 : 10) / FULL_WIDTH_PER_SIGMA;
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
