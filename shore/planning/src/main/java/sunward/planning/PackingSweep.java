package sunward.planning;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import sunward.profiles.Contribution;
import sunward.profiles.DiveProduct;
import sunward.profiles.SurfaceRadiance;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.LinkTruth;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.Dive;
import sunward.simulator.DiveResult;
import sunward.simulator.Seeds;

/**
 * What more messages buy: each dive's scans are packed again into each number of messages allowed, none lost, and decoded;
 * stated uncertainty of water-leaving radiance and actual error against truth, in bands of 10 nm about the named wavelengths from 412 to 670 nm.
 * Run as {@code java -cp sunward.jar sunward.planning.PackingSweep FIRST LAST [PICTURE.svg] [CHANNELS]}, where {@code
 * CHANNELS} is {@code all} to fly every channel.
 */
public final class PackingSweep {
    private static final int THREADS = 2;
    private static final int[] ALLOWED = {3, 4, 5, 6, 8, 10, 12, 16, 20, 26, 36, 52, 76, 104, 150, 200};
    private static final double NEAREST_NM = 10;

    /** Standard errors beyond which a step counts as worse: one in 700 by chance (normal distribution). */
    private static final double CLEAR = 3;

    /**
     * Errors of one dive packed into one number of messages.
     *
     * @param error percent of truth at each named wavelength; not-a-number where there is no value
     * @param stated relative standard uncertainty, percent; likewise
     */
    @SuppressWarnings("ArrayRecordComponent") // internal, never compared
    record Packed(int sent, double[] error, double[] stated) {}

    /**
     * All dives at one number of messages.
     *
     * @param missing values missing, of all dives and wavelengths
     * @param rms rms error of the values there are, percent, by wavelength and pooled at the end
     * @param stated mean stated standard uncertainty, likewise
     * @param worse this row's squared error less the row's before, pooled, paired by dive, in standard errors; not-a-number in
     *     the first row
     * @param statedWorse the same for the stated uncertainty
     */
    record Row(
            int allowed,
            double sent,
            int missing,
            List<Double> rms,
            List<Double> stated,
            double worse,
            double statedWorse) {
        double pooledRms() {
            return rms.get(rms.size() - 1);
        }

        double pooledStated() {
            return stated.get(stated.size() - 1);
        }
    }

    private PackingSweep() {}

    /** Flies and packs; the rows go by rising number of messages. */
    static List<Row> of(PlanFile planFile, long firstSeed, long lastSeed, int... allowed) throws InterruptedException {
        PlanFile.Builder quiet = planFile.toBuilder();
        quiet.getSceneBuilder().setLink(LinkTruth.getDefaultInstance());
        PlanFile file = quiet.build();
        ExecutorService threads = Executors.newFixedThreadPool(THREADS);
        try {
            List<Future<List<Packed>>> dives = new ArrayList<>();
            for (long seed = firstSeed; seed <= lastSeed; seed++) {
                Seeds seeds = Seeds.all(seed);
                dives.add(threads.submit(() -> dive(file, seeds, allowed)));
            }
            List<List<Packed>> all = new ArrayList<>();
            for (Future<List<Packed>> dive : dives) {
                all.add(dive.get());
            }
            List<Row> rows = new ArrayList<>();
            for (int i = 0; i < allowed.length; i++) {
                int at = i;
                List<Packed> now = all.stream().map(dive -> dive.get(at)).toList();
                List<Packed> before = i == 0
                        ? null
                        : all.stream().map(dive -> dive.get(at - 1)).toList();
                rows.add(row(allowed[i], now, before));
            }
            return rows;
        } catch (ExecutionException e) {
            throw new IllegalStateException(e.getCause());
        } finally {
            threads.shutdownNow();
        }
    }

    private static List<Packed> dive(PlanFile file, Seeds seeds, int[] allowed) {
        DiveResult dive =
                Dive.fly(file.getPlan(), file.getCalibration(), file.getScene(), seeds, null, Dive.Progress.NONE);
        List<Packed> packed = new ArrayList<>();
        for (int messages : allowed) {
            PlanFile.Builder other = file.toBuilder();
            other.getPlanBuilder().getPackingBuilder().setDataMessages(messages).setParityMessages(0);
            List<byte[]> sent = Dive.replay(other.getPlan(), file.getCalibration(), dive.recording(), null);
            packed.add(packed(sent.size(), BudgetSheet.product(sent, other.build()), dive));
        }
        return packed;
    }

    private static Packed packed(int sent, DiveProduct product, DiveResult dive) {
        int n = Coverage.NAMED_NM.size();
        double[] error = new double[n];
        double[] stated = new double[n];
        Comparison comparison =
                product == null || product.surface() == null ? null : new Comparison(product.surface(), dive.truth());
        for (int i = 0; i < n; i++) {
            Band band = comparison == null
                    ? Band.NOTHING
                    : Band.of(Coverage.NAMED_NM.get(i), comparison, product.surface());
            error[i] = band.errorPercent;
            stated[i] = band.statedPercent;
        }
        return new Packed(sent, error, stated);
    }

    /**
     * Water-leaving radiance in a band of 10 nm, so that coarse and fine samples are judged alike.
     *
     * @param errorPercent of the band's truth; not-a-number without a value
     * @param statedPercent relative standard uncertainty from the budget: parts of a contribution closer than its correlation
     *     length go together, as exp(-distance / length)
     */
    private record Band(double errorPercent, double statedPercent) {
        static final Band NOTHING = new Band(Double.NaN, Double.NaN);
        private static final double HALF_NM = 4.9;

        static Band of(double nm, Comparison comparison, SurfaceRadiance surface) {
            List<Integer> inside = new ArrayList<>();
            for (int k = 0; k < comparison.wavelengthNm.length; k++) {
                if (Math.abs(comparison.wavelengthNm[k] - nm) <= HALF_NM && comparison.has(k)) {
                    inside.add(k);
                }
            }
            int nearest = comparison.nearest(nm);
            if (inside.isEmpty()
                    && comparison.has(nearest)
                    && Math.abs(comparison.wavelengthNm[nearest] - nm) < NEAREST_NM) {
                inside.add(nearest);
            }
            double lw = inside.stream().mapToDouble(k -> surface.lw().at(k)).sum();
            double truth = inside.stream().mapToDouble(k -> comparison.lw[k]).sum();
            double variance = 0;
            for (Contribution contribution : surface.budget().contributions()) {
                for (int k : inside) {
                    for (int j : inside) {
                        double away = Math.abs(comparison.wavelengthNm[k] - comparison.wavelengthNm[j]);
                        double alike = away == 0 ? 1 : Math.exp(-away / contribution.correlationLengthNm());
                        variance += alike
                                * surface.lw().at(k)
                                * contribution.factor().at(k)
                                * surface.lw().at(j)
                                * contribution.factor().at(j);
                    }
                }
            }
            return inside.isEmpty() ? NOTHING : new Band(100 * (lw / truth - 1), 100 * Math.sqrt(variance) / lw);
        }
    }

    private static Row row(int allowed, List<Packed> now, List<Packed> before) {
        int n = Coverage.NAMED_NM.size();
        List<Double> rms = new ArrayList<>();
        List<Double> stated = new ArrayList<>();
        double allSquares = 0;
        double allStated = 0;
        int values = 0;
        for (int i = 0; i < n; i++) {
            double squares = 0;
            double sum = 0;
            int count = 0;
            for (Packed dive : now) {
                if (Double.isFinite(dive.error[i])) {
                    squares += dive.error[i] * dive.error[i];
                    sum += dive.stated[i];
                    count++;
                }
            }
            rms.add(Math.sqrt(squares / count));
            stated.add(sum / count);
            allSquares += squares;
            allStated += sum;
            values += count;
        }
        rms.add(Math.sqrt(allSquares / values));
        stated.add(allStated / values);
        return new Row(
                allowed,
                now.stream().mapToInt(Packed::sent).average().orElseThrow(),
                n * now.size() - values,
                rms,
                stated,
                before == null ? Double.NaN : change(now, before, true),
                before == null ? Double.NaN : change(now, before, false));
    }

    /** Mean over dives of this row less the one before, in standard errors; wavelengths of a dive are one observation. */
    private static double change(List<Packed> now, List<Packed> before, boolean squaredError) {
        double sum = 0;
        double squares = 0;
        int dives = 0;
        for (int d = 0; d < now.size(); d++) {
            double change = 0;
            for (int i = 0; i < Coverage.NAMED_NM.size(); i++) {
                double a = squaredError
                        ? now.get(d).error[i] * now.get(d).error[i] - before.get(d).error[i] * before.get(d).error[i]
                        : now.get(d).stated[i] - before.get(d).stated[i];
                change += Double.isFinite(a) ? a : 0; // without a value in both rows there is nothing to compare
            }
            sum += change;
            squares += change * change;
            dives++;
        }
        double mean = sum / dives;
        double variance = (squares - dives * mean * mean) / (dives - 1);
        return variance > 0 ? mean / Math.sqrt(variance / dives) : 0;
    }

    /** Steps at which the error or the stated uncertainty grew beyond its sampling error, or values went missing. */
    static List<String> worse(List<Row> rows) {
        List<String> worse = new ArrayList<>();
        for (int i = 1; i < rows.size(); i++) {
            Row row = rows.get(i);
            String step = rows.get(i - 1).allowed + " to " + row.allowed + " messages: ";
            if (row.worse > CLEAR) {
                worse.add(step + String.format(Locale.ROOT, "squared error up by %.1f standard errors", row.worse));
            }
            if (row.statedWorse > CLEAR) {
                worse.add(step + String.format(Locale.ROOT, "stated u up by %.1f standard errors", row.statedWorse));
            }
            if (row.missing > rows.get(i - 1).missing) {
                worse.add(step + "missing values " + rows.get(i - 1).missing + " to " + row.missing);
            }
        }
        return worse;
    }

    static void print(List<Row> rows, int dives, PrintStream out) {
        StringBuilder head = new StringBuilder("allowed    sent missing");
        Coverage.NAMED_NM.forEach(nm -> head.append(String.format(Locale.ROOT, "  rms_%d  u_%d", nm, nm)));
        out.println(head + "  rms_pooled  u_pooled  worse_se  u_worse_se");
        for (Row row : rows) {
            StringBuilder line =
                    new StringBuilder(String.format(Locale.ROOT, "%7d %7.1f %7d", row.allowed, row.sent, row.missing));
            for (int i = 0; i < Coverage.NAMED_NM.size(); i++) {
                line.append(String.format(Locale.ROOT, " %8.3f %6.3f", row.rms.get(i), row.stated.get(i)));
            }
            out.println(line
                    + String.format(
                            Locale.ROOT,
                            " %11.3f %9.3f %9.1f %11.1f",
                            row.pooledRms(),
                            row.pooledStated(),
                            row.worse,
                            row.statedWorse));
        }
        List<String> worse = worse(rows);
        worse.forEach(one -> out.println("worse: " + one));
        out.println("figure packing.dives " + dives + " 1");
        out.println("figure packing.steps_worse " + worse.size() + " 1");
        for (Row row : rows) {
            out.println(String.format(
                    Locale.ROOT,
                    "figure packing.rms_error_%d_messages %.3f percent%nfigure packing.stated_u_%d_messages %.3f percent",
                    row.allowed,
                    row.pooledRms(),
                    row.allowed,
                    row.pooledStated()));
        }
    }

    /** Sweeps and prints; see the class. */
    public static void main(String[] arguments) throws InterruptedException, IOException {
        long first = arguments.length > 0 ? Long.parseLong(arguments[0]) : 1;
        long last = arguments.length > 1 ? Long.parseLong(arguments[1]) : 200;
        boolean all = arguments.length > 3 && arguments[3].equals("all");
        PlanFile file = all ? PlanReader.defaults() : Coverage.thinned(PlanReader.defaults());
        List<Row> rows = of(file, first, last, ALLOWED);
        PrintStream out = new PrintStream(System.out, true, StandardCharsets.UTF_8);
        print(rows, (int) (last - first + 1), out);
        if (arguments.length > 2) {
            Files.writeString(Path.of(arguments[2]), PackingPicture.svg(rows, (int) (last - first + 1)));
        }
    }
}
