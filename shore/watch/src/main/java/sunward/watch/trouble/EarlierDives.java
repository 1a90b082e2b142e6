package sunward.watch.trouble;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.ToDoubleFunction;
import sunward.protocol.schema.Plan;

/**
 * A dive beside the earlier ones of its float. Each dive stands relative to its own rehearsal, so that sun, place and plan do
 * not look like drift. The two heads look at the same water: in simulated dives of one float their ratio stays within 0.2 %.
 */
final class EarlierDives {
    /** Dives looked back on, this one included. */
    static final int WINDOW = 12;

    /** A series without a trend looks like one so seldom. */
    private static final double CHANCE = 0.02;

    private static final double HEADS_TREND = 0.03, HEADS_STEP = 0.04, LIGHT_TREND = 0.4;
    private static final int FEWEST_FOR_STEP = 3;

    private EarlierDives() {}

    /** What departs; {@code dives} are in order, the last of them is the one looked at. */
    static List<Finding> findings(List<Compared> dives, Plan plan) {
        List<Finding> findings = new ArrayList<>();
        for (int head = 1; head < plan.getHeadsCount(); head++) {
            int other = head - 1;
            heads(
                    dives,
                    one -> other < one.heads().size() ? one.heads().get(other) : Double.NaN,
                    plan.getHeads(0).getName(),
                    plan.getHeads(head).getName(),
                    findings);
        }
        light(dives, Compared::blue, "blue", findings);
        light(dives, Compared::green, "green", findings);
        return List.copyOf(findings);
    }

    /** A series of logarithms, where they are known. */
    private record Series(List<Integer> dive, List<Double> log) {
        static Series of(List<Compared> dives, ToDoubleFunction<Compared> value) {
            Series series = new Series(new ArrayList<>(), new ArrayList<>());
            for (Compared one : dives) {
                double log = Math.log(value.applyAsDouble(one));
                if (Double.isFinite(log)) {
                    series.dive.add(one.dive());
                    series.log.add(log);
                }
            }
            return series;
        }

        int size() {
            return dive.size();
        }

        int from() {
            return dive.get(0);
        }

        /** Steady change over the whole series, or 0 when chance alone may do it. */
        double change() {
            if (size() < Trend.FEWEST) {
                return 0;
            }
            Trend trend = Trend.of(
                    dive.stream().mapToDouble(Integer::doubleValue).toArray(),
                    log.stream().mapToDouble(Double::doubleValue).toArray());
            return trend.chance() > CHANCE ? 0 : trend.slope() * (dive.get(size() - 1) - from());
        }

        /** The last value less the median of those before it. */
        double step() {
            if (size() <= FEWEST_FOR_STEP) {
                return 0;
            }
            List<Double> before = log.subList(0, size() - 1).stream().sorted().toList();
            int n = before.size();
            return log.get(n) - (before.get((n - 1) / 2) + before.get(n / 2)) / 2;
        }
    }

    private static void heads(
            List<Compared> dives, ToDoubleFunction<Compared> ratio, String first, String other, List<Finding> to) {
        int last = dives.get(dives.size() - 1).dive();
        Series series = Series.of(dives, ratio);
        if (series.size() == 0 || series.dive().get(series.size() - 1) != last) {
            return;
        }
        double change = series.change();
        double step = series.step();
        if (Math.abs(change) > HEADS_TREND) {
            to.add(new Finding(
                    "head " + (change > 0 ? other : first) + " loses light dive by dive",
                    String.format(
                            Locale.ROOT,
                            "From dive %d to %d what head %s reads over head %s, each dive beside its rehearsal, went"
                                    + " steadily from %.3f to %.3f: growth on the window of head %s or drift. Its share of"
                                    + " the radiance is too low by about as much.",
                            series.from(),
                            last,
                            first,
                            other,
                            Math.exp(series.log().get(0)),
                            Math.exp(series.log().get(series.size() - 1)),
                            change > 0 ? other : first)));
        } else if (Math.abs(step) > HEADS_STEP) {
            to.add(new Finding(
                    "head " + (step > 0 ? other : first) + " is dimmer than in the dives before",
                    String.format(
                            Locale.ROOT,
                            "What head %s reads over head %s, beside the rehearsal, is %.3f; in the %d dives from %d on it was"
                                    + " %.3f in the middle: something on the window of head %s, a knock, or a change of that"
                                    + " head.",
                            first,
                            other,
                            Math.exp(series.log().get(series.size() - 1)),
                            series.size() - 1,
                            series.from(),
                            Math.exp(series.log().get(series.size() - 1) - step),
                            step > 0 ? other : first)));
        }
    }

    private static void light(List<Compared> dives, ToDoubleFunction<Compared> share, String colour, List<Finding> to) {
        int last = dives.get(dives.size() - 1).dive();
        Series series = Series.of(dives, share);
        if (series.size() == 0 || series.dive().get(series.size() - 1) != last) {
            return;
        }
        double change = series.change();
        if (change < -LIGHT_TREND) {
            to.add(new Finding(
                    "the " + colour + " fades dive by dive",
                    String.format(
                            Locale.ROOT,
                            "From dive %d to %d the water-leaving radiance went steadily from %.2f to %.2f times the"
                                    + " rehearsed one: growth on both windows, drift of both heads, or a way into"
                                    + " other water. Look whether the chlorophyll of the float's own sensor rose.",
                            series.from(),
                            last,
                            Math.exp(series.log().get(0)),
                            Math.exp(series.log().get(series.size() - 1)))));
        }
    }
}
