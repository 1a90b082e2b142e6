package sunward.planning;

import java.util.List;
import java.util.Locale;
import java.util.function.ToDoubleFunction;

/** Stated uncertainty and actual error of water-leaving radiance against messages allowed, drawn as SVG. */
final class PackingPicture {
    private static final int LEFT = 70;
    private static final int RIGHT = 560;
    private static final int TOP = 70;
    private static final int BOTTOM = 360;

    private PackingPicture() {}

    static String svg(List<PackingSweep.Row> rows, int dives) {
        double most = 0;
        for (PackingSweep.Row row : rows) {
            most = Math.max(most, Math.max(row.pooledRms(), row.pooledStated()));
        }
        double top = Math.max(1, Math.ceil(most));
        StringBuilder svg = new StringBuilder(String.format(
                Locale.ROOT,
                "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 760 400\" width=\"760\" height=\"400\" role=\"img\""
                        + " font-family=\"Charter, Georgia, 'DejaVu Serif', serif\" font-size=\"13\" fill=\"#1c2530\">%n"
                        + "<title>Water-leaving radiance against messages allowed</title>%n"
                        + "<rect width=\"760\" height=\"400\" fill=\"#fdfcf9\"/>%n"
                        + "<text x=\"24\" y=\"30\" font-size=\"18\">What more messages buy: Lw, 412 to 670 nm</text>%n"
                        + "<text x=\"24\" y=\"50\" fill=\"#7a4700\">%d SIMULATED dives, none of their messages lost; percent of Lw</text>%n",
                dives));
        double step = top > 10 ? Math.ceil(top / 6) : top > 4 ? 1 : 0.5;
        for (double tick = 0; tick <= top + 1e-9; tick += step) {
            double y = y(tick, top);
            svg.append(String.format(
                    Locale.ROOT,
                    "<path d=\"M%d %.1fH%d\" stroke=\"#d8d6cf\"/><text x=\"%d\" y=\"%.1f\" text-anchor=\"end\">%s</text>%n",
                    LEFT,
                    y,
                    RIGHT,
                    LEFT - 8,
                    y + 4,
                    step < 1 ? String.format(Locale.ROOT, "%.1f", tick) : String.format(Locale.ROOT, "%.0f", tick)));
        }
        for (int messages : new int[] {3, 6, 12, 26, 52, 104, 200}) {
            svg.append(String.format(
                    Locale.ROOT,
                    "<path d=\"M%.1f %dv5\" stroke=\"#1c2530\"/><text x=\"%.1f\" y=\"%d\" text-anchor=\"middle\">%d</text>%n",
                    x(messages),
                    BOTTOM,
                    x(messages),
                    BOTTOM + 20,
                    messages));
        }
        svg.append(String.format(
                Locale.ROOT,
                "<path d=\"M%d %dH%d\" stroke=\"#1c2530\"/><text x=\"%d\" y=\"%d\">messages allowed</text>%n",
                LEFT,
                BOTTOM,
                RIGHT,
                RIGHT + 30,
                BOTTOM + 20));
        line(svg, rows, PackingSweep.Row::pooledStated, top, "stroke=\"#14466b\"", "stated u, mean", -6);
        line(
                svg,
                rows,
                PackingSweep.Row::pooledRms,
                top,
                "stroke=\"#9c4a12\" stroke-dasharray=\"9 4\"",
                "error against truth, rms",
                12);
        return svg.append("</svg>\n").toString();
    }

    private static void line(
            StringBuilder svg,
            List<PackingSweep.Row> rows,
            ToDoubleFunction<PackingSweep.Row> value,
            double top,
            String style,
            String words,
            int lift) {
        StringBuilder path = new StringBuilder();
        double y = 0;
        for (PackingSweep.Row row : rows) {
            if (Double.isFinite(value.applyAsDouble(row))) {
                y = y(value.applyAsDouble(row), top);
                path.append(String.format(Locale.ROOT, "%s%.1f %.1f", path.isEmpty() ? "M" : "L", x(row.allowed()), y));
            }
        }
        svg.append(String.format(
                Locale.ROOT,
                "<path d=\"%s\" fill=\"none\" stroke-width=\"1.8\" %s/>%n<path d=\"M%d %.1fh16\" stroke-width=\"1.8\" %s/>"
                        + "<text x=\"%d\" y=\"%.1f\">%s</text>%n",
                path,
                style,
                RIGHT + 6,
                y + lift - 4,
                style,
                RIGHT + 27,
                y + lift,
                words));
    }

    /** The axis goes with the logarithm: the first messages buy most. */
    private static double x(int messages) {
        return LEFT + (RIGHT - LEFT) * Math.log(messages / 3.0) / Math.log(200 / 3.0);
    }

    private static double y(double percent, double top) {
        return BOTTOM - (BOTTOM - TOP) * percent / top;
    }
}
