package sunward.simulator;

/**
 * Chlorophyll fluorometer and backscatter meter beside the heads. Their noise is invented: 0.006 mg m-3 and two percent,
 * 8e-6 per m and two percent. Not yet in them: quenching by daylight, lag, fouling, error of scale.
 */
final class WaterSensors {
    /** Wavelength of the backscatter meter, nm; also in WIRE.md. */
    static final double BACKSCATTER_NM = 700;

    private static final double CHLOROPHYLL_NOISE = 0.006;
    private static final double BACKSCATTER_NOISE = 8e-6;
    private static final double RELATIVE_NOISE = 0.02;

    private final Water water;
    private final long seed;

    /** Sensors in a water; the seed is that of the dive. */
    WaterSensors(Water water, long seed) {
        this.water = water;
        this.seed = seed;
    }

    /** Chlorophyll as the fluorometer gives it, 0.001 mg m-3. */
    int chlorophyllUgPerM3(double depthM, long tickMs) {
        double truth = water.chlorophyll(depthM);
        double noise = Noise.gaussian(Noise.hash(seed, Part.FLUOROMETER, tickMs));
        return (int) Math.rint(1e3 * (truth + noise * Math.hypot(CHLOROPHYLL_NOISE, RELATIVE_NOISE * truth)));
    }

    /** Backscatter of particles as the meter gives it, 1e-6 per m. */
    int backscatterE6PerM(double depthM, long tickMs) {
        double truth = water.constituents().particleBackscatter(BACKSCATTER_NM, water.chlorophyll(depthM));
        double noise = Noise.gaussian(Noise.hash(seed, Part.BACKSCATTER_METER, tickMs));
        return (int) Math.rint(1e6 * (truth + noise * Math.hypot(BACKSCATTER_NOISE, RELATIVE_NOISE * truth)));
    }
}
