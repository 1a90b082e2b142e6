package sunward.simulator;

/**
 * Conductivity of seawater over that at salinity 35, 15 degC and no pressure, and back: the practical salinity scale of 1978 as
 * in Fofonoff and Millard (1983, UNESCO technical papers in marine science 44, algorithms 1 and 2).
 */
final class Conductivity {
    private static final double[] A = {0.0080, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081};
    private static final double[] B = {0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144};
    private static final double[] C = {0.6766097, 2.00564e-2, 1.104259e-4, -6.9698e-7, 1.0031e-9};
    private static final int STEPS = 30;
    private static final double CLOSE = 1e-12;

    private Conductivity() {}

    /** Practical salinity of a conductivity ratio, at a temperature, degC, and a pressure of water alone, dbar. */
    static double salinity(double ratio, double temperatureDegC, double pressureDbar) {
        double t = temperatureDegC;
        double p = pressureDbar;
        double growth = p * (2.070e-5 + (-6.370e-10 + 3.989e-15 * p) * p);
        double ease = 1 + (3.426e-2 + 4.464e-4 * t) * t + (4.215e-1 - 3.107e-3 * t) * ratio;
        double ofSalt = ratio / ((1 + growth / ease) * polynomial(C, t));
        double root = Math.sqrt(Math.max(0, ofSalt));
        return polynomial(A, root) + (t - 15) / (1 + 0.0162 * (t - 15)) * polynomial(B, root);
    }

    /** Conductivity ratio of a practical salinity. */
    static double ratio(double salinity, double temperatureDegC, double pressureDbar) {
        // Salinity grows nearly as the ratio, so that scaling by what is missing closes in fast.
        double ratio = Math.max(1e-6, salinity / 35);
        for (int i = 0; i < STEPS; i++) {
            double factor = salinity / salinity(ratio, temperatureDegC, pressureDbar);
            ratio *= factor;
            if (Math.abs(factor - 1) < CLOSE) {
                break;
            }
        }
        return ratio;
    }

    private static double polynomial(double[] coefficients, double x) {
        double sum = 0;
        for (int i = coefficients.length - 1; i >= 0; i--) {
            sum = sum * x + coefficients[i];
        }
        return sum;
    }
}
