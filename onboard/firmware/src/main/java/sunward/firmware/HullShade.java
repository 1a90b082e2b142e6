package sunward.firmware;

import sunward.protocol.trig.Trig;

/**
 * The predicted share of upwelling radiance at 555 nm that a head loses because the hull shades the water it looks at:
 * a closed form, cheap enough for every scan.
 *
 * <p>Derivation. In the hull frame the head sits at {@code h} on its arm, the hull is a cylinder of radius {@code R} about
 * the z axis from {@code -top} (or the sea surface, if that is lower) to {@code +bottom}, and the refracted sun ray from a
 * point of water runs along its bearing with
 * {@code c} metres of rise per metre of horizontal way. A view
 * ray of the head reaches the point {@code h + s v} at {@code s} metres below it. Across the sun's bearing that point
 * passes the hull's axis at {@code b(s) = b0 + s b'}; only where {@code |b| < R} does its sun ray cross the cylinder's
 * side, which bounds {@code s} linearly. Along the bearing the ray meets the cylinder after the way {@code w0 - s a' -+
 * sqrt(R^2 - b^2)}, at the height {@code c w - s}; asking that height to lie between the hull's ends gives
 *
 * <pre>
 *   s1 = (c (w0 - q) - top)    / (1 + c a')      q = sqrt(R^2 - b^2) in the middle of the allowed s
 *   s2 = (c (w0 + q) + bottom) / (1 + c a')
 * </pre>
 *
 * <p>The upwelling radiance comes from depth {@code s} with weight {@code kappa exp(-kappa s)}, {@code kappa = 2 K}: once
 * down with the sun, once up to the head. So one ray loses {@code exp(-kappa s1) - exp(-kappa s2)}, times the share of
 * direct sun in the irradiance. The result is the mean over a fixed set of view rays across the field of view and of sun
 * bearings across the blur by waves and forward scattering. The shading of skylight is about alike for opposed heads and
 * small; it is left to shore's correction.
 *
 * <p>Geometry derived here; no published formula covers a head on an arm. Direct share: 0.8 exp(-0.13 / cos zenith), a fit
 * by eye to a clear marine sky at 555 nm (common practice, no source).
 */
final class HullShade {
    /** Refractive index of sea water at 555 nm, to the precision that matters here (Quan and Fry 1995: 1.3406). */
    private static final double WATER_INDEX = 1.34;

    private static final double DEGREES = 180 / Math.PI;

    /** View rays: the centre and two hexagons, each standing for an equal part of the field of view. */
    private static final int VIEW_RAYS = 13;

    /**
     * Radii of the two hexagons in those of the field of view: square roots of 4/13 and 10/13, the mean areas that they
     * stand for.
     */
    private static final double INNER = 0.5547;

    private static final double OUTER = 0.8771;
    private static final double HALF_SQRT3 = 0.8660254037844386;
    private static final double[] VIEW_X = {
        0,
        INNER,
        INNER / 2,
        -INNER / 2,
        -INNER,
        -INNER / 2,
        INNER / 2,
        HALF_SQRT3 * OUTER,
        0,
        -HALF_SQRT3 * OUTER,
        -HALF_SQRT3 * OUTER,
        0,
        HALF_SQRT3 * OUTER
    };
    private static final double[] VIEW_Y = {
        0,
        0,
        HALF_SQRT3 * INNER,
        HALF_SQRT3 * INNER,
        0,
        -HALF_SQRT3 * INNER,
        -HALF_SQRT3 * INNER,
        OUTER / 2,
        OUTER,
        OUTER / 2,
        -OUTER / 2,
        -OUTER,
        -OUTER / 2
    };

    /** Sun rays leave the mean ray sideways by up to this tangent in water: sea slopes and forward scattering. */
    private static final double SUN_BLUR = 0.07;

    private static final int SUN_RAYS = 5;

    private final double radiusM;
    private final double topM;
    private final double bottomM;
    private final FloatPlan plan;
    private final double[] viewTangent;

    private double sunX;
    private double sunY;
    private double sunUp;
    private double directShare;

    HullShade(FloatPlan plan) {
        radiusM = plan.hullRadiusM;
        topM = plan.hullTopM;
        bottomM = plan.hullBottomM;
        this.plan = plan;
        viewTangent = new double[plan.heads.length];
        for (int h = 0; h < viewTangent.length; h++) {
            double half = plan.heads[h].halfFieldDeg / DEGREES;
            viewTangent[h] = Trig.sin(half) / Trig.cos(half);
        }
    }

    /** Takes the sun, and turns its ray in the water into the hull frame. */
    void sun(SunDirection sun, Attitude attitude) {
        double zenith = sun.zenithDeg() / DEGREES;
        double cosAir = Trig.cos(zenith);
        directShare = cosAir > 0 ? 0.8 * Trig.exp(-0.13 / cosAir) : 0;
        if (directShare == 0) {
            return;
        }
        double sinWater = Trig.sin(zenith) / WATER_INDEX;
        double cosWater = Math.sqrt(1 - sinWater * sinWater);
        double north = sinWater * Trig.cos(sun.azimuthDeg() / DEGREES);
        double east = sinWater * Trig.sin(sun.azimuthDeg() / DEGREES);
        sunX = attitude.hullX(north, east, -cosWater);
        sunY = attitude.hullY(north, east, -cosWater);
        sunUp = -attitude.hullZ(north, east, -cosWater);
    }

    /**
     * Predicted loss of one downward-looking head under the sun last taken.
     *
     * @param number of the head in the plan
     * @param depthM depth of the head below the surface, m: hull above the surface shades nothing here
     * @return share lost, 0 to 1
     */
    double loss(int number, double depthM) {
        FloatPlan.Head head = plan.heads[number];
        double tangent = viewTangent[number];
        double across = Math.sqrt(sunX * sunX + sunY * sunY);
        if (directShare == 0 || across < 1e-6 || sunUp <= 0) {
            return 0;
        }
        double top = Math.min(topM + head.armZM, Math.max(0, depthM));
        double bottom = bottomM - head.armZM;
        double sum = 0;
        for (int j = 0; j < SUN_RAYS; j++) {
            double side = (2.0 * j / SUN_RAYS - 1 + 1.0 / SUN_RAYS) * SUN_BLUR;
            double x = sunX + side * sunY / across;
            double y = sunY - side * sunX / across;
            double length = Math.sqrt(x * x + y * y);
            for (int i = 0; i < VIEW_RAYS; i++) {
                sum += rayLoss(
                        head.armXM,
                        head.armYM,
                        tangent * VIEW_X[i],
                        tangent * VIEW_Y[i],
                        x / length,
                        y / length,
                        sunUp / length,
                        top,
                        bottom);
            }
        }
        return directShare * sum / (SUN_RAYS * VIEW_RAYS);
    }

    /** Loss along one view ray under one sun bearing (unit vector ux, uy; rise c per metre of horizontal way). */
    private double rayLoss(
            double hx, double hy, double vx, double vy, double ux, double uy, double c, double top, double bottom) {
        double b0 = hx * uy - hy * ux;
        double slope = vx * uy - vy * ux;
        double low;
        double high;
        if (Math.abs(slope) < 1e-9) {
            if (Math.abs(b0) >= radiusM) {
                return 0;
            }
            low = 0;
            high = Double.MAX_VALUE;
        } else {
            double sa = (-radiusM - b0) / slope;
            double sb = (radiusM - b0) / slope;
            low = Math.max(0, Math.min(sa, sb));
            high = Math.max(sa, sb);
        }
        double w0 = -(hx * ux + hy * uy);
        if (w0 <= 0) {
            return 0; // the hull stands on the far side from the sun
        }
        double stretch = 1 + c * (vx * ux + vy * uy);
        if (high <= low || stretch <= 0) {
            return 0;
        }
        double s1 = Math.max(low, (c * w0 - top) / stretch);
        double s2 = Math.min(high, (c * w0 + bottom) / stretch);
        if (s2 + 2 * c * radiusM <= s1) {
            return 0;
        }
        double b = b0 + slope * 0.5 * (s1 + s2);
        double q = Math.sqrt(Math.max(0, radiusM * radiusM - b * b));
        s1 = Math.max(low, (c * (w0 - q) - top) / stretch);
        s2 = Math.min(high, (c * (w0 + q) + bottom) / stretch);
        double kappa = 2 * plan.attenuation555PerM;
        return s2 > s1 ? Trig.exp(-kappa * s1) - Trig.exp(-kappa * s2) : 0;
    }
}
