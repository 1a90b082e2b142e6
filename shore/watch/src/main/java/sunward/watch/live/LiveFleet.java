package sunward.watch.live;

import java.io.IOException;
import java.time.Instant;
import java.util.ArrayDeque;
import java.util.Comparator;
import java.util.Deque;
import java.util.List;
import java.util.PriorityQueue;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.stream.IntStream;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.PlanFile;
import sunward.protocol.schema.Scene;
import sunward.simulator.Delivery;
import sunward.simulator.Dive;
import sunward.simulator.Seeds;

/**
 * Flies floats in accelerated time into a running watch, one dive each: every message arrives in the order and, divided by
 * the speed, at the interval that the link gives it. The first float dives where the scene says. Further ones are spread over
 * an invented field of ocean around the date line and surface at the same local sun time; their places are made up.
 */
public final class LiveFleet {
    /** More floats than this fly a few wavelengths only, unless the plan names its own. */
    public static final int MOST_WHOLE = 4;

    /** The few, nm. */
    private static final List<Double> THINNED_NM =
            List.of(412.0, 443.0, 490.0, 510.0, 532.0, 555.0, 580.0, 620.0, 645.0, 670.0, 683.0, 750.0);

    /** Corner and size of the invented field, degrees. */
    private static final double SOUTH = -25, HEIGHT = 50, WEST = 175, WIDTH = 60;

    /** Step of the low-discrepancy sequence of the plane (Roberts 2018: powers of the inverse plastic number). */
    private static final double STEP_EAST = 0.7548776662466927, STEP_NORTH = 0.5698402909980532;

    private static final double MS_PER_DEGREE = 86_400_000 / 360.0;

    /**
     * What came of it.
     *
     * @param floats dives flown
     * @param messages deliveries that have their receipts
     * @param repeats of these, how many the watch had already
     * @param simulatedS from the first surfacing to the last arrival, in the floats' time
     * @param wallS how long that took
     */
    public record Outcome(int floats, int messages, int repeats, double simulatedS, double wallS) {
        /** How many times faster than life. */
        public double speed() {
            return simulatedS / wallS;
        }
    }

    /** One float's dive as the link delivers it. */
    private record Flown(long surfacedMs, List<Delivery> deliveries) {}

    private final PlanFile file;
    private final long seed;
    private final int floats;
    private final double speed;
    private final PriorityQueue<Delivery> onTheWay =
            new PriorityQueue<>(Comparator.comparingLong(Delivery::receivedMs));
    private long firstMs = Long.MIN_VALUE;
    private long lastMs;
    private long startNs;

    /**
     * A fleet, not yet under way.
     *
     * @param file plan, calibration and scene of the first float, read and checked
     * @param seed of the first float; the others take the numbers after it
     * @param floats how many; their numbers follow that of the plan
     * @param speed how many times faster than life; 0: as fast as it goes
     */
    public LiveFleet(PlanFile file, long seed, int floats, double speed) {
        this.file = file;
        this.seed = seed;
        this.floats = floats;
        this.speed = speed;
    }

    /** The plan that the floats fly, but for their numbers; a watch that shall show their radiance needs it. */
    public static PlanFile planOf(PlanFile file, int floats) {
        return floats <= MOST_WHOLE
                ? file
                : file.toBuilder().setPlan(thinned(file.getPlan())).build();
    }

    /** The same plan at a few wavelengths; one that names its own stays as it is. */
    public static Plan thinned(Plan plan) {
        return plan.getFlyWavelengthsNmCount() > 0
                ? plan
                : plan.toBuilder().addAllFlyWavelengthsNm(THINNED_NM).build();
    }

    /** Flies them all; returns when every message has its receipt. */
    public Outcome fly(Gateway gateway, Dive.Progress progress) throws IOException, InterruptedException {
        List<PlanFile> files = IntStream.range(0, floats)
                .mapToObj(this::place)
                .sorted(Comparator.comparing((PlanFile one) -> one.getScene().getSurfacingUtc())
                        .thenComparing(one -> one.getPlan().getFloatNumber()))
                .toList();
        int threads = Math.max(1, Math.min(floats, Runtime.getRuntime().availableProcessors()));
        ExecutorService workers = Executors.newFixedThreadPool(threads);
        try {
            Deque<Future<Flown>> ahead = new ArrayDeque<>();
            int begun = 0;
            startNs = System.nanoTime();
            for (int number = 0; number < floats; number++) {
                // Few dives ahead: what waits here takes memory.
                while (begun < floats && ahead.size() < 2 * threads) {
                    PlanFile next = files.get(begun++);
                    ahead.add(workers.submit(() -> dive(next)));
                }
                Flown flown = result(ahead.remove());
                if (firstMs == Long.MIN_VALUE) {
                    firstMs = flown.surfacedMs;
                    startNs = System.nanoTime();
                }
                onTheWay.addAll(flown.deliveries);
                release(gateway, number + 1 < floats ? surfacingMs(files.get(number + 1)) : Long.MAX_VALUE, progress);
                progress.at("floats", (number + 1.0) / floats);
            }
            gateway.finish();
        } finally {
            workers.shutdownNow();
        }
        return new Outcome(
                floats,
                gateway.receipts(),
                gateway.repeats(),
                (lastMs - firstMs) / 1e3,
                (System.nanoTime() - startNs) / 1e9);
    }

    /** Sends what arrives before the next float can have surfaced. */
    private void release(Gateway gateway, long beforeMs, Dive.Progress progress)
            throws IOException, InterruptedException {
        int all = onTheWay.size();
        while (!onTheWay.isEmpty() && onTheWay.peek().receivedMs() < beforeMs) {
            Delivery delivery = onTheWay.remove();
            if (speed > 0) {
                long dueNs = startNs + (long) ((delivery.receivedMs() - firstMs) / speed * 1e6);
                long waitMs = (dueNs - System.nanoTime()) / 1_000_000;
                if (waitMs > 0) {
                    gateway.flush();
                    Thread.sleep(waitMs);
                }
            }
            gateway.send(delivery.bytes());
            lastMs = Math.max(lastMs, delivery.receivedMs());
            if (floats == 1) {
                progress.at("messages", 1 - onTheWay.size() / (double) all);
            }
        }
    }

    private static Flown result(Future<Flown> future) throws IOException, InterruptedException {
        try {
            return future.get();
        } catch (ExecutionException e) {
            if (e.getCause() instanceof RuntimeException problem) {
                throw problem;
            }
            throw new IOException(e.getCause());
        }
    }

    private Flown dive(PlanFile one) {
        int number = one.getPlan().getFloatNumber() - file.getPlan().getFloatNumber();
        return new Flown(
                surfacingMs(one),
                Dive.fly(
                                one.getPlan(),
                                one.getCalibration(),
                                one.getScene(),
                                Seeds.all(seed + number),
                                null,
                                Dive.Progress.NONE)
                        .delivered());
    }

    private PlanFile place(int number) {
        PlanFile.Builder one = planOf(file, floats).toBuilder();
        one.getPlanBuilder().setFloatNumber(file.getPlan().getFloatNumber() + number);
        if (number > 0) {
            Scene scene = file.getScene();
            double east = WEST + WIDTH * (number * STEP_EAST % 1);
            double away = Math.IEEEremainder(east - scene.getLongitudeDeg(), 360);
            Instant noon = Instant.parse(scene.getSurfacingUtc()).plusSeconds(Math.round(-away * MS_PER_DEGREE / 1e3));
            one.getSceneBuilder()
                    .setLatitudeDeg(SOUTH + HEIGHT * (number * STEP_NORTH % 1))
                    .setLongitudeDeg(Math.IEEEremainder(east, 360))
                    .setSurfacingUtc(noon.toString());
        }
        return one.build();
    }

    private static long surfacingMs(PlanFile one) {
        return Instant.parse(one.getScene().getSurfacingUtc()).toEpochMilli()
                - Instant.parse("2000-01-01T00:00:00Z").toEpochMilli();
    }
}
