package sunward.simulator;

import java.util.Arrays;
import sunward.protocol.schema.Head;
import sunward.protocol.schema.Hull;
import sunward.protocol.schema.Plan;

/**
 * How much of the upwelling radiance that a head sees is missing because the hull keeps sun and sky from the water it
 * looks at: straight rays, summed. The light that reaches the head from a distance s along its view is taken to fall as
 * exp(-kappa s); a point of the view gets no sunlight when its ray towards the sun meets the hull, a cylinder. Rays are
 * spread over the field of view, and sun directions over the spread that the rough surface and forward scattering give
 * (wave slopes: Cox and Munk 1954). The sky is uniform, seen through the
 * circle into which the surface bends it. Arms, antenna and the head's own housing are left out. One a head and thread.
 */
final class HullShadow {
    private static final int RAYS = 64;
    private static final int SKY_RAYS = 4096;
    private static final int STEPS = 64;
    private static final int KAPPAS = 24;
    private static final double LOWEST_KAPPA_PER_M = 0.01;
    private static final double HIGHEST_KAPPA_PER_M = 10;

    /** The view is summed to this many lengths of the arm, enough for a sun 3 degrees from the zenith. */
    private static final double REACH_IN_ARMS = 26;

    private static final double SHORTEST_REACH_M = 5;

    /** Spread of the sun's rays by its disc and by scattering at small angles, degrees (assumed). */
    private static final double SCATTERING_SPREAD_DEG = 1;

    /** Beyond this azimuth from the anti-sun nothing is shaded, unless the sun is within the second angle of the zenith. */
    private static final double WIDEST_WEDGE_DEG = 75;

    private static final double NEAR_ZENITH_DEG = 12;

    private final double headX;
    private final double headY;
    private final double headZ;
    private final double radiusM;
    private final double topM;
    private final double bottomM;
    private final double waterIndex;
    private final double[] view = new double[3 * RAYS];
    private final double[] sunAcross = new double[RAYS];
    private final double[] sunAlong = new double[RAYS];
    private final double[] edgeM = new double[STEPS + 1];
    private final double[][] weight = new double[KAPPAS][STEPS];
    private final double[] sky = new double[KAPPAS];
    private final double[] toSun = new double[3];
    private final double[] shaded = new double[STEPS];

    /**
     * The shadow on the view of one head.
     *
     * @param waterIndex refractive index of the water
     * @param windMPerS wind, for the roughness of the surface
     */
    HullShadow(Plan plan, int head, double waterIndex, double windMPerS) {
        Hull hull = plan.getHull();
        Head geometry = plan.getHeads(head);
        headX = geometry.getArmXM();
        headY = geometry.getArmYM();
        headZ = geometry.getArmZM();
        radiusM = hull.getRadiusM();
        topM = hull.getTopAboveHeadsM();
        bottomM = hull.getBottomBelowHeadsM();
        this.waterIndex = waterIndex;
        double slopeVariance = SeaSurface.meanSquareSlope(windMPerS) / 2;
        double refraction = 1 - 1 / waterIndex;
        double scattering = Math.toRadians(SCATTERING_SPREAD_DEG);
        double spread = Math.sqrt(slopeVariance * refraction * refraction + scattering * scattering);
        double halfField = Math.toRadians(geometry.getHalfFieldOfViewDeg());
        for (int i = 0; i < RAYS; i++) {
            viewRay(geometry, halfField, i);
            double away = spread * Math.sqrt(-2 * Math.log(halton(i, 5)));
            sunAcross[i] = away * Math.cos(2 * Math.PI * halton(i, 7));
            sunAlong[i] = away * Math.sin(2 * Math.PI * halton(i, 7));
        }
        double reach = Math.max(SHORTEST_REACH_M, REACH_IN_ARMS * Math.hypot(headX, headY));
        for (int step = 0; step <= STEPS; step++) {
            double share = (double) step / STEPS;
            edgeM[step] = reach * share * Math.sqrt(share);
        }
        for (int k = 0; k < KAPPAS; k++) {
            for (int step = 0; step < STEPS; step++) {
                weight[k][step] = Math.exp(-kappa(k) * edgeM[step]) - Math.exp(-kappa(k) * edgeM[step + 1]);
            }
        }
        shadeSky();
        sum(sky);
    }

    /** A ray of the field of view, evenly over its solid angle, about the boresight. */
    private void viewRay(Head geometry, double halfField, int i) {
        double bx = geometry.getBoresightX();
        double by = geometry.getBoresightY();
        double bz = geometry.getBoresightZ();
        double length = Math.sqrt(bx * bx + by * by + bz * bz);
        double away = halfField * Math.sqrt(halton(i, 2));
        double around = 2 * Math.PI * halton(i, 3);
        double[] b = {bx / length, by / length, bz / length};
        double[] first = perpendicular(b);
        double[] second = cross(b, first);
        for (int axis = 0; axis < 3; axis++) {
            view[3 * i + axis] = b[axis] * Math.cos(away)
                    + Math.sin(away) * (first[axis] * Math.cos(around) + second[axis] * Math.sin(around));
        }
    }

    private static double[] perpendicular(double[] v) {
        double[] axis = Math.abs(v[0]) < 0.9 ? new double[] {1, 0, 0} : new double[] {0, 1, 0};
        double[] out = cross(v, axis);
        double length = Math.sqrt(out[0] * out[0] + out[1] * out[1] + out[2] * out[2]);
        return new double[] {out[0] / length, out[1] / length, out[2] / length};
    }

    private static double[] cross(double[] a, double[] b) {
        return new double[] {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
    }

    /** Halton's (1960) sequence in a base, from its second member. */
    private static double halton(int i, int base) {
        double value = 0;
        double place = 1;
        for (int rest = i + 1; rest > 0; rest /= base) {
            place /= base;
            value += place * (rest % base);
        }
        return value;
    }

    private void shadeSky() {
        Arrays.fill(shaded, 0);
        for (int i = 0; i < SKY_RAYS; i++) {
            // Irradiance from a uniform sky is uniform in the squared sine of the zenith angle below the surface too.
            double sine = Math.sqrt(halton(i, 5)) / waterIndex;
            double around = 2 * Math.PI * halton(i, 7);
            double up = Math.sqrt(1 - sine * sine);
            shadeRay(i % RAYS, sine * Math.cos(around), sine * Math.sin(around), -up, 1.0 / SKY_RAYS);
        }
    }

    /**
     * The share of the direct sun's contribution that is missing.
     *
     * @param sunZenithDeg in air, as seen from the place
     * @param sunAzimuthDeg clockwise from true north
     * @param lossByKappa filled in, for {@link #at}
     * @return false when nothing is shaded; {@code lossByKappa} is then left alone
     */
    boolean direct(Pose pose, double sunZenithDeg, double sunAzimuthDeg, double[] lossByKappa) {
        if (sunZenithDeg >= 90 || outsideWedge(pose, sunZenithDeg, sunAzimuthDeg)) {
            return false;
        }
        double sine = Math.sin(Math.toRadians(sunZenithDeg)) / waterIndex;
        double azimuth = Math.toRadians(sunAzimuthDeg);
        pose.intoHull(sine * Math.cos(azimuth), sine * Math.sin(azimuth), -Math.sqrt(1 - sine * sine), toSun);
        double[] across = perpendicular(toSun);
        double[] along = cross(toSun, across);
        Arrays.fill(shaded, 0);
        for (int i = 0; i < RAYS; i++) {
            double ux = toSun[0] + sunAcross[i] * across[0] + sunAlong[i] * along[0];
            double uy = toSun[1] + sunAcross[i] * across[1] + sunAlong[i] * along[1];
            double uz = toSun[2] + sunAcross[i] * across[2] + sunAlong[i] * along[2];
            shadeRay(i, ux, uy, uz, 1.0 / RAYS);
        }
        sum(lossByKappa);
        return true;
    }

    private boolean outsideWedge(Pose pose, double sunZenithDeg, double sunAzimuthDeg) {
        double azimuth = Math.toDegrees(Math.atan2(pose.eastM(headX, headY, headZ), pose.northM(headX, headY, headZ)));
        double fromAntisun = Math.abs(Math.IEEEremainder(azimuth - sunAzimuthDeg - 180, 360));
        return sunZenithDeg > NEAR_ZENITH_DEG && fromAntisun > WIDEST_WEDGE_DEG;
    }

    /** Adds {@code share} to every step of one view ray whose line towards the light meets the hull. */
    private void shadeRay(int ray, double ux, double uy, double uz, double share) {
        double level = Math.max(1e-9, Math.sqrt(ux * ux + uy * uy));
        double x = ux / level;
        double y = uy / level;
        double rise = uz / level;
        double vx = view[3 * ray];
        double vy = view[3 * ray + 1];
        double vz = view[3 * ray + 2];
        // Steps are sampled at a place of their own on each ray, so that their edges do not line up.
        double inStep = (ray + 0.5) / RAYS;
        for (int step = 0; step < STEPS; step++) {
            double s = edgeM[step] + inStep * (edgeM[step + 1] - edgeM[step]);
            double px = headX + s * vx;
            double py = headY + s * vy;
            double aside = px * y - py * x;
            double chord = radiusM * radiusM - aside * aside;
            if (chord <= 0) {
                continue;
            }
            double ahead = -(px * x + py * y);
            double half = Math.sqrt(chord);
            if (ahead + half <= 0) {
                continue;
            }
            double z = headZ + s * vz;
            double entersAt = z + rise * Math.max(0, ahead - half);
            double leavesAt = z + rise * (ahead + half);
            if (leavesAt <= bottomM && entersAt >= -topM) {
                shaded[step] += share;
            }
        }
    }

    private void sum(double[] lossByKappa) {
        for (int k = 0; k < KAPPAS; k++) {
            double loss = 0;
            for (int step = 0; step < STEPS; step++) {
                loss += weight[k][step] * shaded[step];
            }
            lossByKappa[k] = loss;
        }
    }

    /** The share of a uniform sky's contribution that is missing, for {@link #at}, hull upright. */
    double[] sky() {
        return sky.clone();
    }

    /** An array to be filled with losses. */
    static double[] losses() {
        return new double[KAPPAS];
    }

    private static double kappa(int k) {
        return LOWEST_KAPPA_PER_M * Math.pow(HIGHEST_KAPPA_PER_M / LOWEST_KAPPA_PER_M, (double) k / (KAPPAS - 1));
    }

    /** Where kappa, 1/m, lies among the losses: a place to give to {@link #at}. */
    static double place(double kappaPerM) {
        double share = Math.log(kappaPerM / LOWEST_KAPPA_PER_M) / Math.log(HIGHEST_KAPPA_PER_M / LOWEST_KAPPA_PER_M);
        return (KAPPAS - 1) * Math.max(0, Math.min(1, share));
    }

    /** The loss at a place, 0 to 1. */
    static double at(double[] lossByKappa, double place) {
        int k = Math.min(KAPPAS - 2, (int) place);
        return lossByKappa[k] + (place - k) * (lossByKappa[k + 1] - lossByKappa[k]);
    }
}
