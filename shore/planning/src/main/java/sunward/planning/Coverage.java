package sunward.planning;

import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.TreeSet;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.SceneLibrary;
import sunward.simulator.Seeds;

/**
 * How often the stated 95 % intervals of water-leaving radiance hold the truth, and how wide they are, over many dives of
 * the default plan with few channels. Run as {@code java -cp sunward.jar sunward.planning.Coverage FIRST LAST [all] [SCENE]};
 * {@code all} flies every channel, which then travels by another codec than few channels do; a scene is one of the library.
 */
public final class Coverage {
    /** Wavelengths that the figures are about, nm. */
    static final List<Integer> NAMED_NM = List.of(412, 443, 490, 510, 555, 620, 670);

    private static final int THREADS = 2;
    private static final double NEAREST_NM = 0.5;

    private Coverage() {}

    /** About forty wavelengths over the whole range, the named ones among them. */
    static PlanFile thinned(PlanFile file) {
        TreeSet<Double> nm = new TreeSet<>();
        NAMED_NM.forEach(w -> nm.add((double) w));
        for (double w = 325; w < 860; w += 16) {
            nm.add(w);
        }
        PlanFile.Builder builder = file.toBuilder();
        builder.getPlanBuilder().clearFlyWavelengthsNm().addAllFlyWavelengthsNm(nm);
        return builder.build();
    }

    /**
     * Flies the dives of some seeds, two at a time.
     *
     * @return the tally; it does not depend on the order in which dives end
     */
    static CoverageTally of(PlanFile file, long firstSeed, long lastSeed) throws InterruptedException {
        ExecutorService threads = Executors.newFixedThreadPool(THREADS);
        try {
            List<Future<Comparison>> dives = new ArrayList<>();
            for (long seed = firstSeed; seed <= lastSeed; seed++) {
                Seeds seeds = Seeds.all(seed);
                dives.add(threads.submit(() -> RehearsedDive.of(file, seeds, null, (stage, share) -> {})
                        .report()
                        .comparison()));
            }
            CoverageTally tally = new CoverageTally();
            for (Future<Comparison> dive : dives) {
                add(tally, dive.get());
            }
            return tally;
        } catch (ExecutionException e) {
            throw new IllegalStateException(e.getCause());
        } finally {
            threads.shutdownNow();
        }
    }

    private static void add(CoverageTally tally, Comparison dive) {
        if (dive == null) {
            return;
        }
        for (int k = 0; k < dive.wavelengthNm.length; k++) {
            if (dive.has(k)) {
                dive.addTo(tally, k);
            } else {
                tally.addWithout(dive.wavelengthNm[k]);
            }
        }
    }

    /** The tally of the named wavelengths alone. */
    static boolean named(double nm) {
        return NAMED_NM.stream().anyMatch(w -> Math.abs(w - nm) < NEAREST_NM);
    }

    /** Prints a table of all wavelengths and the figures of the named ones. */
    static void print(CoverageTally tally, PrintStream out) {
        out.println(
                "wavelength_nm  dives  without  bias_percent  sd_percent  mean_u_percent  u_over_sd  coverage  half_width_percent  widest");
        tally.rows()
                .forEach((nm, row) -> out.println(String.format(
                        Locale.ROOT,
                        "%s%12.2f %6d %8d %13.2f %11.2f %15.2f %10.2f %9.3f %19.2f %7.2f",
                        named(nm) ? "*" : " ",
                        nm,
                        row.dives(),
                        row.without(),
                        row.biasPercent(),
                        row.sdPercent(),
                        row.meanUncertaintyPercent(),
                        row.uncertaintyOverSd(),
                        row.coverage(),
                        row.meanHalfWidthPercent(),
                        row.widestPercent())));
        figure(
                out,
                "coverage.dives",
                tally.rows().values().stream()
                        .mapToInt(CoverageTally.Row::dives)
                        .max()
                        .orElse(0),
                "1");
        figure(out, "coverage.pooled", tally.pooled(Coverage::named), "1");
        figure(out, "coverage.pooled_all_wavelengths", tally.pooled(nm -> true), "1");
        figure(
                out,
                "coverage.half_width_max_blue_green_percent",
                tally.widestPercent(Coverage::named, 400, 560),
                "percent");
        figure(out, "coverage.half_width_max_red_percent", tally.widestPercent(Coverage::named, 600, 680), "percent");
    }

    private static void figure(PrintStream out, String name, double value, String unit) {
        out.println(String.format(Locale.ROOT, "figure %s %.4g %s", name, value, unit));
    }

    /** Prints the coverage over the seeds given: first, last, whether all channels fly, and a scene of the library. */
    public static void main(String[] arguments) throws InterruptedException {
        long first = arguments.length > 0 ? Long.parseLong(arguments[0]) : 1;
        long last = arguments.length > 1 ? Long.parseLong(arguments[1]) : 40;
        PrintStream out = new PrintStream(System.out, true, StandardCharsets.UTF_8);
        PlanFile file = PlanReader.defaults();
        boolean all = false;
        for (int i = 2; i < arguments.length; i++) {
            boolean word = arguments[i].equals("all");
            all |= word;
            file = word ? file : SceneLibrary.over(file, arguments[i]);
        }
        print(of(all ? file : thinned(file), first, last), out);
    }
}
