package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.function.Consumer;
import org.junit.jupiter.api.Test;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Probes;
import sunward.protocol.schema.Scene;

class WaterSensorsTest {
    private static final Scene SCENE = PlanReader.defaults().getScene();
    private static final Cast CAST = Cast.of("1");
    private static final SunPosition NOON = new SunPosition(34, 180, 0.98);
    private static final Water WATER = Water.published(SCENE.getWater(), CAST, 11);
    private static final Daylight DAYLIGHT = new Daylight(LightField.published(SCENE, NOON, CAST));

    /** Rising at 0.1 m/s through the thermocline. */
    private static double pressureDbar(double timeS) {
        return 120 - 0.1 * timeS;
    }

    private static WaterSensors sensors(Consumer<Probes.Builder> change) {
        Probes.Builder scene = SCENE.getProbes().toBuilder();
        change.accept(scene);
        return new WaterSensors(scene.build(), WATER, CAST, DAYLIGHT, WaterSensorsTest::pressureDbar, 7);
    }

    private static WaterSensors exact(Consumer<Probes.Builder> change) {
        return sensors(scene -> change.accept(scene.clear()));
    }

    /** Practical salinity: the three check values of Fofonoff and Millard (1983, UNESCO 44), there and back. */
    @Test
    void practicalSalinityHasItsPublishedCheckValues() {
        double[][] published = {{1, 15, 0, 35}, {1.2, 20, 2000, 37.245628}, {0.65, 5, 1500, 27.995347}};
        for (double[] row : published) {
            assertEquals(row[3], Conductivity.salinity(row[0], row[1], row[2]), 5e-7);
            assertEquals(row[0], Conductivity.ratio(row[3], row[1], row[2]), 3e-8);
        }
    }

    /** A sensor of first order behind a ramp is late by its time constant; a step it forgets as exp(-age / constant). */
    @Test
    void aLaggingSensorIsLateByItsTimeConstant() {
        assertEquals(3 * (10 - 4), Laguerre.lagging(t -> 3 * t, 10, 4), 1e-6);
        // By hand: the mean of t^2 is (10 - 4)^2 + 4^2.
        assertEquals(52, Laguerre.lagging(t -> t * t, 10, 4), 1e-5);
        assertEquals(100, Laguerre.lagging(t -> t * t, 10, 0));
        // By hand: sin(w t) becomes its own, weakened by 1 / sqrt(1 + (w tau)^2) and late by atan(w tau) / w.
        double w = 0.2;
        double expected = Math.sin(w * 10 - Math.atan(w * 4)) / Math.hypot(1, w * 4);
        assertEquals(expected, Laguerre.lagging(t -> Math.sin(w * t), 10, 4), 0.01);
    }

    /** The thermometer is late on the way up; salinity spikes by about what conductivity's warming makes of that. */
    @Test
    void aLaggingThermometerSpikesTheSalinity() {
        WaterSensors late = exact(scene -> scene.setTemperatureLagS(5));
        WaterSensors prompt = exact(scene -> {});
        double largest = 0;
        for (double t = 0; t < 900; t += 10) {
            double behind = (late.temperatureMdegC(t) - prompt.temperatureMdegC(t)) / 1e3;
            double delayed = (prompt.temperatureMdegC(t - 5) - prompt.temperatureMdegC(t)) / 1e3;
            assertEquals(delayed, behind, 0.02, "at " + pressureDbar(t) + " dbar");
            double spike = (late.salinityMpsu(t) - prompt.salinityMpsu(t)) / 1e3;
            // Conductivity of seawater grows by about 2 % a degree near 20 degC, salinity by as much (handbook
            // knowledge).
            assertEquals(-0.8 * behind, spike, 0.15 * Math.abs(behind) + 0.0015);
            largest = Math.max(largest, Math.abs(spike));
        }
        assertTrue(largest > 0.02, "the thermocline shows: " + largest);
    }

    /**
     * By day the surface's fluorescence is a small part of what it was, the deep maximum's is whole. Published reductions
     * at the surface by day reach 80 to 90 % (Xing et al. 2018; from memory), at half their light half of the loss.
     */
    @Test
    void daylightQuenchesTheSurfaceAndNotTheDeepMaximum() {
        WaterSensors quenched = exact(scene -> scene.setQuenchingPercent(90.8));
        WaterSensors plain = exact(scene -> {});
        double surface = ratio(quenched, plain, 1, 1);
        assertTrue(surface > 0.09 && surface < 0.2, "left at 1 m: " + surface);
        assertEquals(1, ratio(quenched, plain, 110, 1), 0.02);
        assertEquals(1, ratio(quenched, plain, 1, 0), 0.01, "by night");
        double half = 0;
        while (DAYLIGHT.micromolPerM2S(half) > 261) {
            half += 0.1;
        }
        assertEquals(1 - 0.908 / 2, ratio(quenched, plain, half, 1), 0.02);
        double last = 0;
        for (double depth = 1; depth < 100; depth += 5) {
            double left = ratio(quenched, plain, depth, 1);
            assertTrue(left >= last - 0.02, "less light, less loss: " + depth);
            last = left;
        }
    }

    private static double ratio(WaterSensors quenched, WaterSensors plain, double depth, double brightness) {
        return quenched.chlorophyllUgPerM3(depth, 5, brightness)
                / (double) plain.chlorophyllUgPerM3(depth, 5, brightness);
    }

    /** Each effect of each sensor moves its own numbers and nobody else's. */
    @Test
    void whatIsSwitchedOffChangesNothingElse() {
        int[] all = readings(slow(scene -> {}));
        assertOnly(all, readings(slow(scene -> scene.setTemperatureNoiseDegc(0))), 0);
        assertOnly(all, readings(slow(scene -> scene.setSalinityNoise(0))), 1);
        assertOnly(all, readings(slow(scene -> scene.setTemperatureLagS(0))), 0, 1);
        assertOnly(all, readings(slow(scene -> scene.setChlorophyllNoiseMgPerM3(0))), 2);
        assertOnly(all, readings(slow(scene -> scene.setQuenchingPercent(0))), 2);
        assertOnly(all, readings(slow(scene -> scene.setBackscatterNoisePerM(0))), 3);
        assertOnly(all, readings(slow(scene -> scene.setOpticalNoisePercent(0))), 2, 3);
    }

    private static WaterSensors slow(Consumer<Probes.Builder> change) {
        return sensors(scene -> change.accept(scene.setTemperatureLagS(20)
                .setTemperatureNoiseDegc(0.05)
                .setSalinityNoise(0.05)
                .setOpticalNoisePercent(30)
                .setBackscatterNoisePerM(5e-4)));
    }

    private static int[] readings(WaterSensors sensors) {
        double t = 250;
        return new int[] {
            sensors.temperatureMdegC(t),
            sensors.salinityMpsu(t),
            sensors.chlorophyllUgPerM3(30, t, 1),
            sensors.backscatterE6PerM(30, t)
        };
    }

    private static void assertOnly(int[] all, int[] found, int... changed) {
        for (int i = 0; i < all.length; i++) {
            int column = i;
            if (java.util.Arrays.stream(changed).anyMatch(c -> c == column)) {
                assertNotEquals(all[i], found[i], "column " + i);
            } else {
                assertEquals(all[i], found[i], "column " + i);
            }
        }
    }

    /** Noise has the scene's size. */
    @Test
    void noiseHasItsSize() {
        WaterSensors noisy = sensors(scene -> scene.setQuenchingPercent(0).setTemperatureLagS(0));
        WaterSensors plain = exact(scene -> {});
        double[] square = new double[4];
        int n = 2000;
        for (int i = 0; i < n; i++) {
            double t = 0.4 * i;
            square[0] += Math.pow(noisy.temperatureMdegC(t) - plain.temperatureMdegC(t), 2) / n;
            square[1] += Math.pow(noisy.salinityMpsu(t) - plain.salinityMpsu(t), 2) / n;
            square[2] += Math.pow(noisy.chlorophyllUgPerM3(0, t, 1) - plain.chlorophyllUgPerM3(0, t, 1), 2) / n;
            square[3] += Math.pow(noisy.backscatterE6PerM(0, t) - plain.backscatterE6PerM(0, t), 2) / n;
        }
        double chlorophyll = Math.hypot(6, 0.02 * plain.chlorophyllUgPerM3(0, 0, 1));
        double backscatter = Math.hypot(8, 0.02 * plain.backscatterE6PerM(0, 0));
        double[] expected = {2, 3, chlorophyll, backscatter};
        for (int i = 0; i < 4; i++) {
            assertEquals(expected[i], Math.sqrt(square[i]), 0.08 * expected[i] + 0.1, "column " + i);
        }
    }

    /**
     * By hand: full sun above the sea gives about 2000 micromol per m2 and s, which is common knowledge; of 1 W/m2 at 550 nm
     * there are 4.6 micromol.
     */
    @Test
    void daylightHasItsUsualSize() {
        double below = DAYLIGHT.micromolPerM2S(0);
        assertTrue(below > 1400 && below < 2100, "micromol " + below);
        assertEquals(0.01 * below, DAYLIGHT.micromolPerM2S(DAYLIGHT.depthOfShareM(0.01)), 1e-4 * below);
        Scene.Builder green = SCENE.toBuilder();
        green.getWaterBuilder().setSurfaceChlorophyllMgPerM3(100).setDissolvedShare(10);
        Daylight dark = new Daylight(LightField.published(green.build(), NOON, CAST));
        assertEquals(0, dark.micromolPerM2S(290), 1e-9, "nothing is left, and nothing is not a number");
        assertTrue(DAYLIGHT.depthOfShareM(0.1) < DAYLIGHT.depthOfShareM(0.01));
    }
}
