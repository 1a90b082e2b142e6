package sunward.profiles;

/** Natural cubic spline through knots; beyond them the straight line of the end. */
final class NaturalSpline {
    private final double[] x;
    private final double[] y;
    private final double[] second;

    /** Knots in increasing order of {@code x}; one knot gives a constant. */
    NaturalSpline(double[] x, double[] y) {
        this.x = x.clone();
        this.y = y.clone();
        int n = x.length;
        second = new double[n];
        double[] work = new double[n];
        for (int i = 1; i < n - 1; i++) {
            double ratio = (x[i] - x[i - 1]) / (x[i + 1] - x[i - 1]);
            double pivot = ratio * second[i - 1] + 2;
            double bend = (y[i + 1] - y[i]) / (x[i + 1] - x[i]) - (y[i] - y[i - 1]) / (x[i] - x[i - 1]);
            second[i] = (ratio - 1) / pivot;
            work[i] = (6 * bend / (x[i + 1] - x[i - 1]) - ratio * work[i - 1]) / pivot;
        }
        for (int i = n - 2; i >= 0; i--) {
            second[i] = second[i] * second[i + 1] + work[i];
        }
    }

    double at(double value) {
        int n = x.length;
        if (n == 1) {
            return y[0];
        }
        if (value < x[0]) {
            return y[0] + (value - x[0]) * (slope(0) - (x[1] - x[0]) * second[1] / 6);
        }
        if (value > x[n - 1]) {
            return y[n - 1] + (value - x[n - 1]) * (slope(n - 2) + (x[n - 1] - x[n - 2]) * second[n - 2] / 6);
        }
        int i = 0;
        while (i < n - 2 && value > x[i + 1]) {
            i++;
        }
        double h = x[i + 1] - x[i];
        double a = (x[i + 1] - value) / h;
        double b = 1 - a;
        return a * y[i] + b * y[i + 1] + ((a * a * a - a) * second[i] + (b * b * b - b) * second[i + 1]) * h * h / 6;
    }

    private double slope(int i) {
        return (y[i + 1] - y[i]) / (x[i + 1] - x[i]);
    }
}
