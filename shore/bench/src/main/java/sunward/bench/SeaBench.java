package sunward.bench;

import java.lang.management.ManagementFactory;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.Dive;
import sunward.simulator.Seeds;

/**
 * What a simulated dive costs: sea, sky, float, heads, float computer and link, from the last fix to the last message. Times
 * of one dive are those of its processor core, so that a busy machine does not spoil them; dives per second are by the clock.
 * Argument: dives of each kind, 4 without it.
 */
public final class SeaBench {
    private static final int WARM_UP = 4;
    private static final double FIRST_NM = 320;
    private static final double STEP_NM = 0.75;
    private static final int ALL = 720;

    private final PlanFile standard = PlanReader.defaults();
    private final int dives;

    private SeaBench(int dives) {
        this.dives = dives;
    }

    /** Runs the benchmark. */
    public static void main(String[] arguments) throws ExecutionException, InterruptedException {
        new SeaBench(arguments.length > 0 ? Integer.parseInt(arguments[0]) : 4).run();
    }

    private void run() throws ExecutionException, InterruptedException {
        for (int seed = 1; seed <= WARM_UP; seed++) {
            fly(standard, seed);
        }
        figure("seconds_per_dive", coreSeconds(standard), "s");
        figure("dives_per_second_1", perSecond(1), "per s");
        figure("dives_per_second_2", perSecond(2), "per s");
        for (int channels : new int[] {10, 40, 180, 360, ALL}) {
            figure("seconds_channels_" + channels, coreSeconds(channels(channels)), "s");
        }
        for (double startDbar : new double[] {30, 100, 250, 500}) {
            PlanFile.Builder file = standard.toBuilder();
            file.getPlanBuilder().getAscentBuilder().setStartDbar(startDbar);
            PlanFile deep = file.build();
            double seconds = coreSeconds(deep);
            int scans = scans(deep);
            figure("seconds_scans_" + scans, seconds, "s");
        }
        figure("seconds_heads_1", coreSeconds(oneHead()), "s");
        figure("seconds_heads_2", coreSeconds(standard), "s");
    }

    /** Evenly spread over the heads' range; all of them: a full flight. */
    private PlanFile channels(int count) {
        if (count == ALL) {
            return standard;
        }
        PlanFile.Builder file = standard.toBuilder();
        for (int i = 0; i < count; i++) {
            file.getPlanBuilder().addFlyWavelengthsNm(FIRST_NM + STEP_NM * Math.floorDiv(i * ALL, count));
        }
        return file.build();
    }

    private PlanFile oneHead() {
        PlanFile.Builder file = standard.toBuilder();
        file.getPlanBuilder().removeHeads(1);
        return file.build();
    }

    private static void fly(PlanFile file, long seed) {
        Dive.fly(file.getPlan(), file.getCalibration(), file.getScene(), Seeds.all(seed), null, Dive.Progress.NONE);
    }

    private static int scans(PlanFile file) {
        return Dive.fly(file.getPlan(), file.getCalibration(), file.getScene(), Seeds.all(1), null, Dive.Progress.NONE)
                .recording()
                .scans();
    }

    /** Time on one core of a dive, s: the middle one of several. */
    private double coreSeconds(PlanFile file) {
        var threads = ManagementFactory.getThreadMXBean();
        List<Double> seconds = new ArrayList<>();
        for (int seed = 1; seed <= dives; seed++) {
            long before = threads.getCurrentThreadCpuTime();
            fly(file, seed);
            seconds.add((threads.getCurrentThreadCpuTime() - before) * 1e-9);
        }
        seconds.sort(null);
        return 0.5 * (seconds.get((dives - 1) / 2) + seconds.get(dives / 2));
    }

    private double perSecond(int threads) throws ExecutionException, InterruptedException {
        ExecutorService pool = Executors.newFixedThreadPool(threads);
        try {
            long before = System.nanoTime();
            List<Callable<Boolean>> work = new ArrayList<>();
            for (int seed = 1; seed <= dives * threads; seed++) {
                int own = seed;
                work.add(() -> {
                    fly(standard, own);
                    return true;
                });
            }
            for (Future<Boolean> done : pool.invokeAll(work)) {
                done.get();
            }
            return dives * threads / ((System.nanoTime() - before) * 1e-9);
        } finally {
            pool.shutdown();
        }
    }

    private static void figure(String name, double value, String unit) {
        System.out.printf(Locale.ROOT, "figure sea.%s %.3f %s%n", name, value, unit);
    }
}
