package sunward.planning;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.Map;

/**
 * What the model says by wavelength, with the inputs it follows from: told as JSON, as CSV, or drawn by
 * {@link SpectraPicture}.
 *
 * @param title what it shows
 * @param facts numbers that hold for all wavelengths, in their order; units in their names; not a number: unknown
 * @param choices what was chosen among models, tables and files, in words
 * @param wavelengthNm in air, rising
 * @param columns one array each
 * @param panels how they are drawn together
 * @param warnings sentences on what limits the answer
 */
@SuppressWarnings("ArrayRecordComponent") // Data handed on, never compared.
public record Spectra(
        String title,
        Map<String, Double> facts,
        Map<String, String> choices,
        double[] wavelengthNm,
        List<Column> columns,
        List<Panel> panels,
        List<String> warnings) {
    /** Said wherever the values go. */
    public static final String ORIGIN = "model of published tables and formulas, not a measurement";

    /**
     * One quantity.
     *
     * @param key name in JSON and, with the unit, in CSV
     * @param unit as {@code W m-2 nm-1}
     * @param words for people
     * @param values one a wavelength
     */
    @SuppressWarnings("ArrayRecordComponent") // As above.
    public record Column(String key, String unit, String words, double[] values) {
        /** Name of the column in CSV: {@code direct_w_m2_nm}. */
        public String csvName() {
            return key + "_"
                    + unit.replace("-1", "").replace("-", "").replace(' ', '_').toLowerCase(java.util.Locale.ROOT);
        }
    }

    /**
     * Columns drawn on the same axes.
     *
     * @param title with the unit
     * @param logarithmic whether the vertical axis is
     * @param keys of its columns
     */
    public record Panel(String title, boolean logarithmic, List<String> keys) {}

    /** The column of a key. */
    public Column column(String key) {
        return columns.stream().filter(c -> c.key.equals(key)).findFirst().orElseThrow();
    }

    /** For machines: the facts, an array for each column, and their units. */
    public ObjectNode json() {
        ObjectNode json = JsonNodeFactory.instance.objectNode().put("origin", ORIGIN);
        facts.forEach((name, value) -> {
            if (Double.isFinite(value)) {
                json.put(name, value);
            } else {
                json.putNull(name);
            }
        });
        choices.forEach(json::put);
        fill(json.putArray("wavelength_nm"), wavelengthNm);
        for (Column column : columns) {
            fill(json.putArray(column.key), column.values);
        }
        ObjectNode units = json.putObject("units");
        columns.forEach(column -> units.put(column.key, column.unit));
        ArrayNode sentences = json.putArray("warnings");
        warnings.forEach(sentences::add);
        return json;
    }

    private static void fill(ArrayNode array, double[] values) {
        for (double value : values) {
            array.add(value);
        }
    }

    /** One line a wavelength under a header with units; lines that start with '#' hold the facts. */
    public String csv() {
        StringBuilder text = new StringBuilder("# " + title + "; " + ORIGIN + "\n");
        facts.forEach((name, value) -> text.append("# ")
                .append(name)
                .append(' ')
                .append(Double.isFinite(value) ? Double.toString(value) : "unknown")
                .append('\n'));
        choices.forEach((name, value) -> text.append("# ")
                .append(name)
                .append(' ')
                .append(value.replaceAll("\\R", " "))
                .append('\n'));
        text.append("wavelength_nm");
        columns.forEach(column -> text.append(',').append(column.csvName()));
        text.append('\n');
        for (int i = 0; i < wavelengthNm.length; i++) {
            text.append(wavelengthNm[i]);
            for (Column column : columns) {
                text.append(',').append(column.values[i]);
            }
            text.append('\n');
        }
        return text.toString();
    }
}
