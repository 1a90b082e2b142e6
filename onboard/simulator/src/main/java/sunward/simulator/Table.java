package sunward.simulator;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * A table of numbers kept with the program: lines starting with '#' name the source, one line names the columns, then
 * numbers between commas, the first column rising. Between rows values run straight; outside they stay at the ends.
 */
final class Table {
    private final double[] x;
    private final double[][] columns;

    private Table(double[] x, double[][] columns) {
        this.x = x;
        this.columns = columns;
    }

    /** The table of this file name beside the package. */
    static Table read(String name) {
        List<double[]> rows = rows(name);
        int width = rows.get(0).length;
        double[][] columns = new double[width][rows.size()];
        for (int r = 0; r < rows.size(); r++) {
            for (int c = 0; c < width; c++) {
                columns[c][r] = rows.get(r)[c];
            }
        }
        return new Table(columns[0], columns);
    }

    /** All rows of a table, comments and column names left out. */
    static List<double[]> rows(String name) {
        List<double[]> rows = new ArrayList<>();
        for (String line : lines(name)) {
            rows.add(Arrays.stream(line.split(",", -1))
                    .mapToDouble(Double::parseDouble)
                    .toArray());
        }
        return rows;
    }

    private static List<String> lines(String name) {
        try (InputStream in = Table.class.getResourceAsStream(name)) {
            if (in == null) {
                throw new IllegalStateException("the program's own table " + name + " is missing from the jar");
            }
            var reader = new BufferedReader(new InputStreamReader(in, StandardCharsets.UTF_8));
            return reader.lines()
                    .filter(line -> !line.startsWith("#") && !line.isBlank())
                    .skip(1)
                    .toList();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** Smallest value of the first column. */
    double first() {
        return x[0];
    }

    /** Largest value of the first column. */
    double last() {
        return x[x.length - 1];
    }

    /** Value of a column (1 is the first after the argument) at an argument, straight between rows. */
    double at(int column, double argument) {
        int i = Arrays.binarySearch(x, argument);
        if (i >= 0) {
            return columns[column][i];
        }
        int above = -i - 1;
        if (above == 0) {
            return columns[column][0];
        }
        if (above == x.length) {
            return columns[column][x.length - 1];
        }
        double share = (argument - x[above - 1]) / (x[above] - x[above - 1]);
        return columns[column][above - 1] + share * (columns[column][above] - columns[column][above - 1]);
    }
}
