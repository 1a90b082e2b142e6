package sunward.bench;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;

/** Rate against error of bands, medians over some ordinary dives, as a picture in SVG; both axes logarithmic. */
final class RateCurve {
    private static final double WIDTH = 760;
    private static final double HEIGHT = 460;
    private static final double LEFT = 70;
    private static final double TOP = 50;
    private static final double RIGHT = 150;
    private static final double BOTTOM = 55;
    private static final double[] ERRORS = {0.05, 2};
    private static final double[] BYTES = {4e3, 4e5};
    private static final double[] ERROR_MARKS = {0.05, 0.1, 0.2, 0.3, 0.5, 1, 2};
    private static final double[] BYTE_MARKS = {5e3, 1e4, 2e4, 5e4, 1e5, 2e5, 4e5};
    private static final double TARGET = 0.3;
    private static final String[] GREYS = {"#1b6f8a", "#7a7a7a", "#a08030", "#8a4a6a", "#4a7a4a", "#555599", "#9a5a3a"};
    private static final String OURS = "#c03010";

    private final StringBuilder svg = new StringBuilder();
    private final List<Double> labels = new ArrayList<>();

    private RateCurve() {}

    private record Point(double error, double bytes) {}

    static String svg(List<Outcome> outcomes) {
        Map<String, Map<Double, List<Outcome>>> coders = new LinkedHashMap<>();
        for (Outcome o : outcomes) {
            if (o.tier().equals("curve")) {
                coders.computeIfAbsent(o.coder(), c -> new TreeMap<>())
                        .computeIfAbsent(o.number("step"), s -> new ArrayList<>())
                        .add(o);
            }
        }
        RateCurve picture = new RateCurve();
        picture.frame();
        int colour = 0;
        for (Map.Entry<String, Map<Double, List<Outcome>>> coder : coders.entrySet()) {
            List<Point> points = new ArrayList<>();
            for (List<Outcome> same : coder.getValue().values()) {
                points.add(new Point(median(same, "band_p95"), median(same, Outcome.BYTES)));
            }
            boolean ours = coder.getKey().equals(OwnTrial.OURS);
            picture.line(coder.getKey(), points, ours ? OURS : GREYS[colour++ % GREYS.length], ours ? 3 : 1.5);
        }
        return picture.svg.append("</svg>\n").toString();
    }

    private static double median(List<Outcome> all, String number) {
        return Judgement.percentile(
                all.stream().mapToDouble(o -> o.number(number)).toArray(), 0.5);
    }

    private static double x(double error) {
        return LEFT + (WIDTH - LEFT - RIGHT) * Math.log(error / ERRORS[0]) / Math.log(ERRORS[1] / ERRORS[0]);
    }

    private static double y(double bytes) {
        return HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * Math.log(bytes / BYTES[0]) / Math.log(BYTES[1] / BYTES[0]);
    }

    private void frame() {
        add(
                "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %.0f %.0f\" font-family=\"sans-serif\" font-size=\"12\">",
                WIDTH, HEIGHT);
        add("<rect width=\"%.0f\" height=\"%.0f\" fill=\"#ffffff\"/>", WIDTH, HEIGHT);
        add(
                "<text x=\"%.0f\" y=\"24\" font-size=\"15\">Bytes of every bin of a dive against the error of its bands</text>",
                LEFT);
        for (double e : ERROR_MARKS) {
            rule(x(e), TOP, x(e), HEIGHT - BOTTOM, e == TARGET ? "#404040" : "#dddddd");
            add("<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"middle\">%s</text>", x(e), HEIGHT - BOTTOM + 18, plain(e));
        }
        for (double b : BYTE_MARKS) {
            rule(LEFT, y(b), WIDTH - RIGHT, y(b), "#dddddd");
            add("<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"end\">%s kB</text>", LEFT - 6, y(b) + 4, plain(b / 1000));
        }
        add(
                "<text x=\"%.1f\" y=\"%.1f\">error of 10-nm bands, 95th percentile over bins, in the bin's own noise; asked: 0.3</text>",
                LEFT, HEIGHT - 12);
    }

    private static String plain(double value) {
        return value == Math.rint(value) ? Long.toString((long) value) : Double.toString(value);
    }

    private void rule(double x1, double y1, double x2, double y2, String colour) {
        add("<line x1=\"%.1f\" y1=\"%.1f\" x2=\"%.1f\" y2=\"%.1f\" stroke=\"%s\"/>", x1, y1, x2, y2, colour);
    }

    private void line(String name, List<Point> points, String colour, double width) {
        points.removeIf(p -> p.error < ERRORS[0] || p.error > ERRORS[1] || p.bytes < BYTES[0] || p.bytes > BYTES[1]);
        if (points.isEmpty()) {
            return;
        }
        StringBuilder path = new StringBuilder();
        for (Point p : points) {
            path.append(String.format(Locale.ROOT, "%.1f,%.1f ", x(p.error), y(p.bytes)));
            add("<circle cx=\"%.1f\" cy=\"%.1f\" r=\"%.1f\" fill=\"%s\"/>", x(p.error), y(p.bytes), width + 1, colour);
        }
        add(
                "<polyline points=\"%s\" fill=\"none\" stroke=\"%s\" stroke-width=\"%.1f\"/>",
                path.toString().strip(), colour, width);
        Point last =
                points.stream().max((a, b) -> Double.compare(a.error, b.error)).orElseThrow();
        double at = y(last.bytes) + 4;
        while (taken(at)) {
            at += 4;
        }
        labels.add(at);
        add("<text x=\"%.1f\" y=\"%.1f\" fill=\"%s\">%s</text>", WIDTH - RIGHT + 10, at, colour, name);
    }

    private boolean taken(double at) {
        return labels.stream().anyMatch(y -> Math.abs(y - at) < 13);
    }

    private void add(String format, Object... values) {
        svg.append(String.format(Locale.ROOT, format, values)).append('\n');
    }
}
