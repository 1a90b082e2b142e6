package sunward.desk;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/**
 * A result said twice from one source: in words and units for people, and as JSON for machines. Fields keep their order;
 * a null value is missing, in both.
 */
final class Sheet {
    private static final int LABEL_WIDTH = 34;

    private final ObjectNode json = Json.object();
    private final StringBuilder text = new StringBuilder();

    /** A text, a truth value or nothing. */
    Sheet put(String key, String label, String value) {
        json.put(key, value);
        line(label, value, "");
        return this;
    }

    /** A whole number with its unit in words ("" for none). */
    Sheet put(String key, String label, long value, String unit) {
        json.put(key, value);
        line(label, Long.toString(value), unit);
        return this;
    }

    /** A number shown with so many decimals, and whole in JSON; not a number counts as missing. */
    Sheet put(String key, String label, double value, int decimals, String unit) {
        if (Double.isFinite(value)) {
            json.put(key, value);
            line(label, String.format(Locale.ROOT, "%." + decimals + "f", value), unit);
        } else {
            json.putNull(key);
            line(label, null, unit);
        }
        return this;
    }

    /** Yes or no. */
    Sheet put(String key, String label, boolean value) {
        json.put(key, value);
        line(label, value ? "yes" : "no", "");
        return this;
    }

    /** Something for machines only. */
    Sheet machine(String key, JsonNode value) {
        json.set(key, value);
        return this;
    }

    /** A sentence for people only. */
    Sheet say(String sentence) {
        text.append(sentence).append('\n');
        return this;
    }

    /** Starts a part under a heading; the JSON stays flat. */
    Sheet heading(String words) {
        text.append('\n').append(words).append('\n');
        return this;
    }

    /**
     * A table.
     *
     * @param key key of the array of objects in JSON
     * @param columns heading words with their units, as wide as the column shall be
     * @param rows one sheet a row, its values in the order of the columns
     */
    Sheet table(String key, List<String> columns, List<Row> rows) {
        ArrayNode array = json.putArray(key);
        text.append("  ").append(String.join("  ", columns)).append('\n');
        for (Row row : rows) {
            array.add(row.json);
            text.append("  ");
            for (int i = 0; i < columns.size(); i++) {
                int width = columns.get(i).length();
                String cell = i < row.cells.size() ? row.cells.get(i) : "";
                text.append(" ".repeat(Math.max(0, width - cell.length())))
                        .append(cell)
                        .append("  ");
            }
            text.setLength(text.length() - 2);
            text.append('\n');
        }
        return this;
    }

    /** One row of a table. */
    static final class Row {
        private final ObjectNode json = Json.object();
        private final List<String> cells = new ArrayList<>();

        Row put(String key, long value) {
            json.put(key, value);
            cells.add(Long.toString(value));
            return this;
        }

        Row put(String key, double value, int decimals) {
            if (Double.isFinite(value)) {
                json.put(key, value);
                cells.add(String.format(Locale.ROOT, "%." + decimals + "f", value));
            } else {
                return put(key, (String) null);
            }
            return this;
        }

        Row put(String key, String value) {
            json.put(key, value);
            cells.add(value == null ? "-" : value);
            return this;
        }

        Row put(String key, String value, String cell) {
            json.put(key, value);
            cells.add(cell);
            return this;
        }

        Row machine(String key, JsonNode value) {
            json.set(key, value);
            return this;
        }
    }

    ObjectNode json() {
        return json;
    }

    /** Prints the sheet for whom it is. */
    void print(Console console, boolean asJson) {
        if (asJson) {
            console.out().println(Json.text(json));
        } else {
            console.out().print(text);
            console.out().flush();
        }
    }

    private void line(String label, String value, String unit) {
        text.append("  ")
                .append(label)
                .append(" ".repeat(Math.max(1, LABEL_WIDTH - label.length())))
                .append(value == null ? "missing" : unit.isEmpty() ? value : value + ' ' + unit)
                .append('\n');
    }
}
