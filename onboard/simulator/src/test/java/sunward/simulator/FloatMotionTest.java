package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Motion;
import sunward.protocol.schema.Plan;

class FloatMotionTest {
    private static final Plan PLAN = PlanReader.defaults().getPlan();
    private static final Motion STILL =
            Motion.newBuilder().setStartHeadingDeg(90).build();

    private static final Waves LEVEL =
            new Waves(sunward.protocol.schema.Waves.newBuilder().setPeakPeriodS(5).build(), 5, 1);

    private static FloatMotion motion(Plan plan, Motion scene, long seed) {
        return new FloatMotion(plan, scene, LEVEL, seed, dbar -> dbar);
    }

    @Test
    void theAscentTakesTheTimeThatItsSpeedsGive() {
        FloatMotion motion = motion(PLAN, STILL, 1);
        // With depth in m equal to dbar: 230 m at 0.10 m/s, then from the port at 20 m to the hull's top at the surface
        // (the port 0.25 m above the heads, the top 0.35 m): 19.9 m at 0.03 m/s.
        assertEquals(230 / 0.10 + 19.90 / 0.03, motion.durationS(), 1e-9);
        assertEquals(0.35, motion.depthM(0), 1e-12);
        assertEquals(0.65, motion.depthM(-10), 1e-12);
        assertEquals(250.25, motion.depthM(-motion.durationS()), 1e-9);
        assertEquals(250.25, motion.depthM(-1e6), 1e-9);
    }

    @Test
    void aDwellHoldsItsDepth() {
        for (double dwellDbar : new double[] {5, 60}) {
            Plan.Builder plan = PLAN.toBuilder();
            plan.getAscentBuilder().setDwellDbar(dwellDbar).setDwellS(300);
            FloatMotion dwelling = motion(plan.build(), STILL, 1);
            FloatMotion plain = motion(PLAN, STILL, 1);
            assertEquals(plain.durationS() + 300, dwelling.durationS(), 1e-9);
            double held = 0;
            for (double t = -dwelling.durationS(); t < 0; t += 1) {
                held += Math.abs(dwelling.depthM(t) - (dwellDbar + 0.25)) < 1e-9 ? 1 : 0;
            }
            assertEquals(300, held, 2);
        }
    }

    @Test
    void tiltHasTheScenesSizeAndGrowsTowardsTheSurface() {
        Motion scene =
                Motion.newBuilder().setTiltRmsDeg(1.5).setStartHeadingDeg(-1).build();
        double deep = 0;
        double shallow = 0;
        int n = 0;
        Pose pose = new Pose();
        for (long seed = 1; seed <= 40; seed++) {
            FloatMotion motion = motion(PLAN, scene, seed);
            for (double t = 0; t < 60; t += 0.5) {
                motion.at(-2000 - t, pose);
                deep += pose.tiltDeg() * pose.tiltDeg();
                motion.at(-t / 60, pose);
                shallow += pose.tiltDeg() * pose.tiltDeg();
                n++;
            }
        }
        assertEquals(1.5, Math.sqrt(deep / n), 0.1, "seeds 1 to 40");
        assertEquals(1.5 * 1.57, Math.sqrt(shallow / n), 0.3, "seeds 1 to 40");
    }

    @Test
    void headingTurnsAtTheScenesRateFromItsStart() {
        Motion scene =
                Motion.newBuilder().setSpinDegPerS(0.8).setStartHeadingDeg(30).build();
        FloatMotion motion = motion(PLAN, scene, 1);
        Pose pose = new Pose();
        motion.at(-motion.durationS(), pose);
        assertEquals(30, pose.headingDeg(), 1e-9);
        motion.at(-motion.durationS() + 450, pose);
        assertEquals(30, pose.headingDeg(), 1e-9);
        motion.at(-motion.durationS() + 100, pose);
        assertEquals(110, pose.headingDeg(), 1e-9);
    }

    @Test
    void switchingTheSpinOffLeavesTheTiltAlone() {
        Motion scene = PlanReader.defaults().getScene().getMotion();
        FloatMotion spinning = motion(PLAN, scene, 3);
        FloatMotion still = motion(
                PLAN,
                scene.toBuilder().setSpinDegPerS(0).setSpinWanderDegPerS(0).build(),
                3);
        Pose one = new Pose();
        Pose other = new Pose();
        for (double t = -100; t < 0; t += 7.3) {
            spinning.at(t, one);
            still.at(t, other);
            assertEquals(one.pitchDeg(), other.pitchDeg());
            assertEquals(one.rollDeg(), other.rollDeg());
        }
    }

    @Test
    void aPoseTurnsPointsByHeadingPitchRoll() {
        Pose pose = new Pose();
        pose.depthM = 10;
        // By hand: bow up by 5 degrees lifts a 0.95 m arm ahead by 0.95 sin 5 = 0.0828 m.
        pose.turn(0, 5, 0);
        assertEquals(10 - 0.0828, pose.depthM(0.95, 0, 0), 1e-4);
        assertEquals(5, pose.tiltDeg(), 1e-9);
        // Starboard down by 10 degrees lowers a point to starboard.
        pose.turn(0, 0, 10);
        assertEquals(10 + Math.sin(Math.toRadians(10)), pose.depthM(0, 1, 0), 1e-12);
        // Heading east: the bow points east.
        pose.turn(90, 0, 0);
        assertEquals(1, pose.eastM(1, 0, 0), 1e-12);
        assertEquals(0, pose.northM(1, 0, 0), 1e-12);
        // What goes out comes back.
        pose.turn(213, -4, 7);
        double[] back = new double[3];
        pose.intoHull(pose.northM(0.3, -0.2, 0.9), pose.eastM(0.3, -0.2, 0.9), pose.depthM(0.3, -0.2, 0.9) - 10, back);
        assertEquals(0.3, back[0], 1e-12);
        assertEquals(-0.2, back[1], 1e-12);
        assertEquals(0.9, back[2], 1e-12);
        assertTrue(pose.tiltDeg() > 7);
    }
}
