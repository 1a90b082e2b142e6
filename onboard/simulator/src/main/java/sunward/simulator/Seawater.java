package sunward.simulator;

/**
 * Depth and pressure: Fofonoff and Millard (1983, UNESCO technical papers in marine science 44, algorithm 4). Pressure is
 * that of the water alone, the atmosphere left out.
 */
public final class Seawater {
    private Seawater() {}

    /**
     * Depth of a pressure, for water of 0 degC and salinity 35.
     *
     * @param pressureDbar 0 to 10000 dbar
     * @param latitudeDeg -90 to 90
     * @return depth, m, positive down
     */
    public static double depthM(double pressureDbar, double latitudeDeg) {
        double p = pressureDbar;
        double sin = StrictMath.sin(StrictMath.toRadians(latitudeDeg));
        double x = sin * sin;
        double gravity = 9.780318 * (1 + (5.2788e-3 + 2.36e-5 * x) * x) + 1.092e-6 * p;
        return (((-1.82e-15 * p + 2.279e-10) * p - 2.2512e-5) * p + 9.72659) * p / gravity;
    }

    /**
     * Pressure at a depth: the inverse of {@link #depthM}.
     *
     * @param depthM m, positive down
     * @param latitudeDeg -90 to 90
     * @return pressure, dbar
     */
    public static double pressureDbar(double depthM, double latitudeDeg) {
        // The slope of depth against pressure stays within 3 % of 1, so this converges by a factor 30 a step.
        double pressure = depthM;
        for (int i = 0; i < 12; i++) {
            pressure += depthM - depthM(pressure, latitudeDeg);
        }
        return pressure;
    }
}
