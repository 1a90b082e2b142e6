package sunward.simulator;

/** Natural cubic spline (zero curvature at both ends, straight beyond them). Immutable. */
final class NaturalSpline {
    private final double[] x;
    private final double[] y;
    private final double[] curvature;

    /** Through two or more knots, {@code x} ascending. */
    NaturalSpline(double[] x, double[] y) {
        this.x = x.clone();
        this.y = y.clone();
        int n = x.length;
        curvature = new double[n];
        double[] upper = new double[n];
        for (int i = 1; i < n - 1; i++) {
            double left = x[i] - x[i - 1];
            double right = x[i + 1] - x[i];
            double diagonal = 2 * (left + right) - left * upper[i - 1];
            upper[i] = right / diagonal;
            double slopes = 6 * ((y[i + 1] - y[i]) / right - (y[i] - y[i - 1]) / left);
            curvature[i] = (slopes - left * curvature[i - 1]) / diagonal;
        }
        for (int i = n - 2; i > 0; i--) {
            curvature[i] -= upper[i] * curvature[i + 1];
        }
    }

    double at(double place) {
        int last = x.length - 1;
        int i = 0;
        while (i < last - 1 && place > x[i + 1]) {
            i++;
        }
        double width = x[i + 1] - x[i];
        double slope = (y[i + 1] - y[i]) / width;
        if (place < x[0]) {
            return y[0] + (place - x[0]) * (slope - width * curvature[1] / 6);
        }
        if (place > x[last]) {
            return y[last] + (place - x[last]) * (slope + width * curvature[last - 1] / 6);
        }
        double b = (place - x[i]) / width;
        double a = 1 - b;
        return a * y[i]
                + b * y[i + 1]
                + ((a * a * a - a) * curvature[i] + (b * b * b - b) * curvature[i + 1]) * width * width / 6;
    }
}
