package sunward.profiles;

import sunward.protocol.schema.Hull;

/**
 * Share of upwelling radiance that is missing because the hull shades the water a head looks at.
 *
 * <p>The head looks down a column at distance r from the hull's axis. What it sees comes from depth s below it with
 * weight k exp(-k s), k = 2 K. A point of the column lies in the direct shadow when its ray to the refracted sun meets the
 * cylinder; with phi the azimuth from the anti-sun, that is when r |sin phi| is below the radius R, cos phi is positive,
 * and the ray's height where it crosses, between d1 = r cos phi - w and d2 = r cos phi + w (w^2 = R^2 - r^2 sin^2 phi)
 * divided by tan theta, lies within the hull: s between d1 / tan theta - top and d2 / tan theta + bottom. The integral over
 * s is closed; the azimuth is blurred by a Gaussian for compass error and forward scattering. The sky's part is the
 * cosine-weighted share of the refracted sky that the hull covers from the column. Own derivation, checked in its test by
 * brute-force rays.
 */
final class HullShading {
    /** Blur of the azimuth, degree, one standard deviation: compass and scattering together (assumed). */
    static final double AZIMUTH_BLUR_DEG = 5;

    /** Standard uncertainty of the correction, as a share of itself (assumed; Voss et al. 2021 give 30 % in the deepest shadow). */
    static final double SHARE_UNCERTAIN = 0.4;

    private static final double WATER_INDEX = 1.34;
    private static final int AZIMUTH_NODES = 25;
    private static final int DEPTH_NODES = 24;

    private final double radius;
    private final double top;
    private final double bottom;

    HullShading(Hull hull) {
        this.radius = hull.getRadiusM();
        this.top = hull.getTopAboveHeadsM();
        this.bottom = hull.getBottomBelowHeadsM();
    }

    /**
     * Share lost, 0 to 1.
     *
     * @param armM distance of the head from the hull's axis
     * @param antisunDeg azimuth of the head from the anti-solar direction
     * @param sunZenithDeg sun zenith in air
     * @param directShare share of the direct sun in the irradiance
     * @param attenuationPerM diffuse attenuation K
     */
    double loss(double armM, double antisunDeg, double sunZenithDeg, double directShare, double attenuationPerM) {
        if (armM <= radius) {
            return 0;
        }
        double weightPerM = 2 * attenuationPerM;
        double tangent = Math.tan(Math.asin(Math.sin(Math.toRadians(sunZenithDeg)) / WATER_INDEX));
        return directShare * blurred(armM, antisunDeg, tangent, weightPerM)
                + (1 - directShare) * skyLoss(armM, weightPerM);
    }

    private double blurred(double arm, double antisunDeg, double tangent, double weightPerM) {
        double sum = 0;
        double weights = 0;
        for (int i = 0; i < AZIMUTH_NODES; i++) {
            double offset = 3.0 * (2.0 * i / (AZIMUTH_NODES - 1) - 1);
            double weight = Math.exp(-0.5 * offset * offset);
            sum += weight
                    * directLoss(arm, Math.toRadians(antisunDeg + offset * AZIMUTH_BLUR_DEG), tangent, weightPerM);
            weights += weight;
        }
        return sum / weights;
    }

    /** Direct part for one exact azimuth. */
    double directLoss(double arm, double antisunRad, double tangent, double weightPerM) {
        double across = arm * Math.sin(antisunRad);
        double along = arm * Math.cos(antisunRad);
        if (along <= 0 || Math.abs(across) >= radius) {
            return 0;
        }
        double half = Math.sqrt(radius * radius - across * across);
        if (tangent < 1e-6) {
            return 0;
        }
        double from = Math.max(0, (along - half) / tangent - top);
        double to = (along + half) / tangent + bottom;
        return to <= from ? 0 : Math.exp(-weightPerM * from) - Math.exp(-weightPerM * to);
    }

    private double skyLoss(double arm, double weightPerM) {
        double width = Math.asin(radius / arm) / Math.PI;
        double critical = 1 / (WATER_INDEX * WATER_INDEX);
        double sum = 0;
        for (int i = 0; i < DEPTH_NODES; i++) {
            double s = -Math.log(1 - (i + 0.5) / DEPTH_NODES) / weightPerM;
            double low = sineSquared(arm, s + top);
            double high = s > bottom ? sineSquared(arm, s - bottom) : 1;
            sum += Math.max(0, Math.min(high, critical) - Math.min(low, critical)) / critical;
        }
        return width * sum / DEPTH_NODES;
    }

    private static double sineSquared(double across, double up) {
        return across * across / (across * across + up * up);
    }
}
