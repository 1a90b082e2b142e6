package sunward.bench;

import java.util.Collection;
import java.util.Locale;
import java.util.concurrent.TimeUnit;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;
import org.openjdk.jmh.infra.Blackhole;
import org.openjdk.jmh.profile.GCProfiler;
import org.openjdk.jmh.results.RunResult;
import org.openjdk.jmh.runner.Runner;
import org.openjdk.jmh.runner.RunnerException;
import org.openjdk.jmh.runner.options.OptionsBuilder;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.Dive;
import sunward.simulator.Recording;
import sunward.simulator.Seeds;

/**
 * A whole dive of the firmware under the Java Microbenchmark Harness, whose profiler counts what is allocated: its own work
 * between iterations included, so that it must be held against a benchmark that does nothing.
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Fork(1)
@Warmup(iterations = 3, time = 2)
@Measurement(iterations = 3, time = 4)
public class FirmwareBench {
    private static final int CHANNELS = 48;
    private static final long AS_LONG_AS_A_DIVE = 15_000_000;

    private FlownAgain flown;

    /** The default dive with fewer channels: one of them takes some 30 ms. */
    static Recording recording() {
        PlanFile file = plan();
        return Dive.fly(file.getPlan(), file.getCalibration(), file.getScene(), Seeds.all(1), null, Dive.Progress.NONE)
                .recording();
    }

    private static PlanFile plan() {
        PlanFile.Builder file = PlanReader.defaults().toBuilder();
        file.getPlanBuilder().clearFlyWavelengthsNm();
        for (int i = 0; i < CHANNELS; i++) {
            file.getPlanBuilder().addFlyWavelengthsNm(330 + 11.0 * i);
        }
        return file.build();
    }

    /** Flies and records the dive that is flown again. */
    @Setup
    public void setUp() {
        flown = new FlownAgain(plan(), recording());
    }

    /** From boot to the end of the session at the surface; returns the messages sent. */
    @Benchmark
    public int dive() {
        return flown.flyUncounted();
    }

    /** About as long, and nothing at all: what the harness itself allocates in such a time. */
    @Benchmark
    public void harness() {
        Blackhole.consumeCPU(AS_LONG_AS_A_DIVE);
    }

    /** Runs the benchmarks and prints their figures. */
    public static void main(String[] arguments) throws RunnerException {
        int scans = recording().scans();
        Collection<RunResult> results = new Runner(new OptionsBuilder()
                        .include(FirmwareBench.class.getName())
                        .addProfiler(GCProfiler.class)
                        .build())
                .run();
        for (RunResult result : results) {
            boolean dive = result.getParams().getBenchmark().endsWith(".dive");
            String what = dive ? "dive" : "harness";
            System.out.printf(
                    Locale.ROOT,
                    "figure firmware.alloc_per_%s_jmh %.1f byte%nfigure firmware.%s_ms_48_channels %.1f ms%n",
                    what,
                    result.getSecondaryResults().get("gc.alloc.rate.norm").getScore(),
                    what,
                    result.getPrimaryResult().getScore());
            if (dive) {
                System.out.printf(
                        Locale.ROOT,
                        "figure firmware.alloc_per_scan %.3f byte%n",
                        result.getSecondaryResults().get("gc.alloc.rate.norm").getScore() / scans);
            }
        }
    }
}
