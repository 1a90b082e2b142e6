package sunward.simulator;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
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
        return checked(file, new ProfileCsv(file, "cast", COLUMNS, LIMITS).rows());
    }

    private static Cast checked(Path file, List<double[]> rows) {
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
