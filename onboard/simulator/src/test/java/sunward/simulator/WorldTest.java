package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.List;
import java.util.function.Consumer;
import org.junit.jupiter.api.Test;
import sunward.firmware.RawScan;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.LightModel;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.PlanFile;
import sunward.protocol.schema.PureWaterTable;
import sunward.protocol.schema.Scene;

class WorldTest {
    private static final PlanFile FILE = PlanReader.defaults();
    private static final Plan THIN = FILE.getPlan().toBuilder()
            .addAllFlyWavelengthsNm(List.of(412.0, 443.0, 490.0, 555.0, 670.0))
            .build();

    private static World world(Plan plan, long seed, Consumer<Scene.Builder> change) {
        Scene.Builder scene = FILE.getScene().toBuilder();
        change.accept(scene);
        return new World(plan, FILE.getCalibration(), scene.build(), Seeds.all(seed));
    }

    /** A scan of a head, hull upright at 3 m, its x axis pointing a way. */
    private static RawScan scan(World world, int head, double headingDeg, boolean dark) {
        Pose pose = new Pose();
        pose.depthM = 3;
        pose.turn(headingDeg, 0, 0);
        RawScan scan = new RawScan(720);
        scan.shutterClosed = dark;
        world.heads[head].read(pose, world.sun(-100), -100, 0.128, 28, 1, scan);
        return scan;
    }

    private static double light(World world, int head, double headingDeg, int k) {
        double dark = scan(world, head, headingDeg, true).counts[k];
        return scan(world, head, headingDeg, false).counts[k] - dark;
    }

    private static void quiet(Scene.Builder scene) {
        scene.getInstrumentBuilder().setNoise(false).setCalibrationErrorScale(0).setHullShading(false);
        scene.getWavesBuilder().setRadianceSdPercent(0).setSignificantHeightM(0);
    }

    @Test
    void aQuietHeadCountsWhatResponsivityAndRadianceGive() {
        World world = world(THIN, 1, WorldTest::quiet);
        Truth truth = world.truth(List.of());
        int z = 0;
        while (truth.depthM()[z] < 3) {
            z++;
        }
        // 555 nm: 1.9e7 counts per second and unit in air, immersed by 1.735 (index 1.3385 at 28.9 degC, window 1.459).
        double expected = truth.lu()[z][3] * 1.9e7 / 1.7345 * 0.128;
        assertEquals(expected, light(world, 0, 0, 3), 0.01 * expected);
    }

    @Test
    void theHeadBehindTheHullIsDarkerByThePredictedLoss() {
        World clear = world(THIN, 1, WorldTest::quiet);
        World shaded = world(THIN, 1, scene -> {
            quiet(scene);
            scene.getInstrumentBuilder().setHullShading(true);
        });
        // The sun stands in the south: with the bow north, head A is behind the hull and head B before it.
        double south = shaded.sun(-100).azimuthDeg();
        double lost = 1 - light(shaded, 0, south + 180, 3) / light(clear, 0, south + 180, 3);
        double kept = 1 - light(shaded, 1, south + 180, 3) / light(clear, 1, south + 180, 3);
        Pose pose = new Pose();
        pose.depthM = 3;
        pose.turn(south + 180, 0, 0);
        double[] told = shaded.lossPercent555(pose, shaded.sun(-100));
        assertEquals(told[0] / 100, lost, 0.003);
        assertEquals(told[1] / 100, kept, 0.003);
        assertTrue(lost > 0.03 && kept < 0.006, lost + " and " + kept);
    }

    @Test
    void switchingOneEffectNeverChangesAnothersNumbers() {
        RawScan usual = scan(world(THIN, 4, scene -> {}), 0, 200, true);
        // Darks know nothing of waves, shading, water or link.
        RawScan other = scan(
                world(THIN, 4, scene -> {
                    scene.getWavesBuilder().setRadianceSdPercent(0);
                    scene.getInstrumentBuilder().setHullShading(false);
                    scene.getWaterBuilder().setRaman(false);
                    scene.getLinkBuilder().setLossPercent(50);
                }),
                0,
                200,
                true);
        assertArrayEquals(usual.counts, other.counts);
        // The flicker is the same factor with noise on and off.
        Consumer<Scene.Builder> calm = scene -> {
            scene.getInstrumentBuilder().setNoise(false);
            scene.getWavesBuilder().setRadianceSdPercent(0);
        };
        Consumer<Scene.Builder> wavy = scene -> scene.getInstrumentBuilder().setNoise(false);
        double still = light(world(THIN, 4, calm), 0, 200, 3);
        double moved = light(world(THIN, 4, wavy), 0, 200, 3);
        double unshaded =
                light(world(THIN, 4, wavy.andThen(s -> s.getInstrumentBuilder().setHullShading(false))), 0, 200, 3);
        double stillUnshaded =
                light(world(THIN, 4, calm.andThen(s -> s.getInstrumentBuilder().setHullShading(false))), 0, 200, 3);
        assertNotEquals(still, moved);
        // Each of the four is rounded to whole counts of some 2000.
        assertEquals(moved / still, unshaded / stillUnshaded, 1e-3);
    }

    private static RawScan[] readings(Consumer<Scene.Builder> change) {
        World world = world(THIN, 6, change);
        return new RawScan[] {scan(world, 0, 40, false), scan(world, 1, 220, false), scan(world, 0, 200, true)};
    }

    /** Off is off: what a switched-off effect would have done leaves no trace, to the last bit. */
    @Test
    void switchedOffEffectsLeaveNoTrace() {
        RawScan[] usual = readings(scene -> {});
        List<Consumer<Scene.Builder>> harmless = List.of(
                scene -> scene.getCloudBuilder().setOpticalThickness(50).setPassageS(20),
                scene -> scene.getWavesBuilder().setIrradianceSdPercent(0).setIrradianceDecayM(3));
        for (Consumer<Scene.Builder> change : harmless) {
            RawScan[] other = readings(change);
            for (int i = 0; i < usual.length; i++) {
                assertArrayEquals(usual[i].counts, other[i].counts);
            }
        }
    }

    /** Addressed randomness: clouds, elevation and weather, switched, leave each other's numbers and the darks alone. */
    @Test
    void seaAndSkyEffectsKeepToThemselves() {
        RawScan dark = readings(scene -> {})[2];
        List<Consumer<Scene.Builder>> changes = List.of(
                scene -> scene.getCloudBuilder().setCoverPercent(60),
                scene -> scene.getWavesBuilder().setSignificantHeightM(0),
                scene -> scene.getAtmosphereBuilder().setOzoneSdDu(0).setVisibilitySdPercent(0),
                scene -> scene.getWaterBuilder().setPureWaterTable(PureWaterTable.SMITH_BAKER_1981),
                scene -> scene.getWaterBuilder().setLightModel(LightModel.THREE_STREAMS));
        for (Consumer<Scene.Builder> change : changes) {
            RawScan[] other = readings(change);
            assertArrayEquals(dark.counts, other[2].counts);
            assertTrue(!Arrays.equals(readings(scene -> {})[0].counts, other[0].counts), "it does something");
        }
        // Clouds dim by the same factor whether the sea is level or not.
        Consumer<Scene.Builder> level = scene -> {
            scene.getInstrumentBuilder().setNoise(false).setHullShading(false);
            scene.getWavesBuilder().setRadianceSdPercent(0).setSignificantHeightM(0);
        };
        Consumer<Scene.Builder> lifted =
                level.andThen(scene -> scene.getWavesBuilder().setSignificantHeightM(2));
        Consumer<Scene.Builder> overcast = scene -> scene.getCloudBuilder().setCoverPercent(100);
        double clearLevel = light(world(THIN, 6, level), 0, 200, 3);
        double clearLifted = light(world(THIN, 6, lifted), 0, 200, 3);
        double cloudLevel = light(world(THIN, 6, level.andThen(overcast)), 0, 200, 3);
        double cloudLifted = light(world(THIN, 6, lifted.andThen(overcast)), 0, 200, 3);
        assertNotEquals(clearLevel, clearLifted);
        assertEquals(cloudLevel / clearLevel, cloudLifted / clearLifted, 3e-3);
        assertEquals(0.5, cloudLevel / clearLevel, 0.15);
    }

    /** What shore is to find is the light under the cloud of the surfacing; the float reads the same light. */
    @Test
    void truthIsUnderTheSameCloud() {
        World clear = world(THIN, 1, WorldTest::quiet);
        World overcast = world(THIN, 1, scene -> {
            quiet(scene);
            scene.getCloudBuilder().setCoverPercent(100);
        });
        Truth under = overcast.truth(List.of());
        Truth open = clear.truth(List.of());
        double dimmed = under.lw()[3] / open.lw()[3];
        assertEquals(dimmed, under.es()[3] / open.es()[3], 1e-12);
        assertEquals(dimmed, light(overcast, 0, 0, 3) / light(clear, 0, 0, 3), 2e-3);
    }

    /** The more of the light comes straight from the sun, the more it flickers: the red more than the blue. */
    @Test
    void flickerGrowsTowardsTheRed() {
        Consumer<Scene.Builder> still = scene -> {
            quiet(scene);
            scene.getCloudBuilder().setCoverPercent(0);
        };
        World calm = world(THIN, 3, still);
        World wavy = world(THIN, 3, still.andThen(s -> s.getWavesBuilder().setRadianceSdPercent(40)));
        double blue = Math.log(light(wavy, 0, 0, 0) / light(calm, 0, 0, 0));
        double green = Math.log(light(wavy, 0, 0, 3) / light(calm, 0, 0, 3));
        assertTrue(Math.abs(green) > 1.02 * Math.abs(blue), blue + " and " + green);
    }

    @Test
    void aThinnedFlightReadsWhatTheFullOneReads() {
        World thin = world(THIN, 2, scene -> {});
        World full = world(FILE.getPlan(), 2, scene -> {});
        RawScan few = scan(thin, 1, 300, false);
        RawScan all = scan(full, 1, 300, false);
        int[] channel = Arrays.stream(new double[] {412, 443, 490, 555, 670})
                .mapToInt(nm -> (int) Math.floor((nm - 320) / 0.75 + 0.5))
                .toArray();
        for (int k = 0; k < channel.length; k++) {
            assertEquals(all.counts[channel[k]], few.counts[k], "channel " + channel[k]);
        }
        double[] lw = full.truth(List.of()).lw();
        assertArrayEquals(
                Arrays.stream(channel).mapToDouble(c -> lw[c]).toArray(),
                thin.truth(List.of()).lw());
    }

    @Test
    void lightFollowsTheSunsWay() {
        World noon = world(THIN, 1, WorldTest::quiet);
        World morning = world(THIN, 1, scene -> {
            quiet(scene);
            scene.setSurfacingUtc("2026-12-14T23:00:00Z");
        });
        Pose pose = new Pose();
        pose.depthM = 3;
        double[] change = new double[2];
        for (int i = 0; i < 2; i++) {
            World world = i == 0 ? noon : morning;
            double[] counts = new double[2];
            for (int when = 0; when < 2; when++) {
                RawScan scan = new RawScan(5);
                double timeS = when == 0 ? -1800 : 0;
                world.heads[0].read(pose, world.sun(timeS), timeS, 0.128, 28, 1, scan);
                counts[when] = scan.counts[3] - 900.0;
            }
            change[i] = counts[1] / counts[0];
        }
        // Near noon the cosine of the zenith angle changes by less than 1 % in half an hour; in the morning by a
        // quarter.
        assertEquals(1, change[0], 0.02);
        assertTrue(change[1] > 1.15 && change[1] < 1.4, "morning " + change[1]);
    }

    /** A head as cold as another whose water is cold sees as that one does: wavelengths follow the head's temperature. */
    @Test
    void wavelengthsFollowTheHeadsTemperature() {
        double perDegC = 0.02;
        World moving = world(THIN, 1, scene -> {
            quiet(scene);
            scene.getInstrumentBuilder().setWavelengthNmPerDegc(perDegC);
        });
        World still = world(THIN, 1, scene -> {
            quiet(scene);
            scene.getInstrumentBuilder().setWavelengthNmPerDegc(0);
        });
        Pose pose = new Pose();
        pose.depthM = 3;
        RawScan one = new RawScan(5);
        RawScan other = new RawScan(5);
        // At the reference temperature of 20 degC nothing has moved, though the water at the surface is warmer.
        moving.heads[0].read(pose, moving.sun(-100), -100, 0.128, 20, 1, one);
        still.heads[0].read(pose, still.sun(-100), -100, 0.128, 20, 1, other);
        for (int k = 0; k < 5; k++) {
            assertEquals(other.counts[k], one.counts[k], 2 + 2e-4 * other.counts[k], "channel " + k);
        }
        // Far from it the channels on a slope of the spectrum have.
        moving.heads[0].read(pose, moving.sun(-100), -100, 0.128, 5, 1, one);
        still.heads[0].read(pose, still.sun(-100), -100, 0.128, 5, 1, other);
        double most = 0;
        for (int k = 0; k < 5; k++) {
            most = Math.max(most, Math.abs(one.counts[k] / (double) other.counts[k] - 1));
        }
        assertTrue(most > 0.001 && most < 0.1, "0.3 nm change the light by " + most);
    }

    @Test
    void threeArmsAndAnIrradianceHeadAreSeenToo() {
        PlanFile file = PlanReader.read(PlanReader.examples().get("three-arms"), "three-arms");
        Scene.Builder scene = file.getScene().toBuilder();
        quiet(scene);
        scene.getWavesBuilder().setIrradianceSdPercent(0);
        World world = new World(file.getPlan(), file.getCalibration(), scene.build(), Seeds.all(1));
        assertEquals(4, world.heads.length);
        Pose pose = new Pose();
        pose.depthM = 3;
        double[] loss = world.lossPercent555(pose, world.sun(0));
        assertTrue(Double.isNaN(loss[3]), "an irradiance head has no loss");
        RawScan scan = new RawScan(512);
        pose.turn(0, 0, 0);
        world.heads[3].read(pose, world.sun(0), 0, 0.004, 28, 1, scan);
        assertTrue(scan.counts[200] > 2000, "irradiance counts " + (int) scan.counts[200]);
    }
}
