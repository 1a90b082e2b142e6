package sunward.bench;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * What one coder did with one dive for one tier, as a line of a result file.
 *
 * @param dive name and seed
 * @param family of the dive
 * @param tier or what else was measured
 * @param coder its name in the table
 * @param numbers by name; {@code bytes} is absent when the coder meets the target at no step
 */
record Outcome(String dive, String family, String tier, String coder, Map<String, Double> numbers) {
    static final String BYTES = "bytes";

    /** With no numbers yet. */
    static Outcome of(Condition condition, String tier, String coder) {
        return new Outcome(condition.name(), condition.family(), tier, coder, new LinkedHashMap<>());
    }

    Outcome with(String name, double value) {
        numbers.put(name, value);
        return this;
    }

    /** What the judge found, too. */
    Outcome with(Judgement j) {
        return with("band_p95", j.bandSigmaP95())
                .with("worst_sigma", j.worstSigma())
                .with("surface_p95_percent", j.surfacePercentP95())
                .with("surface_of_allowed", j.surfaceExcessP95());
    }

    /** A number, or NaN. */
    double number(String name) {
        return numbers.getOrDefault(name, Double.NaN);
    }

    double bytes() {
        return number(BYTES);
    }

    String line() {
        StringBuilder line = new StringBuilder(String.join("\t", dive, family, tier, coder));
        numbers.forEach(
                (name, value) -> line.append('\t').append(name).append('=').append(value));
        return line.toString();
    }

    static List<Outcome> parse(List<String> lines) {
        List<Outcome> all = new ArrayList<>();
        for (String line : lines) {
            String[] word = line.split("\t", -1);
            Map<String, Double> numbers = new LinkedHashMap<>();
            for (int i = 4; i < word.length; i++) {
                int equals = word[i].indexOf('=');
                numbers.put(word[i].substring(0, equals), Double.valueOf(word[i].substring(equals + 1)));
            }
            all.add(new Outcome(word[0], word[1], word[2], word[3], numbers));
        }
        return all;
    }
}
