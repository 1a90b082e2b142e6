package sunward.planning;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;

/** Draws {@link Spectra} as one SVG picture: a panel below the other, every line named at its end. */
public final class SpectraPicture {
    private static final int WIDTH = 860;
    private static final int HEAD = 96;
    /** Most letters of a line below the title. */
    private static final int LONGEST_LINE = 125;

    private static final int PANEL = 270;
    private static final int LEFT = 74;
    private static final int RIGHT = 700;
    private static final int TOP = 30;
    private static final int BOTTOM = 226;
    private static final int LABEL_GAP = 17;
    /** A logarithmic axis shows at most this many decades: below lies nothing a head could see. */
    private static final int DECADES = 6;
    /** Lines differ in colour and in dashes, so that print and every eye tell them apart. */
    private static final String[] STYLES = {
        "stroke=\"#14466b\"",
        "stroke=\"#9c4a12\" stroke-dasharray=\"9 4\"",
        "stroke=\"#4b5a2a\" stroke-dasharray=\"2 4\""
    };

    private final Spectra spectra;
    private final StringBuilder svg = new StringBuilder();

    private SpectraPicture(Spectra spectra) {
        this.spectra = spectra;
    }

    /** The picture as a file's text. */
    public static String svg(Spectra spectra) {
        return new SpectraPicture(spectra).draw();
    }

    private String draw() {
        int height = HEAD + PANEL * spectra.panels().size();
        svg.append(text(
                "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %d %d\" width=\"%d\" height=\"%d\" role=\"img\""
                        + " font-family=\"Charter, Georgia, 'DejaVu Serif', serif\" font-size=\"13\" fill=\"#1c2530\">%n",
                WIDTH, height, WIDTH, height));
        svg.append(text("<title>%s</title>%n", escape(spectra.title())));
        svg.append(text("<rect width=\"%d\" height=\"%d\" fill=\"#fdfcf9\"/>%n", WIDTH, height));
        svg.append(text("<text x=\"24\" y=\"34\" font-size=\"20\">%s</text>%n", escape(spectra.title())));
        String origin = "A " + Spectra.ORIGIN + ".";
        svg.append(text("<text x=\"24\" y=\"56\" fill=\"#7a4700\">%s</text>%n", escape(origin)));
        String choices = spectra.choices().entrySet().stream()
                .map(choice -> choice.getKey().replace('_', ' ') + ": " + choice.getValue())
                .collect(Collectors.joining("; "));
        String shown = choices.length() > LONGEST_LINE ? choices.substring(0, LONGEST_LINE) + "..." : choices;
        svg.append(text("<text x=\"24\" y=\"75\" font-size=\"11\">%s</text>%n", escape(shown)));
        for (int i = 0; i < spectra.panels().size(); i++) {
            svg.append(text("<g transform=\"translate(0 %d)\">%n", HEAD + PANEL * i));
            panel(spectra.panels().get(i));
            svg.append(text("</g>%n"));
        }
        return svg.append(text("</svg>%n")).toString();
    }

    private void panel(Spectra.Panel panel) {
        List<Spectra.Column> columns =
                panel.keys().stream().map(spectra::column).toList();
        Axis axis = Axis.of(columns, panel.logarithmic());
        svg.append(text("<text x=\"24\" y=\"16\" font-size=\"15\">%s</text>%n", escape(panel.title())));
        for (double tick : axis.ticks()) {
            double y = axis.y(tick);
            svg.append(text("<path d=\"M%d %.1fH%d\" stroke=\"#d8d6cf\"/>%n", LEFT, y, RIGHT));
            svg.append(text(
                    "<text x=\"%d\" y=\"%.1f\" text-anchor=\"end\">%s</text>%n", LEFT - 8, y + 4, axis.name(tick)));
        }
        for (double nm : wavelengthTicks()) {
            svg.append(text("<path d=\"M%.1f %dv5\" stroke=\"#1c2530\"/>%n", x(nm), BOTTOM));
            svg.append(text(
                    "<text x=\"%.1f\" y=\"%d\" text-anchor=\"middle\">%s</text>%n", x(nm), BOTTOM + 20, plain(nm)));
        }
        svg.append(text("<path d=\"M%d %dH%d\" stroke=\"#1c2530\"/>%n", LEFT, BOTTOM, RIGHT));
        svg.append(text("<text x=\"%d\" y=\"%d\">nm</text>%n", RIGHT + 12, BOTTOM + 20));
        for (int i = 0; i < columns.size(); i++) {
            svg.append(text(
                    "<path d=\"%s\" fill=\"none\" stroke-width=\"1.8\" %s/>%n", path(columns.get(i), axis), STYLES[i]));
        }
        labels(columns, axis);
    }

    /** Names at the lines' ends, moved apart where they would touch, upwards from the lowest. */
    private void labels(List<Spectra.Column> columns, Axis axis) {
        int last = spectra.wavelengthNm().length - 1;
        List<double[]> ends = new ArrayList<>();
        for (int i = 0; i < columns.size(); i++) {
            ends.add(new double[] {i, axis.y(columns.get(i).values()[last])});
        }
        ends.sort(Comparator.comparingDouble((double[] end) -> end[1]).reversed());
        double lowest = BOTTOM;
        for (double[] end : ends) {
            double y = Math.min(end[1] + 4, lowest);
            lowest = y - LABEL_GAP;
            svg.append(text(
                    "<path d=\"M%d %.1fh16\" stroke-width=\"1.8\" %s/>%n", RIGHT + 6, y - 4, STYLES[(int) end[0]]));
            svg.append(text(
                    "<text x=\"%d\" y=\"%.1f\">%s</text>%n",
                    RIGHT + 27, y, escape(columns.get((int) end[0]).words())));
        }
    }

    private String path(Spectra.Column column, Axis axis) {
        StringBuilder path = new StringBuilder();
        for (int i = 0; i < column.values().length; i++) {
            path.append(
                    text("%s%.1f %.1f", i == 0 ? "M" : "L", x(spectra.wavelengthNm()[i]), axis.y(column.values()[i])));
        }
        return path.toString();
    }

    private double x(double nm) {
        double[] grid = spectra.wavelengthNm();
        double first = grid[0];
        double range = grid[grid.length - 1] - first;
        return LEFT + (range > 0 ? (nm - first) / range * (RIGHT - LEFT) : 0.5 * (RIGHT - LEFT));
    }

    private List<Double> wavelengthTicks() {
        double[] grid = spectra.wavelengthNm();
        double last = grid[grid.length - 1];
        double step = step(last - grid[0], 10);
        List<Double> ticks = new ArrayList<>();
        for (double nm = Math.ceil(grid[0] / step) * step; nm <= last + 1e-9; nm += step) {
            ticks.add(nm);
        }
        return ticks;
    }

    /** A round step that cuts a range into at most so many parts. */
    private static double step(double range, int most) {
        if (!(range > 0)) {
            return 1;
        }
        double unit = Math.pow(10, Math.floor(Math.log10(range / most)));
        for (double round : new double[] {1, 2, 5}) {
            if (range / (round * unit) <= most) {
                return round * unit;
            }
        }
        return 10 * unit;
    }

    /** A vertical axis from {@code low} to {@code high}, both ends ticks. */
    private record Axis(double low, double high, double step, boolean logarithmic) {
        static Axis of(List<Spectra.Column> columns, boolean logarithmic) {
            double least = Double.POSITIVE_INFINITY;
            double most = 0;
            for (Spectra.Column column : columns) {
                for (double value : column.values()) {
                    most = Math.max(most, value);
                    least = value > 0 ? Math.min(least, value) : least;
                }
            }
            if (logarithmic && most > 0) {
                double top = Math.ceil(Math.log10(most));
                double bottom = Math.max(top - DECADES, Math.min(top - 1, Math.floor(Math.log10(least))));
                return new Axis(bottom, top, 1, true);
            }
            double step = SpectraPicture.step(most > 0 ? most : 1, 5);
            return new Axis(0, step * Math.ceil((most > 0 ? most : 1) / step), step, false);
        }

        List<Double> ticks() {
            List<Double> ticks = new ArrayList<>();
            long count = Math.round((high - low) / step);
            for (int i = 0; i <= count; i++) {
                double place = low + i * step;
                ticks.add(logarithmic ? Math.pow(10, place) : place);
            }
            return ticks;
        }

        double y(double value) {
            double place = logarithmic ? Math.log10(Math.max(value, 1e-300)) : value;
            double share = Math.max(0, Math.min(1, (place - low) / (high - low)));
            return BOTTOM - share * (BOTTOM - TOP);
        }

        String name(double tick) {
            if (logarithmic) {
                long decade = Math.round(Math.log10(tick));
                return decade >= -3 && decade <= 3
                        ? plain(tick)
                        : text("10<tspan dy=\"-5\" font-size=\"10\">%d</tspan>", decade);
            }
            return plain(tick);
        }
    }

    private static String plain(double value) {
        return java.math.BigDecimal.valueOf(value)
                .round(new java.math.MathContext(6))
                .stripTrailingZeros()
                .toPlainString();
    }

    private static String escape(String words) {
        return words.replace("&", "&amp;").replace("<", "&lt;");
    }

    private static String text(String format, Object... values) {
        return String.format(Locale.ROOT, format.replace("%n", "\n"), values);
    }
}
