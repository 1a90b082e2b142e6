package sunward.simulator;

import sunward.protocol.schema.Pressure;

/**
 * The true pressure gauge: it feels the sea and the air above it, reads with its own offset, and is tared in air at the
 * surfacings before and after the dive, between which the weather changes. Immutable.
 */
final class PressureSensor {
    private static final double STANDARD_ATMOSPHERE_HPA = 1013.25;
    private static final double DBAR_PER_HPA = 0.01;

    private final Pressure scene;
    private final long address;
    private final double beforeDbar;
    private final double afterDbar;

    PressureSensor(Pressure scene, double airPressureHpa, long diveSeed) {
        this.scene = scene;
        this.address = Noise.hash(diveSeed, Part.PRESSURE_NOISE);
        long weather = Noise.hash(diveSeed, Part.AIR_PRESSURE);
        afterDbar = scene.getOffsetDbar() + (airPressureHpa - STANDARD_ATMOSPHERE_HPA) * DBAR_PER_HPA;
        beforeDbar = afterDbar
                + scene.getWeatherHpa() * DBAR_PER_HPA * Noise.gaussian(Noise.hash(weather, 0))
                + scene.getDriftDbar() * Noise.gaussian(Noise.hash(weather, 1));
    }

    /** What the gauge reads at a sea pressure of the dive, 1e-4 dbar. */
    int readE4Dbar(double seaPressureDbar, long tickMs) {
        return quantised(seaPressureDbar + afterDbar, tickMs);
    }

    /** What it read in air before the dive, 1e-4 dbar. */
    int tareBeforeE4Dbar(long tickMs) {
        return quantised(beforeDbar, tickMs);
    }

    /** What it reads in air after the surfacing, 1e-4 dbar. */
    int tareAfterE4Dbar(long tickMs) {
        return quantised(afterDbar, tickMs);
    }

    private int quantised(double dbar, long tickMs) {
        double noisy = dbar + scene.getNoiseDbar() * Noise.gaussian(Noise.hash(address, tickMs));
        double steps = Math.rint(noisy / scene.getResolutionDbar());
        return (int) Math.rint(steps * scene.getResolutionDbar() * 1e4);
    }
}
