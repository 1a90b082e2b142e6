package sunward.bench;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;

/**
 * Counts what firmware does, instruction by instruction: {@link CountingLoader} puts a call of {@link #block} before every
 * straight run of instructions, and what a run holds is known from its code. One thread.
 */
public final class Operations {
    /** Kinds of work, with the cycles that one takes on a 200 MHz microcontroller with a floating-point unit for doubles. */
    public enum Kind {
        /** Whole numbers of 32 bits, constants and moves between variables. */
        INT(1),
        /** Whole numbers of 64 bits: two words. */
        LONG(2),
        INT_MULTIPLY(1),
        LONG_MULTIPLY(5),
        INT_DIVIDE(12),
        LONG_DIVIDE(40),
        /** Additions, comparisons and conversions of doubles. */
        DOUBLE(4),
        DOUBLE_MULTIPLY(5),
        DOUBLE_DIVIDE(30),
        SQUARE_ROOT(30),
        /** Reads of arrays and fields, table look-ups among them. */
        READ(2),
        WRITE(2),
        BRANCH(2),
        CALL(6);

        final int cycles;

        Kind(int cycles) {
            this.cycles = cycles;
        }
    }

    /** Code of each run: how many of each kind. */
    private static final List<Map<Kind, Integer>> RUNS = new ArrayList<>();

    private static long[] times = new long[1 << 16];

    private Operations() {}

    /** Opens a run of instructions; returns its number. */
    static int open() {
        RUNS.add(new EnumMap<>(Kind.class));
        return RUNS.size() - 1;
    }

    /** One more instruction in a run. */
    static void has(int run, Kind kind) {
        RUNS.get(run).merge(kind, 1, Integer::sum);
    }

    /** A run is executed: called by instrumented code. */
    public static void block(int run) {
        if (run >= times.length) {
            times = Arrays.copyOf(times, 2 * run);
        }
        times[run]++;
    }

    /** What was done since the last call. */
    public static Map<Kind, Long> taken() {
        Map<Kind, Long> taken = new EnumMap<>(Kind.class);
        for (Kind kind : Kind.values()) {
            long sum = 0;
            for (int run = 0; run < Math.min(RUNS.size(), times.length); run++) {
                sum += times[run] * RUNS.get(run).getOrDefault(kind, 0);
            }
            taken.put(kind, sum);
        }
        Arrays.fill(times, 0);
        return taken;
    }
}
