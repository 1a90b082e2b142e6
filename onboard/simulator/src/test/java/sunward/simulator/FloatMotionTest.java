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

    private static final Waves LEVEL = new Waves(
            sunward.protocol.schema.Waves.newBuilder().setPeakPeriodS(5).build(), 5, 1);

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
        assertEquals(350.25, motion.depthM(-motion.durationS() - 1000), 1e-9);
        assertEquals(1000.25, motion.depthM(-1e6), 1e-9);
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
    void tiltHasTheScenesSizeAtAnyDepth() {
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
                motion.at(-t, pose);
                shallow += pose.tiltDeg() * pose.tiltDeg();
                n++;
            }
        }
        assertEquals(1.5, Math.sqrt(deep / n), 0.1, "seeds 1 to 40");
        assertEquals(1.5, Math.sqrt(shallow / n), 0.1, "seeds 1 to 40");
    }

    /**
     * One long wave, by linear theory of deep water (Airy): of amplitude a and wave number k it tilts a line that hangs in
     * the water by k a exp(-k z), a quarter of a period before its crest; so does a hull that follows the water.
     */
    @Test
    void aHullThatFollowsTheWaterTiltsAsTheWaterDoes() {
        Motion follows = STILL.toBuilder().setWaveResponse(1).build();
        var swell = sunward.protocol.schema.Waves.newBuilder()
                .setPeakPeriodS(8)
                .setSignificantHeightM(1.2)
                .build();
        double water = 0;
        double hull = 0;
        double deep = 0;
        int n = 0;
        Pose pose = new Pose();
        double[] strain = new double[5];
        for (long seed = 1; seed <= 40; seed++) {
            Waves waves = new Waves(swell, 5, seed);
            FloatMotion motion = new FloatMotion(PLAN, follows, waves, seed, dbar -> dbar);
            for (double t = -100; t < 0; t += 0.7) {
                motion.at(t, pose);
                hull += pose.tiltDeg() * pose.tiltDeg();
                waves.strain(t, pose.depthM - 0.35, pose.depthM + 1.2, strain);
                water += Math.pow(Math.toDegrees(Math.hypot(strain[0], strain[1])), 2);
                motion.at(t - 1000, pose);
                deep += pose.tiltDeg() * pose.tiltDeg();
                n++;
            }
        }
        assertEquals(1, hull / water, 0.01, "small angles, seeds 1 to 40");
        assertTrue(Math.sqrt(deep / n) < 0.1 * Math.sqrt(hull / n), "waves do not reach 30 m: " + deep / hull);
        assertTrue(Math.sqrt(hull / n) > 0.5 && Math.sqrt(hull / n) < 4, "degrees " + Math.sqrt(hull / n));
    }

    /** The water's strain is the gradient of how its particles move: here by differences, from the elevation's own waves. */
    @Test
    void strainIsTheGradientOfTheElevationsMotion() {
        var swell = sunward.protocol.schema.Waves.newBuilder()
                .setPeakPeriodS(6)
                .setSignificantHeightM(1)
                .build();
        double[] strain = new double[5];
        for (long seed = 1; seed <= 5; seed++) {
            Waves waves = new Waves(swell, 5, seed);
            for (double t = 0; t < 20; t += 3.1) {
                // Far down nothing moves: there, what stands above a point beyond its pressure is the elevation.
                waves.strain(t, 0, 1e-6, strain);
                double h = 1e-3;
                double north = (waves.waterAboveM(t, h, 0, 1e4, 0) - waves.waterAboveM(t, -h, 0, 1e4, 0)) / (2 * h);
                double east = (waves.waterAboveM(t, 0, h, 1e4, 0) - waves.waterAboveM(t, 0, -h, 1e4, 0)) / (2 * h);
                // A hanging line leans by as much as the surface slopes, the other way.
                assertEquals(-north, strain[0], 1e-5, "seed " + seed);
                assertEquals(-east, strain[1], 1e-5, "seed " + seed);
                // Water keeps its volume: what is squeezed sideways is stretched upwards, by minus d(elevation)/dz = -k
                // a.
                double stretched = (waves.waterAboveM(t, 0, 0, 2e-4, 0) - waves.waterAboveM(t, 0, 0, 0, 0)) / 2e-4;
                assertEquals(-stretched, strain[2] + strain[4], 1e-3, "seed " + seed);
            }
        }
    }

    @Test
    void wavesTurnTheArmsToAndFroAndNotRound() {
        Motion follows = STILL.toBuilder().setWaveResponse(1).build();
        var swell = sunward.protocol.schema.Waves.newBuilder()
                .setPeakPeriodS(5)
                .setSignificantHeightM(0.6)
                .build();
        FloatMotion motion = new FloatMotion(PLAN, follows, new Waves(swell, 5, 2), 2, dbar -> dbar);
        Pose pose = new Pose();
        double mean = 0;
        double square = 0;
        int n = 0;
        for (double t = -30; t < 0; t += 0.1) {
            motion.at(t, pose);
            double off = Math.IEEEremainder(pose.headingDeg() - 90, 360);
            mean += off;
            square += off * off;
            n++;
        }
        assertTrue(Math.abs(mean / n) < 0.3, "mean " + mean / n + ", seed 2");
        assertTrue(Math.sqrt(square / n) > 0.1 && Math.sqrt(square / n) < 5, "rms " + Math.sqrt(square / n));
    }

    /** Speed after a stroke is 1 + s/2 over 1 - s/2 of that before it, and strokes come at their distance. */
    @Test
    void thePumpsStrokesMakeTheSpeedSwingAroundThePlans() {
        Motion scene =
                STILL.toBuilder().setSpeedSwingPercent(40).setStrokeEveryM(10).build();
        for (long seed = 1; seed <= 3; seed++) {
            FloatMotion swinging = motion(PLAN, scene, seed);
            FloatMotion plain = motion(PLAN, STILL, seed);
            assertEquals(plain.durationS(), swinging.durationS(), 0, "the same time on the whole");
            assertEquals(plain.depthM(0), swinging.depthM(0), 1e-12);
            assertEquals(plain.depthM(-plain.durationS()), swinging.depthM(-plain.durationS()), 1e-9);
            double fastest = 0;
            double slowest = 1;
            int strokes = 0;
            double before = 0;
            for (double t = -2500; t < -1000; t += 0.5) {
                double speed = (swinging.depthM(t) - swinging.depthM(t + 0.5)) / 0.5;
                assertTrue(speed > 0, "rises at any time");
                fastest = Math.max(fastest, speed);
                slowest = Math.min(slowest, speed);
                strokes += before > 0 && before < 0.1 && speed >= 0.1 ? 1 : 0;
                before = speed;
            }
            assertEquals(1.2 / 0.8, fastest / slowest, 0.02, "seed " + seed);
            assertEquals(15, strokes, 1, "150 m of the fast rise, seed " + seed);
        }
    }

    /** Each effect of the motion moves its own numbers only. */
    @Test
    void whatIsSwitchedOffChangesNothingElse() {
        Motion scene = PlanReader.defaults().getScene().getMotion();
        var sea = PlanReader.defaults().getScene().getWaves();
        Waves waves = new Waves(sea, 5, 3);
        FloatMotion all = new FloatMotion(PLAN, scene, waves, 3, dbar -> dbar);
        Pose one = new Pose();
        Pose other = new Pose();
        FloatMotion noStrokes =
                new FloatMotion(PLAN, scene.toBuilder().setSpeedSwingPercent(0).build(), LEVEL, 3, dbar -> dbar);
        FloatMotion level = new FloatMotion(PLAN, scene, LEVEL, 3, dbar -> dbar);
        FloatMotion stiff =
                new FloatMotion(PLAN, scene.toBuilder().setWaveResponse(0).build(), waves, 3, dbar -> dbar);
        for (double t = -2500; t < 0; t += 17.3) {
            level.at(t, one);
            stiff.at(t, other);
            assertEquals(one.depthM, other.depthM);
            assertEquals(one.pitchDeg(), other.pitchDeg(), "no waves, or none that move the hull");
            assertEquals(one.headingDeg(), other.headingDeg());
            noStrokes.at(t, other);
            assertEquals(one.pitchDeg(), other.pitchDeg(), "strokes leave the attitude alone");
            assertEquals(one.headingDeg(), other.headingDeg());
            all.at(t, other);
            assertEquals(one.depthM, other.depthM, "waves leave the rest depth alone");
        }
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
