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
 * A hydrographic cast: temperature and salinity against pressure. Either one of those kept with the program (three real, two invented) or
 * a user's CSV file. Between readings values run straight; above the first and below the last they stay; a missing value
 * is bridged by its neighbours in pressure and stays missing in {@link #temperaturesDegC} and {@link #salinities}.
 */
public final class Cast {
    private static final List<String> KEPT = List.of("casts.csv", "invented-casts.csv");
    private static final String[] COLUMNS = {"pressure_dbar", "temperature_degC", "practical_salinity"};
    /** Widest values that the ocean holds; outside them a unit or a column is wrong. */
    private static final double[][] LIMITS = {{-5, 12000}, {-3, 45}, {0, 50}};

    private final double[] pressure;
    private final double[] temperature;
    private final double[] salinity;

    private Cast(List<double[]> rows) {
        pressure = rows.stream().mapToDouble(row -> row[0]).toArray();
        temperature = rows.stream().mapToDouble(row -> row[1]).toArray();
        salinity = rows.stream().mapToDouble(row -> row[2]).toArray();
    }

    /**
     * The cast that a scene names: "1" to "3" for a real one kept with the program, "4" and "5" for invented ones, else the path of a CSV file.
     *
     * @throws PlanException with one sentence for the user, if there is no such cast or its file cannot be used
     */
    public static Cast of(String name) {
        return name.matches("[0-9]+") ? kept(Integer.parseInt(name)) : read(Path.of(name));
    }

    /** Water of one temperature (degC) and practical salinity at all depths. */
    public static Cast uniform(double temperatureDegC, double salinity) {
        return new Cast(List.of(new double[] {0, temperatureDegC, salinity}));
    }

    private static Cast kept(int number) {
        List<double[]> rows = new ArrayList<>();
        for (String table : KEPT) {
            for (double[] row : Table.rows(table)) {
                if ((int) row[0] == number) {
                    rows.add(new double[] {row[1], row[2], row[3]});
                }
            }
        }
        if (rows.isEmpty()) {
            throw new PlanException(
                    "scene.water.cast: there is no cast " + number + "; name 1 to 5, or the path of a CSV file");
        }
        return new Cast(rows);
    }

    /**
     * A user's cast: CSV with the columns pressure_dbar, temperature_degC and practical_salinity in any order, other
     * columns left alone, lines starting with '#' skipped, empty or NaN cells missing.
     *
     * @throws PlanException with one sentence that names file, line and what was expected
     */
    public static Cast read(Path file) {
        CSVFormat format = CSVFormat.DEFAULT
                .builder()
                .setHeader()
                .setSkipHeaderRecord(true)
                .setCommentMarker('#')
                .setIgnoreEmptyLines(true)
                .setIgnoreSurroundingSpaces(true)
                .get();
        try (Reader reader = Files.newBufferedReader(file, StandardCharsets.UTF_8);
                CSVParser parser = CSVParser.parse(reader, format)) {
            for (String column : COLUMNS) {
                if (!parser.getHeaderNames().contains(column)) {
                    throw new PlanException(file + ": the header has no column " + column + "; a cast needs "
                            + String.join(", ", COLUMNS));
                }
            }
            List<double[]> rows = new ArrayList<>();
            for (CSVRecord record : parser) {
                rows.add(row(file, parser.getCurrentLineNumber(), record));
            }
            return checked(file, rows);
        } catch (NoSuchFileException e) {
            throw new PlanException(file + ": no such cast file; name an existing CSV file or cast 1 to 5");
        } catch (IOException | java.io.UncheckedIOException | IllegalStateException e) {
            throw new PlanException(
                    file + ": cannot be read as a CSV text in UTF-8; a cast needs " + String.join(", ", COLUMNS));
        }
    }

    private static double[] row(Path file, long line, CSVRecord record) {
        double[] row = new double[COLUMNS.length];
        for (int c = 0; c < COLUMNS.length; c++) {
            String place = file + ", line " + line + ", " + COLUMNS[c] + ": ";
            if (!record.isSet(COLUMNS[c])) {
                throw new PlanException(place + "the line has too few cells; give one for each column");
            }
            String text = record.get(COLUMNS[c]);
            if (text.isEmpty() || "nan".equals(text.toLowerCase(Locale.ROOT))) {
                row[c] = Double.NaN;
                continue;
            }
            try {
                row[c] = Double.parseDouble(text);
            } catch (NumberFormatException e) {
                throw new PlanException(place + "\"" + text + "\" is not a number with a decimal point");
            }
            if (!(row[c] >= LIMITS[c][0] && row[c] <= LIMITS[c][1])) {
                throw new PlanException(String.format(
                        Locale.ROOT,
                        "%s%s lies outside %.0f to %.0f; check the column and its unit",
                        place,
                        text,
                        LIMITS[c][0],
                        LIMITS[c][1]));
            }
        }
        if (Double.isNaN(row[0])) {
            throw new PlanException(
                    file + ", line " + line + ", pressure_dbar: the pressure is missing; fill it in or drop the line");
        }
        return row;
    }

    private static Cast checked(Path file, List<double[]> rows) {
        for (int r = 1; r < rows.size(); r++) {
            if (rows.get(r)[0] <= rows.get(r - 1)[0]) {
                throw new PlanException(String.format(
                        Locale.ROOT,
                        "%s: pressure_dbar must rise from line to line, but %s follows %s; sort the cast by pressure",
                        file,
                        rows.get(r)[0],
                        rows.get(r - 1)[0]));
            }
        }
        for (int c = 1; c < COLUMNS.length; c++) {
            int column = c;
            if (rows.stream().allMatch(row -> Double.isNaN(row[column]))) {
                throw new PlanException(
                        file + ": the column " + COLUMNS[c] + " holds no value; a cast needs at least one");
            }
        }
        return new Cast(rows);
    }

    /** Pressures of the readings, dbar, rising. */
    public double[] pressuresDbar() {
        return pressure.clone();
    }

    /** Temperatures of the readings, degC (ITS-90); NaN: missing. */
    public double[] temperaturesDegC() {
        return temperature.clone();
    }

    /** Practical salinities of the readings; NaN: missing. */
    public double[] salinities() {
        return salinity.clone();
    }

    /** Temperature at a pressure, degC. */
    public double temperatureDegC(double pressureDbar) {
        return between(temperature, pressureDbar);
    }

    /** Practical salinity at a pressure. */
    public double salinity(double pressureDbar) {
        return between(salinity, pressureDbar);
    }

    private double between(double[] values, double atDbar) {
        int above = -1;
        for (int i = 0; i < pressure.length; i++) {
            if (Double.isNaN(values[i])) {
                continue;
            }
            if (pressure[i] >= atDbar) {
                if (above < 0) {
                    return values[i];
                }
                double share = (atDbar - pressure[above]) / (pressure[i] - pressure[above]);
                return values[above] + share * (values[i] - values[above]);
            }
            above = i;
        }
        return values[above];
    }
}
