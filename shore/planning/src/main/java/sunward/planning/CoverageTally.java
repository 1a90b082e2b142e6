package sunward.planning;

import java.util.Map;
import java.util.TreeMap;
import java.util.function.DoublePredicate;

/**
 * Counts, over dives, how results stand to the truth at each wavelength. An interval must hold the truth as often as it
 * says and be no wider than it must, so both are kept.
 */
final class CoverageTally {
    /** What is known of one wavelength so far; all in percent of the truth, or of the result where it is stated. */
    static final class Row {
        private int dives;
        private int without;
        private int held;
        private double sumError;
        private double sumSquaredError;
        private double sumStandardUncertainty;
        private double sumHalfWidth;
        private double widest;

        int dives() {
            return dives;
        }

        /** Dives that gave no value here. */
        int without() {
            return without;
        }

        int held() {
            return held;
        }

        /** Share of dives whose interval held the truth. */
        double coverage() {
            return (double) held / dives;
        }

        /** Mean error, percent. */
        double biasPercent() {
            return sumError / dives;
        }

        /** Standard deviation of the error between dives, percent; 0 for a single dive. */
        double sdPercent() {
            double mean = biasPercent();
            return dives < 2 ? 0 : Math.sqrt(Math.max(0, sumSquaredError - dives * mean * mean) / (dives - 1));
        }

        /** Mean stated standard uncertainty, percent. */
        double meanUncertaintyPercent() {
            return sumStandardUncertainty / dives;
        }

        /** Mean stated standard uncertainty over the standard deviation found: well above 1 where intervals are merely wide. */
        double uncertaintyOverSd() {
            return meanUncertaintyPercent() / sdPercent();
        }

        /** Mean half width of the 95 % interval, percent. */
        double meanHalfWidthPercent() {
            return sumHalfWidth / dives;
        }

        /** Largest half width, percent. */
        double widestPercent() {
            return widest;
        }
    }

    private final Map<Double, Row> rows = new TreeMap<>();

    /**
     * Adds one result.
     *
     * @param wavelengthNm by which results are kept together
     * @param value the result, with its standard uncertainty and the ends of its 95 % interval
     * @param truth what it should have been, above 0
     */
    void add(double wavelengthNm, double value, double standardUncertainty, double low95, double high95, double truth) {
        Row row = rows.computeIfAbsent(wavelengthNm, nm -> new Row());
        double error = 100 * (value / truth - 1);
        double half = 50 * (high95 - low95) / Math.abs(value);
        row.dives++;
        row.held += low95 <= truth && truth <= high95 ? 1 : 0;
        row.sumError += error;
        row.sumSquaredError += error * error;
        row.sumStandardUncertainty += 100 * standardUncertainty / Math.abs(value);
        row.sumHalfWidth += half;
        row.widest = Math.max(row.widest, half);
    }

    /** Counts a dive that gave no value at a wavelength. */
    void addWithout(double wavelengthNm) {
        rows.computeIfAbsent(wavelengthNm, nm -> new Row()).without++;
    }

    /** Rows by wavelength, ascending. */
    Map<Double, Row> rows() {
        return rows;
    }

    /** Share of all results at some wavelengths whose interval held the truth; NaN when there is none. */
    double pooled(DoublePredicate wavelengths) {
        int dives = 0;
        int held = 0;
        for (Map.Entry<Double, Row> row : rows.entrySet()) {
            if (wavelengths.test(row.getKey())) {
                dives += row.getValue().dives();
                held += row.getValue().held();
            }
        }
        return dives == 0 ? Double.NaN : (double) held / dives;
    }

    /** Largest half width at some wavelengths between two limits, percent; NaN when there is none. */
    double widestPercent(DoublePredicate wavelengths, double fromNm, double toNm) {
        return rows.entrySet().stream()
                .filter(e -> wavelengths.test(e.getKey()) && e.getKey() >= fromNm && e.getKey() <= toNm)
                .mapToDouble(e -> e.getValue().widestPercent())
                .max()
                .orElse(Double.NaN);
    }
}
