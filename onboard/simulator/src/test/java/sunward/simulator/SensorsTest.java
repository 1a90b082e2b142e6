package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import sunward.firmware.RawScan;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Compass;
import sunward.protocol.schema.Pressure;
import sunward.protocol.schema.Scene;

class SensorsTest {
    private static final Scene SCENE = PlanReader.defaults().getScene();

    @Test
    void pressureReadsTheSeaTheAirAndItsOwnOffset() {
        Pressure quiet = SCENE.getPressure().toBuilder().setNoiseDbar(0).build();
        PressureSensor sensor = new PressureSensor(quiet, 1023.25, 1);
        // 10 hPa above the standard atmosphere is 0.1 dbar; the offset is 0.05 dbar.
        assertEquals(100_000 + 1500, sensor.readE4Dbar(10, 5));
        assertEquals(1500, sensor.tareAfterE4Dbar(5));
        // The resolution of 0.0002 dbar leaves even numbers only.
        for (int i = 0; i < 100; i++) {
            assertEquals(0, sensor.readE4Dbar(10 + i * 0.00013, i) % 2);
        }
    }

    @Test
    void noiseAndWeatherHaveTheirSizes() {
        double noise = 0;
        double weather = 0;
        int n = 2000;
        for (int seed = 0; seed < n; seed++) {
            PressureSensor sensor = new PressureSensor(SCENE.getPressure(), 1010, seed);
            double after = SCENE.getPressure().getOffsetDbar() - 0.0325;
            noise += Math.pow(sensor.tareAfterE4Dbar(3) / 1e4 - after, 2) / n;
            weather += Math.pow(sensor.tareBeforeE4Dbar(4) / 1e4 - after, 2) / n;
        }
        assertEquals(0.002, Math.sqrt(noise), 0.002 * 4 / Math.sqrt(2.0 * n), "seeds 0 to 1999");
        assertEquals(0.04, Math.sqrt(weather), 0.04 * 4 / Math.sqrt(2.0 * n) + 1e-4, "seeds 0 to 1999");
    }

    @Test
    void headingIsMagneticAndItsErrorHasTheScenesSize() {
        Pose pose = new Pose();
        RawScan scan = new RawScan(1);
        AttitudeSensors exact = new AttitudeSensors(Compass.getDefaultInstance(), -7, 30, 1, 1);
        pose.turn(100, 2, -3);
        exact.read(pose, 1, scan);
        assertEquals(107, scan.headingCdeg / 100.0, 1.5, "declination 7 degrees west, reading noise 0.3");
        assertEquals(2, scan.pitchCdeg[1] / 100.0, 0.25);
        assertEquals(-3, scan.rollCdeg[0] / 100.0, 0.25);
        double square = 0;
        int n = 0;
        for (int seed = 0; seed < 500; seed++) {
            AttitudeSensors sensors = new AttitudeSensors(SCENE.getCompass(), 0, 30, 1, seed);
            for (int heading = 5; heading < 360; heading += 30) {
                pose.turn(heading, 0, 0);
                sensors.read(pose, heading, scan);
                square += Math.pow(Math.IEEEremainder(scan.headingCdeg / 100.0 - heading, 360), 2);
                n++;
                assertTrue(scan.headingCdeg >= 0 && scan.headingCdeg < 36_000);
            }
        }
        assertEquals(3, Math.sqrt(square / n), 0.15, "seeds 0 to 499");
    }

    @Test
    void waveFlickerHasItsSizeFadesWithDepthAndIsSeenAlikeByNeighbours() {
        double square = 0;
        double near = 0;
        double far = 0;
        double longExposure = 0;
        int n = 0;
        for (int seed = 0; seed < 60; seed++) {
            Waves waves = new Waves(SCENE.getWaves(), 5, seed);
            for (double t = 0; t < 100; t += 1.7) {
                double here = waves.flicker(t, 0, 0, 3, 0.01);
                square += here * here;
                near += here * waves.flicker(t, 0.02, 0, 3, 0.01);
                far += here * waves.flicker(t, 300, 200, 3, 0.01);
                longExposure += Math.pow(waves.flicker(t, 0, 0, 3, 2), 2);
                n++;
            }
        }
        assertEquals(1, square / n, 0.1, "seeds 0 to 59");
        assertEquals(1, near / n, 0.1, "2 cm apart, seeds 0 to 59");
        assertEquals(0, far / n, 0.1, "360 m apart, seeds 0 to 59");
        assertTrue(longExposure / n < 0.6, "two seconds average the short waves: " + longExposure / n);
        Waves waves = new Waves(SCENE.getWaves(), 5, 1);
        assertEquals(0.025, waves.radianceSd(0), 1e-12);
        assertEquals(0.025 / Math.E, waves.radianceSd(6), 1e-12);
    }
}
