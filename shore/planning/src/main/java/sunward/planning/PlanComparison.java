package sunward.planning;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.function.ToDoubleFunction;
import java.util.function.UnaryOperator;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.Dive;
import sunward.simulator.Seeds;

/**
 * Plans flown over the same scenes with the same addressed randomness, so that what differs is the plans' doing: dive by
 * dive the same waves, swinging and instrument error. Compared in pairs with the first plan, which takes out of the
 * difference what the dives have in common.
 */
public final class PlanComparison {
    private static final int THREADS = 2;
    private static final double NEAREST_NM = 10;

    /** A plan by the name that the user gave it. */
    public record Candidate(String name, PlanFile file) {}

    /**
     * One dive of one plan.
     *
     * @param failure why it cannot be used; empty when it can
     * @param errorPercent of water-leaving radiance against truth at {@link #WAVELENGTHS_NM}; empty for a failure
     * @param halfWidthPercent half the stated 95 % interval, likewise
     * @param bins bins with a spectrum in hand, all heads
     */
    @SuppressWarnings("ArrayRecordComponent") // internal to the package, never compared or changed
    record Flown(String failure, double[] errorPercent, double[] halfWidthPercent, int bins, int bytes, double joules) {
        boolean usable() {
            return failure.isEmpty();
        }

        double meanAbsoluteError() {
            double sum = 0;
            for (double error : errorPercent) {
                sum += Math.abs(error);
            }
            return sum / errorPercent.length;
        }

        double meanHalfWidth() {
            double sum = 0;
            for (double width : halfWidthPercent) {
                sum += width;
            }
            return sum / halfWidthPercent.length;
        }
    }

    /**
     * A difference from the first plan, over the pairs of dives where it is known.
     *
     * @param quantity what differs, in words
     * @param key the same for machines
     * @param mean this plan less the first; not-a-number without pairs
     * @param standardError of the mean; not-a-number with fewer than two pairs
     */
    public record Difference(String quantity, String key, double mean, double standardError, int pairs) {
        private static final double CLEAR = 2; // standard errors: about 95 % (GUM, Table G.2, many degrees of freedom)

        /** True when the mean stands clear of chance. */
        public boolean clear() {
            return mean != 0 && Math.abs(mean) > CLEAR * standardError;
        }
    }

    /**
     * All dives of one plan.
     *
     * @param rmsErrorPercent of the usable dives, at each wavelength; empty when there are none
     * @param failures how many dives failed for each cause
     * @param differences from the first plan; empty for that plan itself
     */
    public record Row(
            String name,
            int dives,
            int usable,
            List<Double> rmsErrorPercent,
            double meanHalfWidthPercent,
            double meanBins,
            double meanBytes,
            double meanJoules,
            Map<String, Integer> failures,
            List<Difference> differences) {}

    /** Where errors are judged, nm. */
    public static final List<Integer> WAVELENGTHS_NM = Coverage.NAMED_NM;

    private PlanComparison() {}

    /**
     * Flies every plan over every scene.
     *
     * @param scenes what flying in a scene makes of a plan file
     * @param dives per scene, with seeds from 1 on
     * @return a row a plan, in their order
     */
    public static List<Row> of(
            List<Candidate> plans, List<UnaryOperator<PlanFile>> scenes, int dives, Dive.Progress progress)
            throws InterruptedException {
        ExecutorService threads = Executors.newFixedThreadPool(THREADS);
        try {
            List<List<Future<Flown>>> all = new ArrayList<>();
            for (Candidate plan : plans) {
                List<Future<Flown>> one = new ArrayList<>();
                for (UnaryOperator<PlanFile> scene : scenes) {
                    PlanFile file = scene.apply(plan.file());
                    for (long seed = 1; seed <= dives; seed++) {
                        Seeds seeds = Seeds.all(seed);
                        one.add(threads.submit(() -> fly(file, seeds)));
                    }
                }
                all.add(one);
            }
            List<List<Flown>> flown = new ArrayList<>();
            int done = 0;
            for (List<Future<Flown>> futures : all) {
                List<Flown> one = new ArrayList<>();
                for (Future<Flown> future : futures) {
                    one.add(future.get());
                    progress.at("dives", ++done / (double) (plans.size() * futures.size()));
                }
                flown.add(one);
            }
            List<Row> rows = new ArrayList<>();
            for (int i = 0; i < plans.size(); i++) {
                rows.add(row(plans.get(i).name(), flown.get(i), i == 0 ? null : flown.get(0)));
            }
            return rows;
        } catch (ExecutionException e) {
            if (e.getCause() instanceof IllegalArgumentException sentence) {
                throw sentence; // a scene that cannot be built: said in one sentence
            }
            throw new IllegalStateException(e.getCause());
        } finally {
            threads.shutdownNow();
        }
    }

    private static Flown fly(PlanFile file, Seeds seeds) {
        RehearsedDive dive = RehearsedDive.of(file, seeds, null, Dive.Progress.NONE);
        int bytes = dive.result().sent().stream().mapToInt(b -> b.length).sum();
        double joules = dive.result().account().totalJ();
        int bins = dive.product() == null
                ? 0
                : (int) dive.product().profile().bins().stream()
                        .filter(bin -> !bin.shaded() && bin.used() > 0)
                        .count();
        Comparison comparison = dive.report().comparison();
        if (comparison == null) {
            String why = dive.product() == null ? "nothing decodable arrived" : "no surface spectra";
            return new Flown(why, new double[0], new double[0], bins, bytes, joules);
        }
        int n = WAVELENGTHS_NM.size();
        double[] error = new double[n];
        double[] width = new double[n];
        for (int i = 0; i < n; i++) {
            int k = comparison.nearest(WAVELENGTHS_NM.get(i));
            boolean near = Math.abs(comparison.wavelengthNm[k] - WAVELENGTHS_NM.get(i)) < NEAREST_NM;
            if (!near || !comparison.has(k)) {
                String reason = near ? dive.product().surface().missing().get(k) : "no channel near it";
                String why = "no value at " + WAVELENGTHS_NM.get(i) + " nm: " + reason;
                return new Flown(why, new double[0], new double[0], bins, bytes, joules);
            }
            error[i] = comparison.errorPercent[k];
            width[i] = comparison.halfWidthPercent[k];
        }
        return new Flown("", error, width, bins, bytes, joules);
    }

    /** Sums up a plan's dives. */
    static Row row(String name, List<Flown> dives, List<Flown> first) {
        List<Flown> usable = dives.stream().filter(Flown::usable).toList();
        List<Double> rms = new ArrayList<>();
        for (int i = 0; !usable.isEmpty() && i < WAVELENGTHS_NM.size(); i++) {
            int at = i;
            rms.add(Math.sqrt(usable.stream()
                    .mapToDouble(dive -> dive.errorPercent()[at] * dive.errorPercent()[at])
                    .average()
                    .orElseThrow()));
        }
        Map<String, Integer> failures = new TreeMap<>();
        dives.stream().filter(dive -> !dive.usable()).forEach(dive -> failures.merge(dive.failure(), 1, Integer::sum));
        List<Difference> differences = first == null
                ? List.of()
                : List.of(
                        difference(
                                "size of the error, percent",
                                "absolute_error_percent",
                                dives,
                                first,
                                true,
                                Flown::meanAbsoluteError),
                        difference(
                                "half width of the 95 % interval, percent",
                                "half_width_percent", dives, first, true, Flown::meanHalfWidth),
                        difference("usable dives, share", "usable", dives, first, false, d -> d.usable() ? 1 : 0),
                        difference("bins with a spectrum", "bins", dives, first, false, Flown::bins),
                        difference("bytes", "bytes", dives, first, false, Flown::bytes),
                        difference("joules", "joules", dives, first, false, Flown::joules));
        return new Row(
                name,
                dives.size(),
                usable.size(),
                rms,
                mean(usable, Flown::meanHalfWidth),
                mean(dives, Flown::bins),
                mean(dives, Flown::bytes),
                mean(dives, Flown::joules),
                failures,
                differences);
    }

    private static double mean(List<Flown> dives, ToDoubleFunction<Flown> value) {
        return dives.stream().mapToDouble(value).average().orElse(Double.NaN);
    }

    private static Difference difference(
            String quantity,
            String key,
            List<Flown> dives,
            List<Flown> first,
            boolean usableOnly,
            ToDoubleFunction<Flown> value) {
        double sum = 0;
        double squares = 0;
        int pairs = 0;
        for (int i = 0; i < dives.size(); i++) {
            if (!usableOnly || dives.get(i).usable() && first.get(i).usable()) {
                double d = value.applyAsDouble(dives.get(i)) - value.applyAsDouble(first.get(i));
                pairs++;
                double off = d - sum / Math.max(1, pairs - 1);
                squares += pairs > 1 ? off * off * (pairs - 1) / pairs : 0;
                sum += d;
            }
        }
        double mean = pairs == 0 ? Double.NaN : sum / pairs;
        double error = pairs < 2 ? Double.NaN : Math.sqrt(squares / (pairs - 1) / pairs);
        return new Difference(quantity, key, mean, error, pairs);
    }
}
