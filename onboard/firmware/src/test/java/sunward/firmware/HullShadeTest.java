package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** No published formula covers a head on an arm: checked against brute-force ray marching written here. */
class HullShadeTest {
    private static final long NOON = Instant.parse("2026-12-15T02:27:00Z").toEpochMilli()
            - Instant.parse("2000-01-01T00:00:00Z").toEpochMilli();

    private final FloatPlan plan = TestPlans.reference(2, 16);
    private final SunDirection sun = new SunDirection();
    private final Attitude attitude = new Attitude();
    private final HullShade shade = new HullShade(plan);

    /** Loss of the head at this azimuth from the anti-sun, upright, at local solar noon at 11 N 142 E. */
    private double loss(double fromAntisun, double depthM) {
        sun.at(NOON, 11, 142);
        TestPlans.take(attitude, TestPlans.scan(16, sun.azimuthDeg() + 180 + fromAntisun, 0, 0), 0, 3);
        shade.sun(sun, attitude);
        return shade.loss(0, depthM);
    }

    @Test
    void shadowIsANarrowWedgeAboutTheAntiSun() {
        double behind = loss(0, 5);
        assertTrue(behind > 0.02 && behind < 0.16, "behind the hull: " + behind);
        assertEquals(behind, loss(360, 5), 1e-4);
        assertEquals(loss(7, 5), loss(-7, 5), 1e-4);
        assertTrue(loss(5, 5) <= behind);
        assertTrue(loss(12, 5) < 0.7 * behind);
        for (int azimuth = 40; azimuth <= 320; azimuth += 10) {
            assertEquals(0, loss(azimuth, 5), "azimuth " + azimuth);
        }
    }

    @Test
    void hullAboveTheSurfaceShadesNothing() {
        assertTrue(loss(0, 0.2) < loss(0, 0.35));
        assertEquals(loss(0, 0.35), loss(0, 100), 1e-12);
    }

    @Test
    void noSunNoShadow() {
        sun.at(NOON + 43_200_000L, 11, 142);
        assertTrue(sun.zenithDeg() > 90);
        TestPlans.take(attitude, TestPlans.scan(16, 0, 0, 0), 0, 3);
        shade.sun(sun, attitude);
        assertEquals(0, shade.loss(0, 5));
    }

    /**
     * The closed form against marching down 1000 view rays with the sun's bearing blurred alike: random suns,
     * attitudes and heads. The closed form takes 65 rays, so single cases differ; the loss must agree within 0.8 % of
     * radiance everywhere and within 0.1 % in the mean.
     */
    @Test
    void agreesWithRayMarching() {
        Random random = new Random(2);
        double sum = 0;
        double worst = 0;
        int n = 400;
        for (int i = 0; i < n; i++) {
            long time = NOON + (long) ((random.nextDouble() - 0.5) * 8 * 3_600_000);
            sun.at(time, 11 + 40 * (random.nextDouble() - 0.5), 142);
            if (sun.zenithDeg() > 80) {
                continue;
            }
            double fromAntisun = 40 * (random.nextDouble() - 0.5);
            double pitch = 8 * (random.nextDouble() - 0.5);
            double roll = 8 * (random.nextDouble() - 0.5);
            TestPlans.take(attitude, TestPlans.scan(16, sun.azimuthDeg() + 180 + fromAntisun, pitch, roll), 0, 3);
            shade.sun(sun, attitude);
            double closed = shade.loss(0, 5);
            double marched = marched(random);
            worst = Math.max(worst, Math.abs(closed - marched));
            sum += closed - marched;
            assertEquals(marched, closed, 0.008, "seed 2, case " + i + ", zenith " + sun.zenithDeg());
        }
        assertEquals(0, sum / n, 0.001, "worst " + worst);
    }

    /** Marches in the hull frame, sun direction by plain trigonometry, no interval algebra. */
    private double marched(Random random) {
        double zenithWater = Math.asin(Math.sin(Math.toRadians(sun.zenithDeg())) / 1.34);
        double azimuth = Math.toRadians(sun.azimuthDeg());
        double north = Math.sin(zenithWater) * Math.cos(azimuth);
        double east = Math.sin(zenithWater) * Math.sin(azimuth);
        double up = Math.cos(zenithWater);
        double direct = 0.8 * Math.exp(-0.13 / Math.cos(Math.toRadians(sun.zenithDeg())));
        double kappa = 2 * plan.attenuation555PerM;
        int rays = 1000;
        double lost = 0;
        for (int r = 0; r < rays; r++) {
            double radius = 0.08749 * Math.sqrt(random.nextDouble());
            double angle = 2 * Math.PI * random.nextDouble();
            double vx = radius * Math.cos(angle);
            double vy = radius * Math.sin(angle);
            double side = 0.07 * (2 * random.nextDouble() - 1);
            double sx = attitude.hullX(north, east, -up);
            double sy = attitude.hullY(north, east, -up);
            double sz = attitude.hullZ(north, east, -up);
            double across = Math.hypot(sx, sy);
            double ux = sx + side * sy / across;
            double uy = sy - side * sx / across;
            double step = 0.1;
            for (double s = step / 2; s < 40; s += step) {
                if (blocked(0.95 + s * vx, s * vy, s, ux, uy, sz)) {
                    lost += kappa * Math.exp(-kappa * s) * step;
                }
            }
        }
        return direct * lost / rays;
    }

    private boolean blocked(double px, double py, double pz, double ux, double uy, double uz) {
        // Where the line p + t u passes inside the radius, then whether its height is within the hull there.
        double a = ux * ux + uy * uy;
        double b = px * ux + py * uy;
        double c = px * px + py * py - plan.hullRadiusM * plan.hullRadiusM;
        double discriminant = b * b - a * c;
        if (discriminant <= 0) {
            return false;
        }
        double t1 = (-b - Math.sqrt(discriminant)) / a;
        double t2 = (-b + Math.sqrt(discriminant)) / a;
        if (t2 <= 0) {
            return false;
        }
        double z1 = pz + Math.max(0, t1) * uz;
        double z2 = pz + t2 * uz;
        return Math.min(z1, z2) <= plan.hullBottomM && Math.max(z1, z2) >= -plan.hullTopM;
    }
}
