package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class NoiseTest {
    /** Percentage points of the normal distribution, as every printed table has them (values from memory). */
    @ParameterizedTest
    @CsvSource({
        "0.5, 0",
        "0.75, 0.67448975",
        "0.84134475, 1",
        "0.95, 1.64485363",
        "0.975, 1.95996398",
        "0.995, 2.57582930",
        "0.9995, 3.29052673",
        "0.000001, -4.75342431",
        "0.025, -1.95996398"
    })
    void quantilesAreThoseOfTheTables(double share, double deviate) {
        assertEquals(deviate, Noise.normalQuantile(share), 1e-6);
    }

    @Test
    void deviatesHaveTheMomentsOfTheNormalDistribution() {
        int n = 400_000;
        double[] sums = new double[4];
        double neighbours = 0;
        double before = 0;
        for (int i = 0; i < n; i++) {
            double g = Noise.gaussian(Noise.hash(7, 3, i));
            for (int power = 0; power < 4; power++) {
                sums[power] += Math.pow(g, power + 1);
            }
            neighbours += g * before;
            before = g;
        }
        // Four standard errors of each moment of n normal deviates.
        assertEquals(0, sums[0] / n, 4 / Math.sqrt(n), "mean, seed 7");
        assertEquals(1, sums[1] / n, 4 * Math.sqrt(2.0 / n), "variance, seed 7");
        assertEquals(0, sums[2] / n, 4 * Math.sqrt(15.0 / n), "skewness, seed 7");
        assertEquals(3, sums[3] / n, 4 * Math.sqrt(96.0 / n), "kurtosis, seed 7");
        assertEquals(0, neighbours / n, 4 / Math.sqrt(n), "correlation of neighbours, seed 7");
    }

    @Test
    void uniformNumbersFillTheirIntervalEvenly() {
        int cells = 64;
        int n = 64_000;
        int[] count = new int[cells];
        for (int i = 0; i < n; i++) {
            count[(int) (Noise.uniform(Noise.hash(i, 1)) * cells)]++;
        }
        double chiSquare = 0;
        for (int found : count) {
            chiSquare += Math.pow(found - n / cells, 2) / ((double) n / cells);
        }
        // 99.9 % point of chi-square with 63 degrees of freedom, Wilson and Hilferty's approximation: 103.4.
        assertTrue(chiSquare < 103.4, "chi-square " + chiSquare);
        assertTrue(Noise.uniform(0) > 0 && Noise.uniform(-1) < 1);
    }

    @Test
    void addressesAndSeedsDoNotCollideByOrder() {
        assertNotEquals(Noise.hash(1, 2, 3), Noise.hash(1, 3, 2));
        assertNotEquals(Noise.hash(1, 2), Noise.hash(2, 1));
        assertNotEquals(Noise.hash(0, 0), 0);
        Seeds seeds = Seeds.all(1);
        assertNotEquals(seeds.dive(), seeds.link());
        assertNotEquals(Seeds.all(2).scene(), seeds.scene());
    }

    @Test
    void smoothFunctionsHaveUnitVarianceAndTheStatedCorrelation() {
        double length = 80;
        int seeds = 4000;
        double square = 0;
        double product = 0;
        for (int seed = 0; seed < seeds; seed++) {
            SmoothRandom f = SmoothRandom.correlated(Noise.hash(seed, 5), 32, length);
            square += f.at(443) * f.at(443);
            product += f.at(443) * f.at(443 + length);
        }
        assertEquals(1, square / seeds, 4 * Math.sqrt(2.0 / seeds), "seeds 0 to 3999");
        assertEquals(Math.exp(-0.5), product / seeds, 4 * Math.sqrt(2.0 / seeds), "seeds 0 to 3999");
    }

    @Test
    void integralOfASmoothFunctionIsItsIntegral() {
        SmoothRandom f = SmoothRandom.band(99, 8, 0.02, 0.2);
        double step = 0.01;
        double sum = 0;
        for (double t = 10 + step / 2; t < 25; t += step) {
            sum += f.at(t) * step;
        }
        assertEquals(f.integralAt(25) - f.integralAt(10), sum, 1e-4);
    }
}
