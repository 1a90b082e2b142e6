package sunward.watch.trouble;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import sunward.profiles.DiveProduct;
import sunward.profiles.ProfileBin;
import sunward.profiles.Spectrum;
import sunward.profiles.SurfaceRadiance;
import sunward.protocol.schema.Ledger;
import sunward.protocol.schema.Plan;

/** One dive beside its rehearsal. The limits are our own. */
final class DiveCheck {
    /** Chlorophyll from 0.07 to 0.5 mg m-3 alone changes the simulator's radiance by less. */
    private static final double BRIGHTNESS_FACTOR = 3;

    /** Two heads in the same water, relative to each other. */
    private static final double HEADS_FACTOR = 1.1;

    private static final double DARK_FACTOR = 5;
    private static final double BYTES_FACTOR = 1.25;
    private static final double ENERGY_FACTOR = 1.25;
    private static final double TILT_MORE_DEG = 3;

    /** Heads are compared below the waves' strongest focusing and above the dark. */
    private static final double FROM_M = 5, TO_M = 50;

    private static final double FROM_NM = 410, TO_NM = 560;
    private static final int FEWEST_BINS = 5;

    private final DiveProduct got;
    private final DiveProduct expected;
    private final Plan plan;
    private final List<Finding> findings = new ArrayList<>();

    private DiveCheck(DiveProduct got, DiveProduct expected, Plan plan) {
        this.got = got;
        this.expected = expected;
        this.plan = plan;
    }

    static Compared compared(DiveProduct got, DiveProduct expected, Plan plan) {
        DiveCheck check = new DiveCheck(got, expected, plan);
        check.plan();
        double blue = check.brightness("blue", 410, 450);
        double green = check.brightness("green", 540, 570);
        List<Double> heads = check.heads();
        check.ledger();
        check.tilt();
        return new Compared(got.dive(), blue, green, heads, List.copyOf(check.findings));
    }

    private void add(String what, String evidence, Object... values) {
        findings.add(new Finding(what, String.format(Locale.ROOT, evidence, values)));
    }

    private void plan() {
        got.reasons().stream()
                .filter(reason -> reason.startsWith("other plan"))
                .forEach(reason ->
                        add("it flew another plan", "%s. Look which plan the float acknowledged last.", reason));
    }

    private double brightness(String colour, double fromNm, double toNm) {
        List<Double> ratios = new ArrayList<>();
        SurfaceRadiance here = got.surface();
        SurfaceRadiance there = expected.surface();
        if (here == null
                || there == null
                || here.wavelengthNm().size() != there.wavelengthNm().size()) {
            return Double.NaN;
        }
        for (int k = 0; k < here.wavelengthNm().size(); k++) {
            double ratio = here.lw().at(k) / there.lw().at(k);
            double nm = here.wavelengthNm().at(k);
            if (nm >= fromNm && nm <= toNm && ratio > 0 && Double.isFinite(ratio)) {
                ratios.add(ratio);
            }
        }
        double ratio = median(ratios);
        if (ratio > BRIGHTNESS_FACTOR || ratio < 1 / BRIGHTNESS_FACTOR) {
            add(
                    ratio > 1
                            ? "the sea is far brighter in the " + colour + " than rehearsed"
                            : "the sea is far darker in the " + colour + " than rehearsed",
                    "From %.0f to %.0f nm the water-leaving radiance is %.2f times the rehearsed one (expected 0.33 to 3):"
                            + " cloud, other water, or both heads fouled or drifted alike.",
                    fromNm,
                    toNm,
                    ratio);
        }
        return ratio;
    }

    /** The first head over each further one, over the same as rehearsed. */
    private List<Double> heads() {
        List<Double> ratios = new ArrayList<>();
        for (int other = 1; other < plan.getHeadsCount(); other++) {
            double here = headRatio(got, other);
            double there = headRatio(expected, other);
            if (Double.isNaN(here) && !Double.isNaN(there) && got.messages() >= got.messagesPlanned()) {
                silent(other);
            }
            double ratio = here / there;
            ratios.add(ratio);
            if (!(ratio > 0) || ratio < HEADS_FACTOR && ratio > 1 / HEADS_FACTOR) {
                continue;
            }
            String dim = plan.getHeads(ratio > 1 ? other : 0).getName();
            boolean dark = ratio > DARK_FACTOR || ratio < 1 / DARK_FACTOR;
            add(
                    dark ? "head " + dim + " seems dead" : "head " + dim + " is too dim for the other",
                    "Between %.0f and %.0f m head %s reads %.2f times what head %s reads, rehearsed %.2f: %s.",
                    FROM_M,
                    TO_M,
                    plan.getHeads(0).getName(),
                    here,
                    plan.getHeads(other).getName(),
                    there,
                    dark
                            ? "a shutter that stays closed, a broken head, or a window that is covered"
                            : "growth on its window or drift; compare with earlier dives");
        }
        return ratios;
    }

    /** Everything planned is here, and one head of the two has hardly a bin to compare. */
    private void silent(int other) {
        long first = bins(got, 0);
        long second = bins(got, other);
        if (Math.min(first, second) >= FEWEST_BINS) {
            return; // Counts only, without a plan or calibration that fits: nothing to compare, and nothing wrong with
            // a head.
        }
        int quiet = first < second ? 0 : other;
        add(
                "head " + plan.getHeads(quiet).getName() + " seems dead",
                "Between %.0f and %.0f m it gave %d clear bins, head %s %d; the rehearsal %d and %d.",
                FROM_M,
                TO_M,
                Math.min(first, second),
                plan.getHeads(quiet == 0 ? other : 0).getName(),
                Math.max(first, second),
                bins(expected, quiet),
                bins(expected, quiet == 0 ? other : 0));
    }

    private static long bins(DiveProduct product, int head) {
        return product.profile().bins().stream()
                .filter(bin -> bin.head() == head && !bin.shaded() && bin.depthM() >= FROM_M && bin.depthM() <= TO_M)
                .count();
    }

    /** Median over depths of head 0 over another head, where both have clear scans; NaN when there are too few. */
    private static double headRatio(DiveProduct product, int other) {
        Map<Integer, Double> first = new HashMap<>();
        List<Double> ratios = new ArrayList<>();
        for (int pass = 0; pass < 2; pass++) {
            for (ProfileBin bin : product.profile().bins()) {
                if (bin.shaded() || bin.pass() != 0 || !(bin.depthM() >= FROM_M && bin.depthM() <= TO_M)) {
                    continue;
                }
                double sum = sum(product, bin);
                if (pass == 0 && bin.head() == 0) {
                    first.put(bin.bin(), sum);
                } else if (pass == 1 && bin.head() == other && first.containsKey(bin.bin())) {
                    ratios.add(first.get(bin.bin()) / Math.max(sum, 1e-12));
                }
            }
        }
        return ratios.size() < FEWEST_BINS ? Double.NaN : median(ratios);
    }

    private static double sum(DiveProduct product, ProfileBin bin) {
        List<Spectrum> grids = product.profile().wavelengthNm();
        if (bin.radiance() == null || bin.head() >= grids.size()) {
            return Double.NaN;
        }
        double sum = 0;
        for (int k = 0;
                k < Math.min(bin.radiance().size(), grids.get(bin.head()).size());
                k++) {
            double value = bin.radiance().at(k);
            sum += inRange(grids.get(bin.head()).at(k)) && Double.isFinite(value) ? value : 0;
        }
        return sum;
    }

    private void ledger() {
        Ledger here = got.ledger();
        Ledger there = expected.ledger();
        if (here == null || there == null) {
            return;
        }
        double messages = here.getMessagesPlanned() / (double) Math.max(1, there.getMessagesPlanned());
        if (messages > BYTES_FACTOR || messages < 1 / BYTES_FACTOR) {
            add(
                    "it sends far " + (messages > 1 ? "more" : "less") + " than rehearsed",
                    "The float planned %d messages, the rehearsal %d: another plan, or a profile cut short.",
                    here.getMessagesPlanned(),
                    there.getMessagesPlanned());
        }
        long joules = here.getEnergyJList().stream()
                .mapToLong(Integer::toUnsignedLong)
                .sum();
        long rehearsed = there.getEnergyJList().stream()
                .mapToLong(Integer::toUnsignedLong)
                .sum();
        if (rehearsed > 0 && joules > ENERGY_FACTOR * rehearsed) {
            add(
                    "it takes more energy than rehearsed",
                    "%d J against %d J rehearsed (both by the plan's assumed figures).",
                    joules,
                    rehearsed);
        }
    }

    private void tilt() {
        double here = tilt(got);
        double there = tilt(expected);
        if (here > there + TILT_MORE_DEG) {
            add(
                    "it hangs crooked",
                    "Its middle tilt is %.1f degrees, rehearsed %.1f: ballast, a lost arm or fouling on one side.",
                    here,
                    there);
        }
    }

    private static double tilt(DiveProduct product) {
        return median(product.profile().bins().stream()
                .map(ProfileBin::tiltDeg)
                .filter(Double::isFinite)
                .toList());
    }

    private static boolean inRange(double nm) {
        return nm >= FROM_NM && nm <= TO_NM;
    }

    private static double median(List<Double> values) {
        List<Double> sorted = values.stream().filter(Double::isFinite).sorted().toList();
        return sorted.isEmpty() ? Double.NaN : sorted.get(sorted.size() / 2);
    }
}
