package sunward.simulator;

import java.io.IOException;
import java.io.Reader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;
import sunward.protocol.plan.PlanException;

/**
 * A user's CSV of readings on the way down: named columns in any order, other columns left alone, lines starting with '#'
 * skipped, empty or NaN cells missing; the first of the named columns rises and is never missing.
 *
 * @param noun what the file is, for the user: "cast"
 * @param limits smallest and largest value of each column; outside them a unit or a column is wrong
 */
@SuppressWarnings("ArrayRecordComponent") // Handed on, never compared.
record ProfileCsv(Path file, String noun, String[] columns, double[][] limits) {

    /**
     * The readings, missing ones NaN.
     *
     * @throws PlanException with one sentence that names file, line and what was expected
     */
    List<double[]> rows() {
        CSVFormat format = CSVFormat.DEFAULT
                .builder()
                .setHeader()
                .setSkipHeaderRecord(true)
                .setCommentMarker('#')
                .setIgnoreEmptyLines(true)
                .setIgnoreSurroundingSpaces(true)
                .get();
        List<double[]> rows = new ArrayList<>();
        try (Reader reader = Files.newBufferedReader(file, StandardCharsets.UTF_8);
                CSVParser parser = CSVParser.parse(reader, format)) {
            for (String column : columns) {
                if (!parser.getHeaderNames().contains(column)) {
                    throw new PlanException(file + ": the header has no column " + column + "; a " + noun + " needs "
                            + String.join(", ", columns));
                }
            }
            for (CSVRecord record : parser) {
                rows.add(row(parser.getCurrentLineNumber(), record));
            }
        } catch (NoSuchFileException e) {
            throw new PlanException(file + ": no such " + noun + " file; name an existing CSV file"
                    + ("cast".equals(noun) ? " or cast 1, 2 or 3" : ""));
        } catch (IOException | java.io.UncheckedIOException | IllegalStateException e) {
            throw new PlanException(file + ": cannot be read as a CSV text in UTF-8; a " + noun + " needs "
                    + String.join(", ", columns));
        }
        rising(rows);
        return rows;
    }

    private double[] row(long line, CSVRecord record) {
        double[] row = new double[columns.length];
        for (int c = 0; c < columns.length; c++) {
            String place = file + ", line " + line + ", " + columns[c] + ": ";
            if (!record.isSet(columns[c])) {
                throw new PlanException(place + "the line has too few cells; give one for each column");
            }
            String text = record.get(columns[c]);
            if (text.isEmpty() || "nan".equals(text.toLowerCase(Locale.ROOT))) {
                row[c] = Double.NaN;
                continue;
            }
            try {
                row[c] = Double.parseDouble(text);
            } catch (NumberFormatException e) {
                throw new PlanException(place + "\"" + text + "\" is not a number with a decimal point");
            }
            if (!(row[c] >= limits[c][0] && row[c] <= limits[c][1])) {
                throw new PlanException(String.format(
                        Locale.ROOT,
                        limits[c][0] == Math.rint(limits[c][0])
                                ? "%s%s lies outside %.0f to %.0f; check the column and its unit"
                                : "%s%s lies outside %s to %.0f; check the column and its unit",
                        place,
                        text,
                        limits[c][0],
                        limits[c][1]));
            }
        }
        if (Double.isNaN(row[0])) {
            String what = columns[0].substring(0, columns[0].lastIndexOf('_'));
            throw new PlanException(file + ", line " + line + ", " + columns[0] + ": the " + what
                    + " is missing; fill it in or drop the line");
        }
        return row;
    }

    private void rising(List<double[]> rows) {
        for (int r = 1; r < rows.size(); r++) {
            if (rows.get(r)[0] <= rows.get(r - 1)[0]) {
                String what = columns[0].substring(0, columns[0].lastIndexOf('_'));
                throw new PlanException(String.format(
                        Locale.ROOT,
                        "%s: %s must rise from line to line, but %s follows %s; sort the %s by %s",
                        file,
                        columns[0],
                        rows.get(r)[0],
                        rows.get(r - 1)[0],
                        noun,
                        what));
            }
        }
    }
}
