package sunward.simulator;

import java.util.Arrays;
import sunward.protocol.plan.PlanException;
import sunward.protocol.schema.LightModel;
import sunward.protocol.schema.Scene;

/**
 * The light in the sea at the instant of surfacing: downwelling irradiance and upwelling nadir radiance with depth, of the
 * undisturbed sea averaged over waves. Built once a dive on a grid of depths and wavelengths; heads then see it through
 * their own lines ({@link Channels}).
 *
 * <p>Elastically scattered light is followed by the scene's {@link Transfer}; to it come water Raman and chlorophyll
 * fluorescence. The elastic part is kept as a ratio to the light that enters the sea, so that the solar lines come in with each
 * head's line shape.
 */
public final class LightField {
    static final double FIRST_NM = 300;
    static final double STEP_NM = 2;
    static final int WAVELENGTHS = 291;
    private static final int SKY_STEPS = 581;
    /** Levels with a source below this, W m-3 nm-1 sr-1, send nothing up. */
    private static final double FAINTEST = 1e-290;
    /** Channels may lie here, so that lines of usual width stay within the grid. */
    static final double FIRST_CHANNEL_NM = 310;

    static final double LAST_CHANNEL_NM = 870;

    private final Scene scene;
    private final Truths truths;
    private final Sky sky;
    private final double sunFactor;
    private final double zenithDeg;
    private final double sunCosine;
    private final Water water;
    private final double[] wavelengthNm = new double[WAVELENGTHS];
    private final double[] depthM = depths();
    /** Shares of the extraterrestrial irradiance just above the surface, by nm of the gas table. */
    private final double[] direct = new double[SKY_STEPS];

    private final double[] diffuse = new double[SKY_STEPS];
    /** ln of downwelling irradiance over that just below the surface, by depth and wavelength. */
    private final double[][] lnDown = new double[depthM.length][WAVELENGTHS];
    /** ln of (elastic Lu / downwelling irradiance just below the surface), by depth and wavelength. */
    private final double[][] lnElastic = new double[depthM.length][WAVELENGTHS];
    /** Inelastic Lu, W m-2 nm-1 sr-1, by depth and wavelength. */
    private final double[][] inelastic = new double[depthM.length][WAVELENGTHS];
    /** Scalar irradiance, W m-2 nm-1, by depth and wavelength. */
    private final double[][] scalar = new double[depthM.length][WAVELENGTHS];

    /** Scalar irradiance weighted by the Raman phase function towards the zenith, by depth and wavelength. */
    private final double[][] scalarRaman = new double[depthM.length][WAVELENGTHS];

    private final double[][] attenuation = new double[depthM.length][WAVELENGTHS];
    private final double[][] phytoplankton = new double[depthM.length][WAVELENGTHS];

    private LightField(Scene scene, Truths truths, SunPosition sun, Cast cast) {
        this.scene = scene;
        this.truths = truths;
        sky = Sky.of(scene.getAtmosphere(), sun.zenithDeg(), truths);
        sunFactor = 1 / (sun.distanceAu() * sun.distanceAu());
        water = new Water(scene.getWater(), cast, scene.getLatitudeDeg(), truths);
        zenithDeg = Math.min(90, sun.zenithDeg());
        sunCosine = StrictMath.cos(StrictMath.toRadians(SeaSurface.refractedDeg(1.34, zenithDeg)));
        for (int w = 0; w < WAVELENGTHS; w++) {
            wavelengthNm[w] = FIRST_NM + STEP_NM * w;
        }
        for (int i = 0; i < SKY_STEPS; i++) {
            direct[i] = sky.direct(FIRST_NM + i);
            diffuse[i] = sky.diffuse(FIRST_NM + i);
        }
        elastic();
        if (scene.getWater().getRaman()) {
            raman();
        }
        if (scene.getWater().getFluorescence()) {
            fluorescence();
        }
    }

    /**
     * The light field of a scene.
     *
     * @param seeds the scene's seed moves the published tables within their uncertainty
     * @param sun at the instant of surfacing
     * @param cast temperature and salinity
     */
    public static LightField of(Scene scene, Seeds seeds, SunPosition sun, Cast cast) {
        return new LightField(scene, Truths.drawn(seeds.scene()), sun, cast);
    }

    /** The light field by the published tables as they stand. */
    public static LightField published(Scene scene, SunPosition sun, Cast cast) {
        return new LightField(scene, Truths.published(), sun, cast);
    }

    /**
     * Levels: fine where light at the red end changes most, coarser below; the last layer goes on for ever. Four times as many
     * change radiance by 0.002 % at the surface and by less than 0.3 % to 250 m (measured in the default scene).
     */
    private static double[] depths() {
        double[][] zones = {{2, 0.05}, {4, 0.1}, {10, 0.2}, {20, 0.5}, {60, 1}, {200, 2}, {300, 4}};
        double[] depths = new double[400];
        int n = 1;
        for (double[] zone : zones) {
            int steps = (int) Math.round((zone[0] - depths[n - 1]) / zone[1]);
            double from = depths[n - 1];
            for (int i = 1; i <= steps; i++) {
                depths[n++] = from + i * zone[1];
            }
        }
        return Arrays.copyOf(depths, n);
    }

    private void elastic() {
        int levels = depthM.length;
        double[] chlorophyll = new double[levels];
        double[] temperature = new double[levels];
        double[] salinity = new double[levels];
        for (int z = 0; z < levels; z++) {
            chlorophyll[z] = water.chlorophyll(depthM[z]);
            temperature[z] = water.temperatureDegC(depthM[z]);
            salinity[z] = water.salinity(depthM[z]);
        }
        Transfer transfer = transfer();
        Transfer.Light light = new Transfer.Light(levels);
        Water.Properties[] here = new Water.Properties[levels];
        for (int w = 0; w < WAVELENGTHS; w++) {
            Water.Line line = water.line(wavelengthNm[w]);
            for (int z = 0; z < levels; z++) {
                here[z] = line.at(chlorophyll[z], temperature[z], salinity[z]);
            }
            double sunBelow = direct(wavelengthNm[w]) * (1 - sky.directReflectance());
            double skyBelow = diffuse(wavelengthNm[w]) * (1 - sky.skyReflectance());
            double share = sunBelow / (sunBelow + skyBelow);
            double incident = (sunBelow + skyBelow) * extraterrestrial(wavelengthNm[w]);
            transfer.follow(depthM, here, wavelengthNm[w], incident, share, light);
            for (int z = 0; z < levels; z++) {
                attenuation[z][w] = here[z].attenuation();
                phytoplankton[z][w] = here[z].phytoplankton();
                lnDown[z][w] = light.lnDown[z];
                lnElastic[z][w] = light.lnElastic[z];
                scalar[z][w] = light.scalar[z];
                scalarRaman[z][w] = light.scalarRaman[z];
            }
        }
    }

    private Transfer transfer() {
        return scene.getWater().getLightModel() == LightModel.THREE_STREAMS
                ? new ThreeStreams(sunCosine, zenithDeg, water.chlorophyll(0), truths)
                : new SourceIntegral(sunCosine, truths);
    }

    private void raman() {
        double[] source = new double[depthM.length];
        for (int w = 0; w < WAVELENGTHS; w++) {
            Raman raman = new Raman(wavelengthNm, wavelengthNm[w], truths);
            for (int z = 0; z < depthM.length; z++) {
                source[z] = raman.emitted(scalarRaman[z]) / (4 * Math.PI);
            }
            integrateInelastic(w, source);
        }
    }

    /** Photons absorbed by phytoplankton at 370 to 690 nm come back as red light, the same in all directions. */
    private void fluorescence() {
        double[] photons = new double[depthM.length];
        for (int z = 0; z < depthM.length; z++) {
            for (int w = 0; w < WAVELENGTHS; w++) {
                if (wavelengthNm[w] >= 370 && wavelengthNm[w] <= 690) {
                    photons[z] += phytoplankton[z][w] * scalar[z][w] * wavelengthNm[w] * STEP_NM;
                }
            }
        }
        double[] source = new double[depthM.length];
        for (int w = 0; w < WAVELENGTHS; w++) {
            double band = water.constituents().fluorescence(wavelengthNm[w]) / wavelengthNm[w];
            if (band > 1e-14) {
                for (int z = 0; z < depthM.length; z++) {
                    source[z] = truths.fluorescence() * photons[z] * band / (4 * Math.PI);
                }
                integrateInelastic(w, source);
            }
        }
    }

    /** Adds to the inelastic radiance what a source (W m-3 nm-1 sr-1 by depth) sends upward, exponential within a layer. */
    private void integrateInelastic(int w, double[] source) {
        int last = depthM.length - 1;
        while (last > 0 && source[last] < FAINTEST) {
            last--;
        }
        if (last == 0) {
            return;
        }
        double slope = Math.log(source[last - 1] / source[last]) / (depthM[last] - depthM[last - 1]);
        double radiance = source[last] / (Math.max(0, slope) + attenuation[last][w]);
        inelastic[last][w] += radiance;
        for (int z = last - 1; z >= 0; z--) {
            double thick = depthM[z + 1] - depthM[z];
            double up = 0.5 * (attenuation[z][w] + attenuation[z + 1][w]) * thick;
            double decay = Math.log(source[z] / source[z + 1]) + up;
            double mean = Math.abs(decay) < 1e-9 ? 1 : -Math.expm1(-decay) / decay;
            radiance = radiance * Math.exp(-up) + source[z] * thick * mean;
            inelastic[z][w] += radiance;
        }
    }

    /** Extraterrestrial irradiance at the day's distance, W m-2 nm-1, smoothed over two steps of the grid. */
    private double extraterrestrial(double nm) {
        double within = Math.max(300.5, Math.min(899, nm));
        return sunFactor * truths.sun(nm) * SolarSpectrum.through(within, 2 * STEP_NM);
    }

    /**
     * The light as heads with these lines see it.
     *
     * @param centreNm 310 to 870 nm
     * @param lineWidthNm full width at half maximum
     * @throws PlanException if a channel lies outside the range that the sea is modelled in
     */
    public Channels channels(double[] centreNm, double lineWidthNm) {
        for (double centre : centreNm) {
            if (!(centre >= FIRST_CHANNEL_NM && centre <= LAST_CHANNEL_NM)) {
                throw new PlanException("calibration: a channel at " + centre + " nm lies outside " + FIRST_CHANNEL_NM
                        + " to " + LAST_CHANNEL_NM + " nm, the range that the sea is modelled in");
            }
        }
        return new Channels(this, centreNm.clone(), lineWidthNm);
    }

    /** Depths of the grid, m, rising from 0. */
    public double[] depthsM() {
        return depthM.clone();
    }

    /** The water that the light is in. */
    public Water water() {
        return water;
    }

    Scene scene() {
        return scene;
    }

    Truths truths() {
        return truths;
    }

    Sky sky() {
        return sky;
    }

    double sunFactor() {
        return sunFactor;
    }

    double depth(int level) {
        return depthM[level];
    }

    int levels() {
        return depthM.length;
    }

    /** ln of (elastic Lu / downwelling irradiance just below the surface) at a level, straight between wavelengths. */
    double lnElastic(int level, double nm) {
        return between(lnElastic[level], nm, STEP_NM);
    }

    /** Inelastic Lu at a level, W m-2 nm-1 sr-1, straight between wavelengths. */
    double inelastic(int level, double nm) {
        return between(inelastic[level], nm, STEP_NM);
    }

    /** Direct irradiance just above the surface over extraterrestrial irradiance. */
    double direct(double nm) {
        return between(direct, nm, 1);
    }

    /** Diffuse irradiance just above the surface over extraterrestrial irradiance. */
    double diffuse(double nm) {
        return between(diffuse, nm, 1);
    }

    /** Mean attenuation of downwelling irradiance between two levels, per m. */
    double downwellingAttenuation(double nm, int fromLevel, int toLevel) {
        double fall = between(lnDown[fromLevel], nm, STEP_NM) - between(lnDown[toLevel], nm, STEP_NM);
        return fall / (depthM[toLevel] - depthM[fromLevel]);
    }

    private static double between(double[] values, double nm, double stepNm) {
        double place = Math.max(0, Math.min(values.length - 1.001, (nm - FIRST_NM) / stepNm));
        int i = (int) place;
        return values[i] + (place - i) * (values[i + 1] - values[i]);
    }
}
