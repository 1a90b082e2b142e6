package sunward.bench;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.util.List;

/**
 * The zfp coder of floating-point arrays (P. Lindstrom 2014, IEEE Trans. Vis. Comput. Graph. 20, 2674) at a tolerance, by its
 * program {@code zfp}: with loss, so it has steps of its own.
 */
final class FloatArrays {
    static final String NAME = "zfp";

    /**
     * What comes of an array.
     *
     * @param bytes of the coded file
     * @param rows as decoded
     */
    @SuppressWarnings("ArrayRecordComponent") // internal to the benchmark and never compared
    record Coded(long bytes, double[][] rows) {}

    private FloatArrays() {}

    static boolean available() {
        return CommandLine.has(NAME);
    }

    /** Codes and decodes rows of equal length; {@code tolerance} is the largest error asked for. */
    static Coded code(double[][] rows, double tolerance) {
        int columns = rows[0].length;
        ByteBuffer raw =
                ByteBuffer.allocate(rows.length * columns * Double.BYTES).order(ByteOrder.nativeOrder());
        for (double[] row : rows) {
            for (double v : row) {
                raw.putDouble(v);
            }
        }
        try (CommandLine shell = new CommandLine()) {
            Files.write(shell.file("rows"), raw.array());
            String most = Double.toString(tolerance);
            List<String> shape = List.of("-d", "-2", Integer.toString(columns), Integer.toString(rows.length));
            shell.run(command(List.of(NAME, "-i", "rows", "-z", "coded"), shape, most));
            shell.run(command(List.of(NAME, "-z", "coded", "-o", "again"), shape, most));
            ByteBuffer again =
                    ByteBuffer.wrap(Files.readAllBytes(shell.file("again"))).order(ByteOrder.nativeOrder());
            double[][] decoded = new double[rows.length][columns];
            for (double[] row : decoded) {
                for (int c = 0; c < columns; c++) {
                    row[c] = again.getDouble();
                }
            }
            return new Coded(Files.size(shell.file("coded")), decoded);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static List<String> command(List<String> first, List<String> shape, String tolerance) {
        return java.util.stream.Stream.of(first, shape, List.of("-a", tolerance))
                .flatMap(List::stream)
                .toList();
    }
}
