package sunward.bench;

import java.util.Locale;
import java.util.Map;
import java.util.function.BiConsumer;
import sunward.bench.Operations.Kind;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.Dive;
import sunward.simulator.Recording;
import sunward.simulator.Seeds;

/**
 * What the firmware's work costs: operations of a scan and of packing a dive, as counted while the default dive is flown
 * again by instrumented code; the time of packing on one core of this machine; and an estimate for a microcontroller.
 *
 * <p>The estimate: 200 MHz, cycles a kind of operation as {@link Kind} says (typical of a 32-bit core with caches and a
 * floating-point unit for doubles, common figures, no one source), times 0.7 because a compiler for such a core leaves out many
 * of the moves that are counted here; flash is read as fast as memory. It is good to a factor of two, no better; measure on the
 * board.
 */
public final class EncodeCost {
    private static final double HZ = 200e6;
    private static final double COMPILED = 0.7;
    private static final int WARM = 4;

    private EncodeCost() {}

    /** Flies the recording and tells what each part did; loaded anew by the counting loader. */
    public static final class Counted implements BiConsumer<Integer, Map<String, Map<String, Long>>> {
        @Override
        public void accept(Integer channels, Map<String, Map<String, Long>> into) {
            PlanFile file = plan(channels);
            Recording recording = recording(file);
            FlownAgain again = new FlownAgain(file, recording);
            Operations.taken();
            again.rise();
            into.put("scans", named(Operations.taken()));
            again.pack();
            into.put("pack", named(Operations.taken()));
            again.session();
            into.put("session", named(Operations.taken()));
            into.put("size", Map.of("scans", (long) recording.scans(), "messages", (long) again.messages()));
        }

        private static Map<String, Long> named(Map<Kind, Long> counted) {
            Map<String, Long> named = new java.util.TreeMap<>();
            counted.forEach((kind, times) -> named.put(kind.name(), times));
            return named;
        }
    }

    private static PlanFile plan(int channels) {
        PlanFile.Builder file = PlanReader.defaults().toBuilder();
        if (channels > 0) {
            file.getPlanBuilder().clearFlyWavelengthsNm();
            for (int i = 0; i < channels; i++) {
                file.getPlanBuilder().addFlyWavelengthsNm(330 + 500.0 * i / channels);
            }
        }
        return file.build();
    }

    private static Recording recording(PlanFile file) {
        return Dive.fly(file.getPlan(), file.getCalibration(), file.getScene(), Seeds.all(1), null, Dive.Progress.NONE)
                .recording();
    }

    /** Counts and prints. Argument: channels to fly, 0 or nothing for all. */
    public static void main(String[] arguments) throws ReflectiveOperationException {
        int channels = arguments.length > 0 ? Integer.parseInt(arguments[0]) : 0;
        Map<String, Map<String, Long>> counted = count(channels);
        long scans = counted.get("size").get("scans");
        System.out.printf(
                Locale.ROOT,
                "%d scans, %d messages%n",
                scans,
                counted.get("size").get("messages"));
        System.out.printf(Locale.ROOT, "%-16s %6s %14s %16s%n", "operation", "cycles", "a scan", "packing a dive");
        for (Kind kind : Kind.values()) {
            System.out.printf(
                    Locale.ROOT,
                    "%-16s %6d %14.1f %16d%n",
                    kind.name().toLowerCase(Locale.ROOT).replace('_', ' '),
                    kind.cycles,
                    counted.get("scans").get(kind.name()) / (double) scans,
                    counted.get("pack").get(kind.name()));
        }
        figure("firmware.multiplies_per_scan", multiplies(counted.get("scans")) / scans, "1");
        figure("firmware.reads_per_scan", counted.get("scans").get(Kind.READ.name()) / (double) scans, "1");
        figure("firmware.operations_per_scan", all(counted.get("scans")) / scans, "1");
        figure("firmware.operations_to_pack", all(counted.get("pack")), "1");
        figure("firmware.estimated_scan_ms_200_mhz", 1000 * seconds(counted.get("scans")) / scans, "ms");
        figure("firmware.estimated_pack_ms_200_mhz", 1000 * seconds(counted.get("pack")), "ms");
        figure("firmware.pack_ms_this_core", packMs(channels), "ms");
    }

    /** Counts in a dive of so many channels, 0 for all. */
    static Map<String, Map<String, Long>> count(int channels) throws ReflectiveOperationException {
        Object counting = new CountingLoader()
                .loadClass(Counted.class.getName())
                .getDeclaredConstructor()
                .newInstance();
        Map<String, Map<String, Long>> counted = new java.util.TreeMap<>();
        @SuppressWarnings("unchecked") // the same class under another loader: only its interface is shared
        BiConsumer<Integer, Map<String, Map<String, Long>>> counts =
                (BiConsumer<Integer, Map<String, Map<String, Long>>>) counting;
        counts.accept(channels, counted);
        return counted;
    }

    private static double packMs(int channels) {
        PlanFile file = plan(channels);
        FlownAgain again = new FlownAgain(file, recording(file));
        double least = Double.POSITIVE_INFINITY;
        for (int i = 0; i < WARM; i++) {
            again.rise();
            long before = System.nanoTime();
            again.pack();
            least = Math.min(least, (System.nanoTime() - before) / 1e6);
            again.session();
        }
        return least;
    }

    private static double multiplies(Map<String, Long> counted) {
        return counted.get(Kind.INT_MULTIPLY.name())
                + counted.get(Kind.LONG_MULTIPLY.name())
                + counted.get(Kind.DOUBLE_MULTIPLY.name());
    }

    private static double all(Map<String, Long> counted) {
        return counted.values().stream().mapToDouble(Long::doubleValue).sum();
    }

    private static double seconds(Map<String, Long> counted) {
        double cycles = 0;
        for (Kind kind : Kind.values()) {
            cycles += kind.cycles * (double) counted.get(kind.name());
        }
        return COMPILED * cycles / HZ;
    }

    private static void figure(String name, double value, String unit) {
        System.out.printf(Locale.ROOT, "figure %s %.4g %s%n", name, value, unit);
    }
}
