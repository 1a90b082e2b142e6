package sunward.protocol.plan;

import com.google.protobuf.Descriptors.Descriptor;
import com.google.protobuf.Descriptors.FieldDescriptor;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;

/** What to say of a field that nobody knows, and the unit that a field's name ends in. */
final class FieldHints {
    /** Endings of field names and the units that they stand for; a longer ending comes before one that it contains. */
    private static final List<Map.Entry<String, String>> UNITS = List.of(
            Map.entry("electrons_per_count", "electrons per count"),
            Map.entry("counts_per_s", "counts per second"),
            Map.entry("joules_per_message", "joules"),
            Map.entry("mg_per_m3", "milligrams per cubic metre"),
            Map.entry("j_per_dive", "joules per dive"),
            Map.entry("deg_per_s", "degrees per second"),
            Map.entry("m_per_s", "metres per second"),
            Map.entry("per_m", "per metre"),
            Map.entry("percent", "percent"),
            Map.entry("counts", "counts"),
            Map.entry("degrees", "degrees"),
            Map.entry("bytes", "bytes"),
            Map.entry("share", "a share of 1"),
            Map.entry("dbar", "decibars"),
            Map.entry("days", "days"),
            Map.entry("deg", "degrees"),
            Map.entry("hpa", "hectopascals"),
            Map.entry("ms", "milliseconds"),
            Map.entry("nm", "nanometres"),
            Map.entry("km", "kilometres"),
            Map.entry("cm", "centimetres"),
            Map.entry("mm", "millimetres"),
            Map.entry("du", "Dobson units"),
            Map.entry("kj", "kilojoules"),
            Map.entry("m", "metres"),
            Map.entry("s", "seconds"),
            Map.entry("h", "hours"),
            Map.entry("w", "watts"),
            Map.entry("j", "joules"));

    /** Words that people use for those of the schema. */
    private static final Map<String, String> SAME_WORD = Map.of(
            "min", "shortest", "minimum", "shortest", "integration", "exposure", "lat", "latitude", "lon", "longitude");

    private FieldHints() {}

    /** The unit of a field in words, or empty when its name ends in none. */
    static Optional<String> unit(String field) {
        return UNITS.stream()
                .filter(unit -> endsInUnit(field, unit.getKey()))
                .map(Map.Entry::getValue)
                .findFirst();
    }

    /** What an unknown field may have been meant to be, as the end of a sentence. */
    static String forUnknown(String name, Descriptor section, Descriptor root) {
        String stem = stem(name, section);
        for (FieldDescriptor field : section.getFields()) {
            if (stem(field.getName(), section).equals(stem)
                    && unit(field.getName()).isPresent()) {
                return "did you mean " + withUnit(field.getName()) + "? Only the unit or the wording differs";
            }
        }
        Optional<String> elsewhere = pathOf(name, root, "");
        if (elsewhere.isPresent()) {
            return "it belongs at " + elsewhere.get() + ", so move it there";
        }
        String closest = null;
        int least = Math.max(2, name.length() / 3) + 1;
        for (FieldDescriptor field : section.getFields()) {
            int distance = editDistance(name, field.getName());
            if (distance < least) {
                least = distance;
                closest = field.getName();
            }
        }
        if (closest != null) {
            return "did you mean " + withUnit(closest) + "?";
        }
        return "known here are "
                + section.getFields().stream().map(FieldDescriptor::getName).collect(Collectors.joining(", "));
    }

    private static String withUnit(String field) {
        return unit(field).map(unit -> field + " (" + unit + ")").orElse(field);
    }

    private static boolean endsInUnit(String field, String unit) {
        return field.equals(unit) || field.endsWith('_' + unit);
    }

    /** The name without its unit, its section's own word, and in the schema's words. */
    private static String stem(String name, Descriptor section) {
        String stem = UNITS.stream()
                .filter(unit -> endsInUnit(name, unit.getKey()))
                .findFirst()
                .map(unit -> name.substring(
                        0, Math.max(0, name.length() - unit.getKey().length() - 1)))
                .orElse(name);
        String own = section.getName().toLowerCase(Locale.ROOT);
        List<String> words = new ArrayList<>();
        for (String word : stem.split("_", -1)) {
            String known = SAME_WORD.getOrDefault(word, word);
            if (!known.equals(own)) {
                words.add(known);
            }
        }
        return String.join("_", words);
    }

    /** Where the tree of sections under a root holds a field of this name, first found. */
    private static Optional<String> pathOf(String name, Descriptor section, String prefix) {
        for (FieldDescriptor field : section.getFields()) {
            if (field.getName().equals(name)) {
                return Optional.of(prefix + name);
            }
        }
        for (FieldDescriptor field : section.getFields()) {
            if (field.getJavaType() == FieldDescriptor.JavaType.MESSAGE) {
                String below = prefix + field.getName() + (field.isRepeated() ? "[]." : ".");
                Optional<String> found = pathOf(name, field.getMessageType(), below);
                if (found.isPresent()) {
                    return found;
                }
            }
        }
        return Optional.empty();
    }

    /** Insertions, deletions and replacements between two words (Levenshtein 1966). */
    private static int editDistance(String a, String b) {
        int[] row = new int[b.length() + 1];
        Arrays.setAll(row, i -> i);
        for (int i = 1; i <= a.length(); i++) {
            int diagonal = row[0];
            row[0] = i;
            for (int j = 1; j <= b.length(); j++) {
                int replaced = diagonal + (a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1);
                diagonal = row[j];
                row[j] = Math.min(replaced, 1 + Math.min(row[j], row[j - 1]));
            }
        }
        return row[b.length()];
    }
}
