package sunward.simulator;

import java.util.function.DoubleUnaryOperator;
import sunward.protocol.schema.Probes;

/**
 * The sensors of the water beside the heads: thermometer and conductivity cell, chlorophyll fluorometer, backscatter meter. The
 * thermometer lags behind the cell, so that salinity, which is worked out from both, spikes where temperature changes.
 * Every reading has noise of its own. Immutable.
 *
 * <p>In daylight phytoplankton turns light into heat and fluoresces less: by the sigmoid that Xing et al. (2018, Optics
 * Express 26, 24734) found against the light of 400 to 700 nm, half of the loss at 261 micromol per m2 and s, 0.908 of the
 * fluorescence at most (figures from memory).
 */
final class WaterSensors {
    /** Wavelength of the backscatter meter, nm; also in WIRE.md. */
    static final double BACKSCATTER_NM = 700;

    private static final double HALF_QUENCHED = 261;
    private static final double QUENCHING_POWER = 2.2;

    private final Probes scene;
    private final Water water;
    private final Cast cast;
    private final Daylight daylight;
    private final DoubleUnaryOperator pressureDbar;
    private final long seed;

    /**
     * Sensors in a water.
     *
     * @param cast the water's temperature and salinity
     * @param daylight light for plants under a clear sky at surfacing
     * @param pressureDbar true sea pressure at the sensors against time, s from the surfacing
     */
    WaterSensors(
            Probes scene, Water water, Cast cast, Daylight daylight, DoubleUnaryOperator pressureDbar, long diveSeed) {
        this.scene = scene;
        this.water = water;
        this.cast = cast;
        this.daylight = daylight;
        this.pressureDbar = pressureDbar;
        this.seed = diveSeed;
    }

    private double laggingDegC(double timeS) {
        return Laguerre.lagging(
                t -> cast.temperatureDegC(pressureDbar.applyAsDouble(t)), timeS, scene.getTemperatureLagS());
    }

    private double noise(long part, double timeS) {
        return Noise.gaussian(Noise.hash(seed, part, Math.round(timeS * 1000)));
    }

    /** Temperature as the thermometer gives it, 0.001 degC. */
    int temperatureMdegC(double timeS) {
        double noisy = laggingDegC(timeS) + scene.getTemperatureNoiseDegc() * noise(Part.THERMOMETER, timeS);
        return (int) Math.rint(1e3 * noisy);
    }

    /** Practical salinity as the float works it out, 0.001. */
    int salinityMpsu(double timeS) {
        double pressure = pressureDbar.applyAsDouble(timeS);
        double salinity = cast.salinity(pressure);
        if (scene.getTemperatureLagS() > 0) {
            double ratio = Conductivity.ratio(salinity, cast.temperatureDegC(pressure), pressure);
            salinity = Conductivity.salinity(ratio, laggingDegC(timeS), pressure);
        }
        return (int) Math.rint(1e3 * (salinity + scene.getSalinityNoise() * noise(Part.CONDUCTIVITY, timeS)));
    }

    /**
     * Chlorophyll as the fluorometer gives it, 0.001 mg m-3.
     *
     * @param brightness of the sky over that of a clear one at surfacing
     */
    int chlorophyllUgPerM3(double depthM, double timeS, double brightness) {
        double truth = water.chlorophyll(depthM);
        double light = Math.pow(brightness * daylight.micromolPerM2S(depthM) / HALF_QUENCHED, QUENCHING_POWER);
        double seen = truth * (1 - scene.getQuenchingPercent() / 100 * light / (1 + light));
        double sd = Math.hypot(scene.getChlorophyllNoiseMgPerM3(), scene.getOpticalNoisePercent() / 100 * seen);
        return (int) Math.rint(1e3 * (seen + sd * noise(Part.FLUOROMETER, timeS)));
    }

    /** Backscatter of particles as the meter gives it, 1e-6 per m. */
    int backscatterE6PerM(double depthM, double timeS) {
        double truth = water.constituents().particleBackscatter(BACKSCATTER_NM, water.chlorophyll(depthM));
        double sd = Math.hypot(scene.getBackscatterNoisePerM(), scene.getOpticalNoisePercent() / 100 * truth);
        return (int) Math.rint(1e6 * (truth + sd * noise(Part.BACKSCATTER_METER, timeS)));
    }
}
