package sunward.bench;

import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** What the benchmark of the codec was asked for. */
record BenchOptions(
        Path conditions, int seeds, String family, int threads, Path results, Path pictureOrNull, Path trainingOrNull) {
    private static final List<String> NAMES = List.of("seeds", "family", "threads", "results", "picture", "training");

    /** From words {@code name=value} after the file; null when they cannot be understood. */
    static BenchOptions parse(String[] arguments) {
        Map<String, String> given = new HashMap<>();
        for (int i = 1; i < arguments.length; i++) {
            String[] pair = arguments[i].split("=", 2);
            if (pair.length != 2 || !NAMES.contains(pair[0])) {
                return null;
            }
            given.put(pair[0], pair[1]);
        }
        if (arguments.length == 0) {
            return null;
        }
        return new BenchOptions(
                Path.of(arguments[0]),
                number(given, "seeds"),
                given.getOrDefault("family", ""),
                number(given, "threads"),
                Path.of(given.getOrDefault("results", "codec-bench")),
                path(given, "picture"),
                path(given, "training"));
    }

    private static int number(Map<String, String> given, String name) {
        return Integer.parseInt(given.getOrDefault(name, "1"));
    }

    private static Path path(Map<String, String> given, String name) {
        return given.containsKey(name) ? Path.of(given.get(name)) : null;
    }
}
