package sunward.profiles;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/** A published table of numbers from this module's resources, looked up by its first, increasing column. */
final class ReferenceTable {
    private final double[][] columns;

    private ReferenceTable(double[][] columns) {
        this.columns = columns;
    }

    /** Reads a resource of this package: lines of {@code #} name the source, then a header, then rows. */
    static ReferenceTable load(String name) {
        List<double[]> rows = new ArrayList<>();
        try (InputStream stream = ReferenceTable.class.getResourceAsStream(name);
                BufferedReader reader = new BufferedReader(new InputStreamReader(stream, StandardCharsets.UTF_8))) {
            boolean header = true;
            for (String line = reader.readLine(); line != null; line = reader.readLine()) {
                if (line.startsWith("#")) {
                    continue;
                }
                if (!header) {
                    rows.add(Arrays.stream(line.split(",", -1))
                            .mapToDouble(Double::parseDouble)
                            .toArray());
                }
                header = false;
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        double[][] columns = new double[rows.get(0).length][rows.size()];
        for (int r = 0; r < rows.size(); r++) {
            for (int c = 0; c < columns.length; c++) {
                columns[c][r] = rows.get(r)[c];
            }
        }
        return new ReferenceTable(columns);
    }

    /** A column as it stands. */
    double[] column(int column) {
        return columns[column].clone();
    }

    /** Linear interpolation of a column; beyond the ends the end value. */
    double at(double x, int column) {
        return interpolate(columns[0], columns[column], x);
    }

    /** Linear interpolation of {@code y} over increasing {@code x}; beyond the ends the end value. */
    static double interpolate(double[] x, double[] y, double at) {
        int high = Arrays.binarySearch(x, at);
        if (high >= 0) {
            return y[high];
        }
        high = -high - 1;
        if (high == 0) {
            return y[0];
        }
        if (high == x.length) {
            return y[x.length - 1];
        }
        double share = (at - x[high - 1]) / (x[high] - x[high - 1]);
        return y[high - 1] + share * (y[high] - y[high - 1]);
    }
}
