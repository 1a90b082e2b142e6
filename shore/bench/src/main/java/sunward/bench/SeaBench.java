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
import sunward.protocol.schema.Head;
import sunward.protocol.schema.HeadCalibration;
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
        List<double[]> byChannels = new ArrayList<>();
        for (int channels : new int[] {10, 40, 180, 360, ALL}) {
            double seconds = coreSeconds(channels(channels));
            figure("seconds_channels_" + channels, seconds, "s");
            byChannels.add(new double[] {channels, seconds});
        }
        line("channels", byChannels);
        List<double[]> byScans = new ArrayList<>();
        for (double startDbar : new double[] {30, 100, 250, 500}) {
            PlanFile.Builder file = standard.toBuilder();
            file.getPlanBuilder().getAscentBuilder().setStartDbar(startDbar);
            PlanFile deep = file.build();
            double seconds = coreSeconds(deep);
            int scans = scans(deep);
            figure("seconds_scans_" + scans, seconds, "s");
            byScans.add(new double[] {scans, seconds});
        }
        line("scans", byScans);
        List<double[]> byHeads = new ArrayList<>();
        for (int heads : new int[] {1, 2, 3, 4}) {
            double seconds = coreSeconds(heads(heads));
            figure("seconds_heads_" + heads, seconds, "s");
            byHeads.add(new double[] {heads, seconds});
        }
        line("heads", byHeads);
    }

    /** The straight line nearest to the points, and the farthest of them from it over the largest. */
    private static void line(String name, List<double[]> points) {
        double n = points.size();
        double x = points.stream().mapToDouble(p -> p[0]).sum() / n;
        double y = points.stream().mapToDouble(p -> p[1]).sum() / n;
        double slope = points.stream().mapToDouble(p -> (p[0] - x) * (p[1] - y)).sum()
                / points.stream().mapToDouble(p -> (p[0] - x) * (p[0] - x)).sum();
        double worst = points.stream()
                .mapToDouble(p -> Math.abs(p[1] - y - slope * (p[0] - x)))
                .max()
                .orElse(0);
        double most = points.stream().mapToDouble(p -> p[1]).max().orElse(1);
        figure("line_" + name + "_start", y - slope * x, "s");
        figure("line_" + name + "_milliseconds_each", 1000 * slope, "ms");
        figure("line_" + name + "_worst_departure", worst / most, "1");
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

    /** So many radiance heads of the first one's kind, spread around the hull. */
    private PlanFile heads(int count) {
        PlanFile.Builder file = standard.toBuilder();
        Head first = standard.getPlan().getHeads(0);
        double arm = Math.hypot(first.getArmXM(), first.getArmYM());
        file.getPlanBuilder().clearHeads();
        for (int i = 0; i < count; i++) {
            double azimuth = 2 * Math.PI * i / count;
            file.getPlanBuilder()
                    .addHeads(first.toBuilder()
                            .setName("head " + (i + 1))
                            .setArmXM(arm * StrictMath.cos(azimuth))
                            .setArmYM(arm * StrictMath.sin(azimuth)));
        }
        HeadCalibration own = standard.getCalibration().getHeads(0);
        file.getCalibrationBuilder().clearHeads();
        for (int i = 0; i < count; i++) {
            file.getCalibrationBuilder().addHeads(own.toBuilder().setName("head " + (i + 1)));
        }
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
