package sunward.planning;

/**
 * The report's colours for radiance: one ink, from nearly black where it is dark to paper where it is light. Lightness
 * rises evenly in OKLab (Ottosson 2020, "A perceptual color space for image processing"; matrices from memory, checked by
 * white mapping to white), so equal steps of the logarithm look equal, colour vision plays no part, and a grey print
 * keeps the order.
 */
public final class LightRamp {
    private static final double DARK = 0.24;
    private static final double LIGHT = 0.97;

    private LightRamp() {}

    /** Colours as #rrggbb, dark first. */
    public static String[] colours(int steps) {
        String[] colours = new String[steps];
        for (int i = 0; i < steps; i++) {
            double share = i / (steps - 1.0);
            // The ink turns from slate to a warm white; chroma stays small at both ends so that nothing leaves sRGB.
            double chroma = 0.025 + 0.075 * Math.sin(Math.PI * Math.min(1, 0.1 + 0.95 * share));
            double hue = Math.toRadians(268 - 38 * share);
            colours[i] = hex(linear(DARK + (LIGHT - DARK) * share, chroma * Math.cos(hue), chroma * Math.sin(hue)));
        }
        return colours;
    }

    /** OKLab to linear sRGB, 0 to 1. */
    static double[] linear(double lightness, double a, double b) {
        double l = cube(lightness + 0.3963377774 * a + 0.2158037573 * b);
        double m = cube(lightness - 0.1055613458 * a - 0.0638541728 * b);
        double s = cube(lightness - 0.0894841775 * a - 1.2914855480 * b);
        return new double[] {
            4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
            -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
            -0.0041960863 * l - 0.7034186147 * m + 1.7076147010 * s
        };
    }

    private static double cube(double x) {
        return x * x * x;
    }

    private static String hex(double[] linear) {
        StringBuilder text = new StringBuilder("#");
        for (double x : linear) {
            double clipped = Math.min(1, Math.max(0, x));
            // IEC 61966-2-1 transfer curve.
            double coded = clipped <= 0.0031308 ? 12.92 * clipped : 1.055 * Math.pow(clipped, 1 / 2.4) - 0.055;
            int level = (int) Math.round(255 * coded);
            text.append(Character.forDigit(level >> 4, 16)).append(Character.forDigit(level & 15, 16));
        }
        return text.toString();
    }
}
