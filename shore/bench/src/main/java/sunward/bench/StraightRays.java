package sunward.bench;

/**
 * The share of upwelling radiance that the hull's shadow takes from a head, by casting straight rays at a closed
 * cylinder: written for judging the firmware's head choice, from the geometry alone, with nothing shared with the
 * firmware's closed form or the simulator's shadow. Radiance comes from a distance s along a view ray with the weight
 * {@code kappa exp(-kappa s)}; a point that cannot see the sun gives nothing. There is no skylight here, so the loss is
 * at its largest. Lengths in m; hull frame x forward, y starboard, z down, origin on the axis at the heads' level.
 */
final class StraightRays {
    private static final int RAYS = 96;
    private static final int DEPTHS = 48;

    /** Spread of sun rays in water by sea slopes and small-angle scattering, radians (as for a wind of 5 m/s). */
    private static final double SUN_SPREAD = 0.035;

    private final double radius;
    private final double top;
    private final double bottom;
    private final double[] view = new double[3 * RAYS];
    private final double[] blur = new double[2 * RAYS];

    StraightRays(double radiusM, double topM, double bottomM, double halfFieldDeg) {
        radius = radiusM;
        top = topM;
        bottom = bottomM;
        for (int i = 0; i < RAYS; i++) {
            // A spiral by the golden angle covers the field of view evenly; another one makes the normal spread.
            double share = (i + 0.5) / RAYS;
            double tangent = Math.tan(Math.toRadians(halfFieldDeg)) * Math.sqrt(share);
            double turn = i * Math.PI * (3 - Math.sqrt(5));
            double length = Math.sqrt(1 + tangent * tangent);
            view[3 * i] = tangent * Math.cos(turn) / length;
            view[3 * i + 1] = tangent * Math.sin(turn) / length;
            view[3 * i + 2] = 1 / length;
            double other = (i * 0.7548776662466927 + 0.5) % 1;
            double away = SUN_SPREAD * Math.sqrt(-2 * Math.log(1 - other));
            double around = 2 * Math.PI * ((i * 0.5698402909980532 + 0.5) % 1);
            blur[2 * i] = away * Math.cos(around);
            blur[2 * i + 1] = away * Math.sin(around);
        }
    }

    /**
     * Share lost.
     *
     * @param head aperture
     * @param sun unit vector towards the refracted sun
     * @param kappa 1/m, down and up together
     * @param depthM of the head: what stands out of the water shades nothing
     */
    double loss(double[] head, double[] sun, double kappa, double depthM) {
        double upper = -Math.min(top, Math.max(0, depthM));
        double level = Math.hypot(sun[0], sun[1]);
        if (level < 1e-9) {
            return 0;
        }
        double ax = -sun[1] / level;
        double ay = sun[0] / level;
        double lost = 0;
        for (int i = 0; i < RAYS; i++) {
            double ux = sun[0] + blur[2 * i] * ax + blur[2 * i + 1] * sun[0] * sun[2] / level;
            double uy = sun[1] + blur[2 * i] * ay + blur[2 * i + 1] * sun[1] * sun[2] / level;
            double uz = sun[2] - blur[2 * i + 1] * level;
            for (int k = 0; k < DEPTHS; k++) {
                double share = (k + (i % 7 + 0.5) / 7) / DEPTHS;
                double s = -Math.log(1 - share) / kappa;
                lost += meets(
                                head[0] + s * view[3 * i],
                                head[1] + s * view[3 * i + 1],
                                head[2] + s * view[3 * i + 2],
                                ux,
                                uy,
                                uz,
                                upper)
                        ? 1
                        : 0;
            }
        }
        return lost / (RAYS * DEPTHS);
    }

    /** Whether the ray from a point along a direction meets the cylinder: the usual quadratic in the level plane. */
    private boolean meets(double px, double py, double pz, double ux, double uy, double uz, double upper) {
        double b = px * ux + py * uy;
        double a = ux * ux + uy * uy;
        double rest = b * b - a * (px * px + py * py - radius * radius);
        if (rest <= 0) {
            return false;
        }
        double root = Math.sqrt(rest);
        double enter = Math.max(0, (-b - root) / a);
        double leave = (-b + root) / a;
        if (leave <= enter) {
            return false;
        }
        double z1 = pz + enter * uz;
        double z2 = pz + leave * uz;
        return Math.min(z1, z2) < bottom && Math.max(z1, z2) > upper;
    }
}
