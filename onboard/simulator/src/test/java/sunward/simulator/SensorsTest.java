package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import sunward.firmware.RawScan;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Clock;
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

    /** Weather and the gauge's own drift move the tare before the dive, each by its own draw; the readings stay. */
    @Test
    void weatherAndDriftOfTheGaugeAreApart() {
        Pressure still = SCENE.getPressure().toBuilder()
                .setNoiseDbar(0)
                .setWeatherHpa(0)
                .setDriftDbar(0)
                .build();
        Pressure weather = still.toBuilder().setWeatherHpa(4).build();
        Pressure drift = still.toBuilder().setDriftDbar(0.02).build();
        Pressure both = weather.toBuilder().setDriftDbar(0.02).build();
        double weatherSquare = 0;
        double driftSquare = 0;
        double product = 0;
        int n = 2000;
        for (int seed = 0; seed < n; seed++) {
            double none = before(still, seed);
            assertEquals(500 - 325, none, 1, "offset 0.05 dbar, air 3.25 hPa below the standard");
            double byWeather = before(weather, seed) - none;
            double byDrift = before(drift, seed) - none;
            assertEquals(byWeather + byDrift, before(both, seed) - none, 2.1, "resolution of 2e-4 dbar");
            weatherSquare += byWeather * byWeather / n;
            driftSquare += byDrift * byDrift / n;
            product += byWeather * byDrift / n;
            PressureSensor sensor = new PressureSensor(both, 1010, seed);
            assertEquals(
                    new PressureSensor(still, 1010, seed).readE4Dbar(30, 7),
                    sensor.readE4Dbar(30, 7),
                    "the dive's own");
            assertEquals(new PressureSensor(still, 1010, seed).tareAfterE4Dbar(9), sensor.tareAfterE4Dbar(9));
        }
        double allowed = 4 / Math.sqrt(2.0 * n);
        assertEquals(400, Math.sqrt(weatherSquare), 400 * allowed, "4 hPa is 0.04 dbar, seeds 0 to 1999");
        assertEquals(200, Math.sqrt(driftSquare), 200 * allowed, "seeds 0 to 1999");
        assertEquals(0, product / (400 * 200), 4 / Math.sqrt(n), "two draws, seeds 0 to 1999");
    }

    private static double before(Pressure scene, long seed) {
        return new PressureSensor(scene, 1010, seed).tareBeforeE4Dbar(3);
    }

    /** Soft iron deviates twice round with the heading, by its amplitude, and leaves every other number alone. */
    @Test
    void softIronGoesTwiceRound() {
        Compass plain = SCENE.getCompass().toBuilder().setSoftIronDeg(0).build();
        Compass soft = plain.toBuilder().setSoftIronDeg(8).build();
        for (long seed = 1; seed <= 5; seed++) {
            AttitudeSensors without = new AttitudeSensors(plain, 3, 30, 1, seed);
            AttitudeSensors with = new AttitudeSensors(soft, 3, 30, 1, seed);
            double cosine = 0;
            double sine = 0;
            for (int heading = 0; heading < 360; heading += 5) {
                Pose pose = new Pose();
                pose.turn(heading, 1, -2);
                RawScan a = new RawScan(1);
                RawScan b = new RawScan(1);
                without.read(pose, heading, a);
                with.read(pose, heading, b);
                double deviation = Math.IEEEremainder((b.headingCdeg - a.headingCdeg) / 100.0, 360);
                cosine += deviation * Math.cos(2 * Math.toRadians(heading)) / 36;
                sine += deviation * Math.sin(2 * Math.toRadians(heading)) / 36;
                assertEquals(a.fieldDipCdeg, b.fieldDipCdeg);
                assertArrayEquals(a.pitchCdeg, b.pitchCdeg);
                assertArrayEquals(a.rollCdeg, b.rollCdeg);
            }
            assertEquals(8, Math.hypot(cosine, sine), 0.01, "instrument seed " + seed);
        }
    }

    /** Each noise of the attitude sensors is its own: without it the others give the very same numbers. */
    @Test
    void noisesOfTheAttitudeAreApart() {
        Compass all = SCENE.getCompass();
        RawScan with = attitude(all);
        RawScan heading = attitude(all.toBuilder().setHeadingNoiseDeg(0).build());
        assertEquals(with.fieldDipCdeg, heading.fieldDipCdeg);
        assertArrayEquals(with.pitchCdeg, heading.pitchCdeg);
        assertNotEquals(with.headingCdeg, heading.headingCdeg);
        RawScan dip = attitude(all.toBuilder().setDipNoiseDeg(0).build());
        assertEquals(with.headingCdeg, dip.headingCdeg);
        assertArrayEquals(with.rollCdeg, dip.rollCdeg);
        assertNotEquals(with.fieldDipCdeg, dip.fieldDipCdeg);
        RawScan tilt =
                attitude(all.toBuilder().setTiltNoiseDeg(0).setTiltBiasDeg(0).build());
        assertEquals(with.headingCdeg, tilt.headingCdeg);
        assertEquals(with.fieldDipCdeg, tilt.fieldDipCdeg);
        assertEquals(200, tilt.pitchCdeg[0]);
        assertEquals(-300, tilt.rollCdeg[1]);
    }

    private static RawScan attitude(Compass scene) {
        Pose pose = new Pose();
        pose.turn(100, 2, -3);
        RawScan scan = new RawScan(1);
        new AttitudeSensors(scene, -7, 30, 1, 1).read(pose, 5, scan);
        return scan;
    }

    /** A clock that gains runs ahead by so much a day until a fix sets it; off, it is right at any time. */
    @Test
    void theClockGainsUntilAFixSetsIt() {
        double square = 0;
        int n = 1000;
        for (int seed = 0; seed < n; seed++) {
            FloatClock clock =
                    new FloatClock(Clock.newBuilder().setDriftSPerDay(2).build(), seed);
            clock.set(1_000_000);
            double gained = clock.at(1_000_000 + 43_200_000) - 44_200_000;
            square += gained * gained / n;
            clock.set(44_200_000);
            assertEquals(44_200_000, clock.at(44_200_000));
            FloatClock right = new FloatClock(Clock.getDefaultInstance(), seed);
            assertEquals(44_200_000, right.at(44_200_000));
        }
        assertEquals(1000, Math.sqrt(square), 1000 * 4 / Math.sqrt(2.0 * n), "half a day of 2 s a day, ms");
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
