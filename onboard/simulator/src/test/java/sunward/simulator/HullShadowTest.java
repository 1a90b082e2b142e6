package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Plan;

class HullShadowTest {
    private static final double INDEX = 1.34;
    private static final Plan PLAN = PlanReader.defaults().getPlan();

    private static Pose upright(double headingDeg) {
        Pose pose = new Pose();
        pose.depthM = 5;
        pose.turn(headingDeg, 0, 0);
        return pose;
    }

    /** A narrow view under a flat surface leaves one line: its shaded interval follows from two triangles. */
    @Test
    void aNarrowViewIsShadedBetweenTheTwoLevelsOfTheHull() {
        Plan.Builder plan = PLAN.toBuilder();
        plan.getHeadsBuilder(0).setHalfFieldOfViewDeg(0.1);
        HullShadow shadow = new HullShadow(plan.build(), 0, INDEX, 0);
        double[] loss = HullShadow.losses();
        // Sun 34 degrees from the zenith in the south, head A to the north: in the shadow's middle.
        assertTrue(shadow.direct(upright(0), 34, 180, loss));
        double tangent = Math.tan(Math.asin(Math.sin(Math.toRadians(34)) / INDEX));
        double from = (0.95 - 0.085) / tangent - 0.35;
        double to = (0.95 + 0.085) / tangent + 1.20;
        for (double kappa : new double[] {0.05, 0.14, 0.5, 1}) {
            double expected = Math.exp(-kappa * from) - Math.exp(-kappa * to);
            double found = HullShadow.at(loss, HullShadow.place(kappa));
            // The sun's spread of one degree still lets some of the rays pass beside the hull: at most a tenth.
            assertEquals(expected, found, 0.13 * expected, "kappa " + kappa);
        }
    }

    @Test
    void theSunSideIsClearAndTheOtherIsNot() {
        double[] loss = HullShadow.losses();
        HullShadow a = new HullShadow(PLAN, 0, INDEX, 5);
        HullShadow b = new HullShadow(PLAN, 1, INDEX, 5);
        assertFalse(a.direct(upright(180), 34, 180, loss), "head A towards the sun");
        assertTrue(b.direct(upright(180), 34, 180, loss), "head B behind the hull");
        double centre = HullShadow.at(loss, HullShadow.place(0.14));
        assertTrue(centre > 0.05 && centre < 0.3, "loss " + centre);
        double before = centre;
        for (double away = 10; away <= 60; away += 10) {
            b.direct(upright(180 + away), 34, 180, loss);
            double right = HullShadow.at(loss, HullShadow.place(0.14));
            b.direct(upright(180 - away), 34, 180, loss);
            double left = HullShadow.at(loss, HullShadow.place(0.14));
            assertEquals(left, right, 0.01, "mirrored at " + away);
            assertTrue(right <= before + 1e-9, "loss falls away from the anti-sun, at " + away);
            before = right;
        }
        assertTrue(before < 1e-3, "far outside the wedge: " + before);
    }

    @Test
    void noSunNoShadow() {
        HullShadow a = new HullShadow(PLAN, 0, INDEX, 5);
        assertFalse(a.direct(upright(0), 95, 180, HullShadow.losses()));
    }

    /** The same sum done by brute force: march along every ray and ask whether the point lies in the hull. */
    @Test
    void skyLossIsThatOfMarchingAlongEveryRay() {
        Plan.Builder plan = PLAN.toBuilder();
        plan.getHeadsBuilder(0).setHalfFieldOfViewDeg(0.1);
        HullShadow a = new HullShadow(plan.build(), 0, INDEX, 5);
        double kappa = 0.2;
        double missing = 0;
        double all = 0;
        for (double s = 0.1; s < 15; s += 0.3) {
            for (double square = 0.02; square < 1; square += 0.04) {
                double sine = Math.sqrt(square) / INDEX;
                // Seen from the head, the hull lies within 5.2 degrees of the hull frame's azimuth 180; the rest is
                // clear.
                all += 360 * Math.exp(-kappa * s) / 0.2;
                for (double azimuth = 170.1; azimuth < 190; azimuth += 0.2) {
                    missing += meetsHull(s, sine, Math.toRadians(azimuth)) ? Math.exp(-kappa * s) : 0;
                }
            }
        }
        double expected = missing / all * (1 - Math.exp(-kappa * 15));
        assertEquals(expected, HullShadow.at(a.sky(), HullShadow.place(kappa)), 0.08 * expected);
    }

    private static boolean meetsHull(double s, double sine, double azimuth) {
        double up = Math.sqrt(1 - sine * sine);
        for (double way = 0; way < 20; way += 0.03) {
            double x = 0.95 + way * sine * Math.cos(azimuth);
            double y = way * sine * Math.sin(azimuth);
            double z = s - way * up;
            if (z < -0.35) {
                return false;
            }
            if (z < 1.2 && x * x + y * y < 0.085 * 0.085) {
                return true;
            }
        }
        return false;
    }
}
