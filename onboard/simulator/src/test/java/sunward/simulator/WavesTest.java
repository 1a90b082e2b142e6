package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import sunward.protocol.plan.PlanReader;

class WavesTest {
    private static final sunward.protocol.schema.Waves SCENE =
            PlanReader.defaults().getScene().getWaves();

    private static Waves waves(double heightM, long seed) {
        return new Waves(SCENE.toBuilder().setSignificantHeightM(heightM).build(), 5, seed);
    }

    /**
     * Published figures of this project's own brief, an upper bound worked out there: averaged over elevation, waves of 1 m
     * brighten light of K = 0.45 per m (670 nm) by about 0.6 %, waves of 2 m by 2.6 %: exp(K^2 s^2 / 2), s a quarter of the
     * height. At the surface a drifting hull keeps its water; below it sees the elevation whole.
     */
    @ParameterizedTest
    @CsvSource({"1,0.0063", "2,0.0257"})
    void elevationBrightensTheRedOfAHullThatFollowsPressure(double heightM, double published) {
        double k = 0.45;
        double sum = 0;
        double squares = 0;
        int n = 0;
        for (int seed = 0; seed < 150; seed++) {
            Waves waves = waves(heightM, seed);
            for (double t = 0; t < 300; t += 3.1) {
                double water = waves.waterAboveM(t, 0, 0, 60, 0.01);
                sum += Math.exp(-k * water);
                squares += water * water;
                n++;
                assertEquals(0, waves.waterAboveM(t, 0, 0, 0, 0.01));
            }
        }
        assertEquals(heightM / 4, Math.sqrt(squares / n), 0.03 * heightM / 4, "seeds 0 to 149");
        assertEquals(published, sum / n - 1, 0.2 * published, "seeds 0 to 149");
        System.out.printf(java.util.Locale.ROOT, "figure sea.elevation_bias_670_%.0f_m %.4f 1%n", heightM, sum / n - 1);
    }

    /**
     * A wave spectrum and not lag-one noise: after half a peak period the elevation has turned over, where lag-one noise stays
     * positive. Nor does it move where no wave moves: 100 m away it is another sea.
     */
    @Test
    void elevationTurnsOverWithinAPeriod() {
        double[] product = new double[3];
        int n = 0;
        for (int seed = 0; seed < 100; seed++) {
            Waves waves = waves(4, seed);
            for (double t = 0; t < 300; t += 7.3) {
                double here = waves.waterAboveM(t, 0, 0, 60, 0.01);
                product[0] += here * here;
                product[1] += here * waves.waterAboveM(t + SCENE.getPeakPeriodS() / 2, 0, 0, 60, 0.01);
                product[2] += here * waves.waterAboveM(t, 100, 80, 60, 0.01);
                n++;
            }
        }
        assertEquals(1, product[0] / n, 0.1, "seeds 0 to 99");
        assertTrue(product[1] / product[0] < -0.3, "after half a period " + product[1] / product[0]);
        assertEquals(0, product[2] / product[0], 0.15);
    }

    /**
     * Published: Hieronymi (2011) and Hieronymi and Macke (2012), abstracts: the fluctuation of irradiance above 2 m is on
     * average four times that at 25 m; winds of 2 to 7 m/s focus most. D'Alimonte et al. (2013), abstract: upwelling radiance
     * flickers far less, by a few per cent.
     */
    @Test
    void flickerKeepsThePublishedLimits() {
        Waves waves = waves(0.6, 1);
        double above = 0;
        for (int i = 0; i < 20; i++) {
            above += waves.irradianceSd(0.05 + 0.1 * i) / 20;
        }
        assertEquals(4, above / waves.irradianceSd(25), 0.4);
        assertTrue(waves.radianceSd(0) < 0.05 && waves.radianceSd(0) < waves.irradianceSd(0) / 5);
        double calm = new Waves(SCENE, 0.5, 1).irradianceSd(1);
        double gale = new Waves(SCENE, 14, 1).irradianceSd(1);
        for (double wind : new double[] {2, 4, 7}) {
            double breeze = new Waves(SCENE, wind, 1).irradianceSd(1);
            assertTrue(breeze > calm && breeze > gale, "wind " + wind);
        }
    }

    /**
     * Published: Wijesekera, Pegau and Boyd (2005), abstract: waves about 2 m long focus at 2 to 6 m. What flickers alike
     * at two places far apart is long: deeper down light hangs together over more of a metre.
     */
    @Test
    void longerWavesFocusDeeper() {
        double[] alike = new double[3];
        double[] depths = {0.5, 4, 10};
        int n = 0;
        for (int seed = 0; seed < 200; seed++) {
            Waves waves = waves(0, seed);
            for (double t = 0; t < 60; t += 3.7) {
                for (int i = 0; i < depths.length; i++) {
                    alike[i] += waves.flicker(t, 0, 0, depths[i], 0.004) * waves.flicker(t, 0.5, 0, depths[i], 0.004);
                }
                n++;
            }
        }
        for (int i = 0; i < 3; i++) {
            alike[i] /= n;
        }
        assertTrue(
                alike[0] < alike[1] - 0.05 && alike[1] < alike[2] - 0.05, alike[0] + ", " + alike[1] + ", " + alike[2]);
    }

    @Test
    void aLevelSeaIsLevel() {
        assertTrue(waves(0, 1).level());
        assertEquals(0, waves(0, 1).waterAboveM(-3, 0.4, 0.2, 8, 0.1), 0);
    }
}
