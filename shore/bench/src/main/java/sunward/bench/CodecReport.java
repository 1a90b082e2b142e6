package sunward.bench;

import java.io.PrintStream;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Collectors;

/** The table and the figures of {@link CodecBench}. */
final class CodecReport {
    private static final String ORDINARY = "ordinary";
    private static final String BOUND = "bound";
    private static final List<String> TIERS = List.of("first-look", "outline", "outline-nodes", "bins", "samples");

    private final List<Outcome> outcomes;
    private final PrintStream out;

    CodecReport(List<Outcome> outcomes, PrintStream out) {
        this.outcomes = outcomes;
        this.out = out;
    }

    void print() {
        table();
        lost();
        truth();
        asTheyStand(LossTrial.TIER);
        asTheyStand(SpeedTrial.TIER);
        asTheyStand("joint bound");
        figures();
    }

    private void table() {
        out.println();
        out.println("tier          coder            family          dives   median    worst  failed");
        for (String tier : TIERS) {
            Map<String, Map<String, List<Double>>> coders = new LinkedHashMap<>();
            for (Outcome o : outcomes) {
                if (o.tier().equals(tier)) {
                    coders.computeIfAbsent(o.coder(), c -> new TreeMap<>())
                            .computeIfAbsent(o.family(), f -> new ArrayList<>())
                            .add(o.bytes());
                }
            }
            coders.forEach((coder, families) -> families.forEach((family, all) -> {
                double[] met =
                        all.stream().filter(b -> !b.isNaN()).mapToDouble(b -> b).toArray();
                out.println(String.format(
                        Locale.ROOT,
                        "%-13s %-16s %-15s %5d %8.0f %8.0f %7d",
                        tier,
                        coder,
                        family,
                        all.size(),
                        Judgement.percentile(met, 0.5),
                        Judgement.percentile(met, 1),
                        all.size() - met.length));
            }));
        }
    }

    /** Where another coder wins, and what of ours failed. */
    private void lost() {
        out.println();
        for (Outcome o : outcomes) {
            if (!o.coder().equals(OwnTrial.OURS) || o.tier().equals("curve")) {
                continue;
            }
            if (Double.isNaN(o.bytes())) {
                out.println("failed: " + o.line().replace('\t', ' '));
                continue;
            }
            Outcome best = bestPeer(o.dive(), peersOf(o.tier()));
            double own = o.tier().equals("outline") ? o.number("alone") : o.bytes();
            if (best != null && best.bytes() < own) {
                out.println(String.format(
                        Locale.ROOT,
                        "a peer wins: %s %s %.0f bytes, ours %.0f",
                        o.dive(),
                        best.tier() + " " + best.coder(),
                        best.bytes(),
                        own));
            }
        }
    }

    private void truth() {
        out.println();
        out.println("against truth, medians   ours, sigma  measured bins   ours, %  measured bins");
        for (String tier : List.of("outline", "bins", "samples")) {
            for (String family : families()) {
                double sigma = median(tier, family, "truth_sigma");
                if (!Double.isNaN(sigma)) {
                    out.println(String.format(
                            Locale.ROOT,
                            "%-8s %-15s %12.3f %14.3f %9.4f %14.4f",
                            tier,
                            family,
                            sigma,
                            median(tier, family, "measured_truth_sigma"),
                            median(tier, family, "truth_percent"),
                            median(tier, family, "measured_truth_percent")));
                }
            }
        }
    }

    private void asTheyStand(String tierOrCoder) {
        for (Outcome o : outcomes) {
            if (o.tier().equals(tierOrCoder) || o.coder().equals(tierOrCoder)) {
                out.println(o.line().replace('\t', ' '));
            }
        }
    }

    private double lossOf(String coder, String number) {
        return middle(of(LossTrial.TIER, coder, ORDINARY).stream()
                .map(o -> o.number(number))
                .toList());
    }

    private List<String> families() {
        return outcomes.stream().map(Outcome::family).distinct().sorted().collect(Collectors.toList());
    }

    private void figures() {
        out.println();
        figure("codec.first_look_bytes", median("first-look", ORDINARY, "length"), "byte");
        figure(
                "codec.first_look_surface_p95_percent",
                median("first-look", ORDINARY, "surface_p95_percent"),
                "percent");
        figure("codec.first_look_k_p95_percent", median("first-look", ORDINARY, "k_p95_percent"), "percent");
        figure("codec.first_look_met_share", metShare("first-look"), "1");
        figure("codec.outline_bytes", median("outline", ORDINARY, "length"), "byte");
        figure("codec.outline_met_share", metShare("outline"), "1");
        figure("codec.outline_truth_sigma", median("outline", ORDINARY, "truth_sigma"), "1");
        figure("codec.measured_truth_sigma", median("outline", ORDINARY, "measured_truth_sigma"), "1");
        figure("codec.bins_bytes", median("bins", ORDINARY, Outcome.BYTES), "byte");
        figure("codec.bins_met_share", metShare("bins"), "1");
        figure("codec.samples_bytes", median("samples", ORDINARY, Outcome.BYTES), "byte");
        figure("codec.samples_met_share", metShare("samples"), "1");
        figure("codec.bins_noise_bound_bytes", medianOf("bins", "noise bound", ORDINARY), "byte");
        figure("codec.samples_noise_bound_bytes", medianOf("samples", "noise bound", ORDINARY), "byte");
        for (String with : List.of("with", "without")) {
            String coder = with + " first look";
            figure(
                    "codec.loss_of_one_p95_percent_" + with + "_first_look",
                    lossOf(coder, "one_lw_p95_percent"),
                    "percent");
            figure(
                    "codec.loss_of_one_k_p95_percent_" + with + "_first_look",
                    lossOf(coder, "one_k_p95_percent"),
                    "percent");
            for (int share : new int[] {5, 10, 20}) {
                figure(
                        "codec.loss_of_" + share + "_percent_p95_percent_" + with + "_first_look",
                        lossOf(coder, "share_" + share + "_lw_p95_percent"),
                        "percent");
            }
        }
        figure("codec.outline_over_best_peer", ratio("outline", "alone"), "1");
        figure("codec.bins_over_best_peer", ratio("bins", Outcome.BYTES), "1");
        figure("codec.samples_over_best_peer", ratio("samples", Outcome.BYTES), "1");
        figure("codec.bins_joint_bound_bytes", medianOf("bins", "joint bound", ORDINARY), "byte");
        figure("codec.samples_joint_bound_bytes", medianOf("samples", "joint bound", ORDINARY), "byte");
        speed();
        double worst = Double.NaN;
        for (Outcome o : outcomes) {
            boolean tier = o.tier().equals("bins") || o.tier().equals("samples");
            if (tier && o.coder().equals(OwnTrial.OURS) && !o.family().equals(ORDINARY)) {
                Outcome best = bestPeer(o.dive(), o.tier());
                double ratio = best == null ? Double.NaN : o.bytes() / best.bytes();
                worst = Double.isNaN(worst) || ratio > worst ? ratio : worst;
            }
        }
        figure("codec.worst_novel_over_best_peer", worst, "1");
    }

    private void speed() {
        for (Outcome o : outcomes) {
            if (o.tier().equals(SpeedTrial.TIER)) {
                String coder =
                        o.coder().replace(", ours", "").toLowerCase(Locale.ROOT).replaceAll("[^a-z0-9]+", "_");
                o.numbers()
                        .forEach((name, value) -> figure(
                                "codec.speed." + coder + "." + name,
                                value,
                                name.startsWith("alloc") ? "byte" : "megasample/s"));
            }
        }
    }

    private double metShare(String tier) {
        List<Outcome> all = of(tier, OwnTrial.OURS, ORDINARY);
        double met = all.stream().filter(o -> !Double.isNaN(o.bytes())).count();
        return met / all.size();
    }

    /** Median over ordinary dives of our bytes over those of the dive's best peer. */
    private double ratio(String tier, String bytes) {
        List<Double> ratios = new ArrayList<>();
        for (Outcome o : of(tier, OwnTrial.OURS, ORDINARY)) {
            Outcome best = bestPeer(o.dive(), peersOf(tier));
            if (best != null && !Double.isNaN(o.number(bytes))) {
                ratios.add(o.number(bytes) / best.bytes());
            }
        }
        return middle(ratios);
    }

    private static String peersOf(String tier) {
        return tier.equals("outline") ? "outline-nodes" : tier;
    }

    private Outcome bestPeer(String dive, String tier) {
        Outcome best = null;
        for (Outcome o : outcomes) {
            boolean peer = !o.coder().equals(OwnTrial.OURS) && !o.coder().endsWith(BOUND);
            if (peer && o.dive().equals(dive) && o.tier().equals(tier) && !Double.isNaN(o.bytes())) {
                best = best == null || o.bytes() < best.bytes() ? o : best;
            }
        }
        return best;
    }

    private List<Outcome> of(String tier, String coder, String family) {
        return outcomes.stream()
                .filter(o -> o.tier().equals(tier)
                        && o.coder().equals(coder)
                        && o.family().equals(family))
                .toList();
    }

    private double median(String tier, String family, String number) {
        return middle(of(tier, OwnTrial.OURS, family).stream()
                .map(o -> o.number(number))
                .toList());
    }

    private double medianOf(String tier, String coder, String family) {
        return middle(of(tier, coder, family).stream().map(Outcome::bytes).toList());
    }

    private static double middle(List<Double> all) {
        double[] known =
                all.stream().filter(v -> !v.isNaN()).mapToDouble(v -> v).toArray();
        return known.length == 0 ? Double.NaN : Judgement.percentile(known, 0.5);
    }

    private void figure(String name, double value, String unit) {
        if (!Double.isNaN(value)) {
            out.println(String.format(Locale.ROOT, "figure %s %.4g %s", name, value, unit));
        }
    }
}
