package sunward.simulator;

/**
 * True pressure in the water of a cast: the weight of the water above, from the density that temperature and salinity give
 * it, under normal gravity. Shore turns pressure into depth by a standard ocean instead; warm water is lighter than that, so
 * that true depths are greater by up to 0.7 %. Immutable.
 */
final class WaterColumn {
    private static final double STEP_DBAR = 1;
    private static final double PASCAL_PER_DBAR = 1e4;
    private static final double BAR_PER_DBAR = 0.1;

    /** Growth of the secant bulk modulus with pressure, bar per bar: the international equation of state 1980, rounded. */
    private static final double MODULUS_GROWTH = 3.24;

    private final double[] depthM;

    /**
     * Down to a pressure.
     *
     * @param deepestDbar at least this far; below, depth goes on as in the last step
     */
    WaterColumn(Cast cast, double latitudeDeg, double deepestDbar) {
        double sine = StrictMath.sin(StrictMath.toRadians(latitudeDeg));
        // Normal gravity and its growth with depth: as in Fofonoff and Millard (1983, UNESCO 44).
        double surfaceGravity = 9.780318 * (1 + (5.2788e-3 + 2.36e-5 * sine * sine) * sine * sine);
        depthM = new double[(int) Math.ceil(deepestDbar / STEP_DBAR) + 2];
        for (int i = 1; i < depthM.length; i++) {
            double pressure = (i - 0.5) * STEP_DBAR;
            double temperature = cast.temperatureDegC(pressure);
            double salinity = cast.salinity(pressure);
            double bar = pressure * BAR_PER_DBAR;
            double modulus = PureSeawater.bulkModulusBar(temperature, salinity) + MODULUS_GROWTH * bar;
            double density = PureSeawater.density(temperature, salinity) / (1 - bar / modulus);
            double gravity = surfaceGravity + 2.184e-6 * pressure;
            depthM[i] = depthM[i - 1] + STEP_DBAR * PASCAL_PER_DBAR / (density * gravity);
        }
    }

    /** Depth, m, of a pressure of the water alone, dbar; negative above the surface. */
    double depthM(double pressureDbar) {
        int i = (int) Math.max(0, Math.min(depthM.length - 2.0, pressureDbar / STEP_DBAR));
        return depthM[i] + (pressureDbar / STEP_DBAR - i) * (depthM[i + 1] - depthM[i]);
    }

    /** Pressure of the water alone, dbar, at a depth, m; negative above the surface. */
    double pressureDbar(double depth) {
        // A step is 0.97 to 1.0 m, so that the step before or after the guess is the right one after few tries.
        int i = (int) Math.max(0, Math.min(depthM.length - 2.0, depth / STEP_DBAR));
        while (i < depthM.length - 2 && depthM[i + 1] < depth) {
            i++;
        }
        return STEP_DBAR * (i + (depth - depthM[i]) / (depthM[i + 1] - depthM[i]));
    }
}
