package sunward.simulator;

import java.util.Arrays;
import sunward.firmware.RawScan;
import sunward.protocol.schema.Head;
import sunward.protocol.schema.HeadKind;

/**
 * What one head truly sees and reads: the light at its depth and true wavelengths, as the sun moves, less what the hull's
 * shadow takes, flickering with the waves. One a dive and head.
 *
 * <p>The hull's shadow takes a share of the light that the water sends up. That light is taken to reach the head from a
 * distance s with weight exp(-2 K s), K the attenuation of upwelling radiance at the head's depth: the sunlight falls and
 * the light on its way up falls again. An irradiance head sees irradiance that falls with depth as upwelling radiance does,
 * unshaded.
 */
final class HeadView {
    /** Depths at which the shadow's dependence on wavelength is worked out; between them it runs straight. */
    private static final double[] SHADOW_DEPTHS_M = {0, 0.5, 1, 2, 3, 5, 7.5, 10, 15, 20, 30, 50, 75, 100, 150, 200, 300
    };

    /** Depth over which scattering takes direct sunlight by e, for the shadow's contrast (assumed). */
    private static final double SUNBEAM_M = 60;

    private static final double SMALLEST_KAPPA_PER_M = 0.01;
    /** Relative flicker below which nobody could tell it: far below a photon's worth. */
    private static final double SMALLEST_FLICKER = 1e-7;

    /** A head that moves less than this up and down during an exposure sees no difference, m. */
    private static final double SMALLEST_MOVE_M = 1e-3;

    /** Between two temperatures light changes straight with them: wavelengths move by some hundredths of a nm. */
    static final double COLDER_DEGC = 10;

    private static final double WATER_INDEX = 1.34;
    private static final double UNSCATTERED_AGAIN = 0.5;

    private final Head head;
    private final boolean radiance;
    private final Channels channels;
    /** As a colder head sees the light; null: alike. */
    private final Channels colder;

    private final Radiometer radiometer;
    private final HullShadow shadow;
    private final FloatMotion motion;
    private final Waves waves;
    private final CloudField cloud;
    private final Illumination illumination;
    private final double[] light;
    private final double[] slope;
    private final double[] coldLight;
    private final Pose edge = new Pose();
    private final double[] belowSurface;
    private final double[] clearDirectShare;
    /** Under the clouds of the moment. */
    private final double[] directShare;

    private final double directShare555;
    private final double[][] kappaPlace;
    private final double[][] skyLoss;
    private final double[] sunLoss = HullShadow.losses();
    private final double[] skyLosses;

    /**
     * @param channels the light field at the head's true wavelengths
     * @param colderOrNull the light field at the wavelengths of a head colder by {@link #COLDER_DEGC}; null: they stay
     * @param shadow the hull's shadow on its view, or null: none
     * @param motionOrNull how the float moves, to average light over an exposure; null: light of mid-exposure
     * @param directShare555 share of direct sunlight at 555 nm, to which the waves' size refers
     */
    HeadView(
            Head head,
            Channels channels,
            Channels colderOrNull,
            Radiometer radiometer,
            HullShadow shadow,
            FloatMotion motionOrNull,
            Waves waves,
            CloudField cloud,
            Illumination illumination,
            double directShare555) {
        this.head = head;
        this.radiance = head.getKind() == HeadKind.UPWELLING_RADIANCE;
        this.channels = channels;
        this.colder = colderOrNull;
        this.radiometer = radiometer;
        this.shadow = radiance ? shadow : null;
        this.motion = motionOrNull;
        this.waves = waves;
        this.cloud = cloud;
        this.illumination = illumination;
        directShare = channels.directShare();
        clearDirectShare = directShare.clone();
        light = new double[directShare.length];
        slope = new double[directShare.length];
        coldLight = new double[directShare.length];
        belowSurface = channels.lu0();
        this.directShare555 = directShare555;
        kappaPlace = new double[SHADOW_DEPTHS_M.length][directShare.length];
        skyLoss = new double[SHADOW_DEPTHS_M.length][directShare.length];
        skyLosses = this.shadow == null ? HullShadow.losses() : this.shadow.sky();
        for (int node = 0; node < SHADOW_DEPTHS_M.length; node++) {
            for (int k = 0; k < directShare.length; k++) {
                double kappa = 2 * channels.attenuation(SHADOW_DEPTHS_M[node], k);
                kappaPlace[node][k] = HullShadow.place(Math.max(SMALLEST_KAPPA_PER_M, kappa));
                skyLoss[node][k] = HullShadow.at(skyLosses, kappaPlace[node][k]);
            }
        }
    }

    /**
     * Reads the head.
     *
     * @param timeS mid-exposure, s from the surfacing
     * @param exposureS exposure, s
     * @param temperatureDegC of the head
     * @param litShare share of the exposure during which the float's own emitters are lit
     * @param into its shutter is read; head and counts are filled in
     */
    void read(
            Pose pose,
            SunPosition sun,
            double timeS,
            double exposureS,
            double temperatureDegC,
            double litShare,
            RawScan into) {
        if (radiometer.seesLight(into.shutterClosed)) {
            look(pose, sun, timeS, exposureS, temperatureDegC);
        }
        radiometer.read(light, exposureS, temperatureDegC, litShare, Math.round(timeS * 1000), into);
    }

    private void look(Pose pose, SunPosition sun, double timeS, double exposureS, double temperatureDegC) {
        double depth = pose.depthM(head.getArmXM(), head.getArmYM(), head.getArmZM());
        double north = pose.northM(head.getArmXM(), head.getArmYM(), head.getArmZM());
        double east = pose.eastM(head.getArmXM(), head.getArmYM(), head.getArmZM());
        double water = waves.level() ? 0 : waves.waterAboveM(timeS, north, east, depth, exposureS);
        channels.radiance(depth + water, light);
        if (colder != null) {
            colder.radiance(depth + water, coldLight);
            double share = -radiometer.warmerDegC(temperatureDegC) / COLDER_DEGC;
            for (int k = 0; k < light.length; k++) {
                light[k] += share * (coldLight[k] - light[k]);
            }
        }
        if (motion != null) {
            blur(depth, water, timeS, exposureS);
        }
        illumination.apply(timeS, light);
        if (!cloud.clear()) {
            cloud(cloud.at(timeS, sun.zenithDeg()));
        }
        if (!radiance) {
            for (int k = 0; k < light.length; k++) {
                light[k] *= illumination.irradianceBelowSurface(k) / belowSurface[k];
            }
        }
        if (shadow != null) {
            shade(pose, sun, depth);
        }
        if (radiance) {
            polarise(pose, sun);
        }
        double sd = radiance ? waves.radianceSd(depth) : waves.irradianceSd(depth);
        if (sd > SMALLEST_FLICKER) {
            double height = waves.flicker(timeS, north, east, depth, exposureS);
            for (int k = 0; k < light.length; k++) {
                // Skewed to the bright side, as focusing is, and of mean 1: the logarithm is normal.
                double size = directShare555 > 0 ? sd * directShare[k] / directShare555 : 0;
                light[k] *= Math.exp(size * height - 0.5 * size * size);
            }
        }
    }

    /**
     * Averages over what the head rises and sinks by during the exposure: Simpson's rule over its start, middle and end, the light
     * falling exponentially with depth.
     */
    private void blur(double depth, double water, double timeS, double exposureS) {
        double middle = depthM(timeS);
        double first = depthM(timeS - exposureS / 2) - middle;
        double last = depthM(timeS + exposureS / 2) - middle;
        if (Math.abs(first) < SMALLEST_MOVE_M && Math.abs(last) < SMALLEST_MOVE_M) {
            return;
        }
        channels.attenuation(depth + water, slope);
        for (int k = 0; k < light.length; k++) {
            light[k] *= (4 + fall(slope[k] * first) + fall(slope[k] * last)) / 6;
        }
    }

    private double depthM(double timeS) {
        motion.at(timeS, edge);
        return edge.depthM(head.getArmXM(), head.getArmYM(), head.getArmZM());
    }

    /** exp(-x); by its series where that is as good (1e-7) and faster. */
    private static double fall(double x) {
        return Math.abs(x) < 0.03 ? 1 - x * (1 - x * (0.5 - x / 6)) : Math.exp(-x);
    }

    /**
     * Light scattered straight up out of the sun's beam is polarised across the beam, as single scattering by molecules
     * has it (sin^2 / (1 + cos^2) of the scattering angle: Rayleigh); what is scattered again loses it, by assumption half.
     */
    private void polarise(Pose pose, SunPosition sun) {
        double sine = Math.sin(Math.toRadians(Math.min(90, sun.zenithDeg()))) / WATER_INDEX;
        double degree = UNSCATTERED_AGAIN * sine * sine / (2 - sine * sine);
        double factor = radiometer.polarised(degree, Math.toRadians(sun.azimuthDeg() - pose.headingDeg()));
        for (int k = 0; k < light.length; k++) {
            light[k] *= factor;
        }
    }

    private void cloud(CloudField.Effect effect) {
        for (int k = 0; k < light.length; k++) {
            light[k] *= effect.irradiance(clearDirectShare[k]);
            directShare[k] = effect.directShare(clearDirectShare[k]);
        }
    }

    private void shade(Pose pose, SunPosition sun, double depth) {
        boolean shaded = shadow.direct(pose, sun.zenithDeg(), sun.azimuthDeg(), sunLoss);
        int node = node(depth);
        double share = share(depth, node);
        double beam = Math.exp(-Math.max(0, depth) / SUNBEAM_M);
        for (int k = 0; k < light.length; k++) {
            double direct = directShare[k] * beam;
            double loss = (1 - direct) * between(skyLoss, node, share, k);
            if (shaded) {
                loss += direct * HullShadow.at(sunLoss, between(kappaPlace, node, share, k));
            }
            light[k] *= 1 - loss;
        }
    }

    /** Irradiance above the surface in flown channel {@code k} over that of a clear sky at the surfacing. */
    double brightness(double timeS, SunPosition sun, int k) {
        double factor = illumination.factor(timeS, k);
        return cloud.clear()
                ? factor
                : factor * cloud.at(timeS, sun.zenithDeg()).irradiance(clearDirectShare[k]);
    }

    /** Share of the radiance in flown channel {@code k} that the hull's shadow takes; NaN for an irradiance head. */
    double loss(Pose pose, SunPosition sun, int k) {
        if (!radiance) {
            return Double.NaN;
        }
        if (shadow == null) {
            return 0;
        }
        double depth = pose.depthM(head.getArmXM(), head.getArmYM(), head.getArmZM());
        Arrays.fill(light, 1);
        shade(pose, sun, depth);
        return 1 - light[k];
    }

    private static int node(double depth) {
        int node = 0;
        while (node < SHADOW_DEPTHS_M.length - 2 && depth > SHADOW_DEPTHS_M[node + 1]) {
            node++;
        }
        return node;
    }

    private static double share(double depth, int node) {
        double share = (depth - SHADOW_DEPTHS_M[node]) / (SHADOW_DEPTHS_M[node + 1] - SHADOW_DEPTHS_M[node]);
        return Math.max(0, Math.min(1, share));
    }

    private static double between(double[][] table, int node, double share, int k) {
        return table[node][k] + share * (table[node + 1][k] - table[node][k]);
    }
}
