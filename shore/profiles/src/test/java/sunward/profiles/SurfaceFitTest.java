package sunward.profiles;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.random.RandomGenerator;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import sunward.profiles.SurfaceFit.Expectation;
import sunward.profiles.SurfaceFit.Result;

class SurfaceFitTest {
    private static final double[] OWN = {0.006, 0.006};

    /** A sea of two exponentials, as bins of both heads 0.2 m apart; noise and waves as the fit is told. */
    private record Sea(
            double lu0, double k, double share, double inelastic, double waves, double fixed, double perRadiance) {
        double at(double z, double m) {
            return lu0
                    * ((1 - share) * Math.exp(-k * z + k * k * m / 2)
                            + share * Math.exp(-inelastic * z + inelastic * inelastic * m / 2));
        }

        FitBins bins(Expectation expected, RandomGenerator random, boolean noisy) {
            List<double[]> rows = new ArrayList<>();
            double[] own = {OWN[0] * random.nextGaussian(), OWN[1] * random.nextGaussian()};
            for (int h = 0; h < 2; h++) {
                for (double z = 0.45 + 0.05 * h; z < 20; z += z < 10 ? 0.2 : 1) {
                    if (expected.within(z)) {
                        rows.add(new double[] {h, z, z < 10 ? 0.0033 : 0.083});
                    }
                }
            }
            FitBins bins = new FitBins(rows.size());
            for (int i = 0; i < rows.size(); i++) {
                double[] row = rows.get(i);
                double clean = at(row[1], row[2]);
                bins.head[i] = (int) row[0];
                bins.depthM[i] = row[1];
                bins.depthVarianceM2[i] = row[2];
                bins.waves[i] = waves * Math.exp(-row[1] / 8) + 0.001;
                bins.fixed[i] = fixed;
                bins.perRadiance[i] = perRadiance;
                double sd = Math.sqrt(fixed + perRadiance * clean);
                bins.radiance[i] = noisy
                        ? clean * (1 + own[bins.head[i]]) * (1 + bins.waves[i] * random.nextGaussian())
                                + sd * random.nextGaussian()
                        : clean;
            }
            return bins;
        }
    }

    private static final Sea BLUE = new Sea(0.02, 0.024, 0.03, 0.05, 0.012, 1e-10, 2e-8);
    private static final Sea RED = new Sea(2e-4, 0.47, 0.15, 0.072, 0.012, 2e-12, 2e-8);

    private static Expectation expectation(boolean red) {
        return red ? new Expectation(0.45, 0.4, 0.11, 0.065) : new Expectation(0.03, 1, 0.035, 0.05);
    }

    private static Result fitted(FitBins bins, Expectation expected) {
        SurfaceFit.Outcome outcome = SurfaceFit.fit(bins, expected, OWN);
        assertEquals("", outcome.reason());
        return outcome.result();
    }

    @ParameterizedTest
    @CsvSource({"false, 0.001", "true, 0.012"})
    void cleanBinsGiveTheSurfaceBack(boolean red, double tolerance) {
        Sea sea = red ? RED : BLUE;
        FitBins bins = sea.bins(expectation(red), new SplittableRandom(1), false);
        Result result = fitted(bins, expectation(red));
        assertEquals(1, result.radiance() / sea.lu0(), tolerance);
        double slope = (1 - sea.share()) * sea.k() + sea.share() * sea.inelastic();
        assertEquals(slope, result.attenuationPerM(), 2 * result.attenuationUncertainty());
    }

    /** GUM, section 5: shares of the variance add up to the variance that the normal equations give, here from finite changes. */
    @ParameterizedTest
    @CsvSource({"false", "true"})
    void gainsPredictWhatAChangeOfOneBinDoes(boolean red) {
        Sea sea = red ? RED : BLUE;
        FitBins bins = sea.bins(expectation(red), new SplittableRandom(2), false);
        Result before = fitted(bins, expectation(red));
        for (int i = 0; i < bins.count(); i += 7) {
            double kept = bins.radiance[i];
            bins.radiance[i] *= 1 + 1e-5;
            Result after = fitted(bins, expectation(red));
            bins.radiance[i] = kept;
            double found = Math.log(after.radiance() / before.radiance()) / 1e-5;
            assertEquals(before.gain()[i], found, 0.02 * Math.abs(found) + 2e-3, "bin " + i);
        }
    }

    /** Monte Carlo (JCGM 101): 400 seas with seeds 1 to 400; the stated uncertainty is the found spread, and no bias beyond a quarter of it. */
    @ParameterizedTest
    @CsvSource({"false", "true"})
    void statedUncertaintyIsTheFoundSpread(boolean red) {
        Sea sea = red ? RED : BLUE;
        int trials = 400;
        double sum = 0;
        double squares = 0;
        double stated = 0;
        int inside = 0;
        for (int seed = 1; seed <= trials; seed++) {
            Result result = fitted(sea.bins(expectation(red), new SplittableRandom(seed), true), expectation(red));
            double error = Math.log(result.radiance() / sea.lu0());
            sum += error;
            squares += error * error;
            stated += Math.sqrt(result.variance());
            inside += Math.abs(error) <= 2 * Math.sqrt(result.variance()) ? 1 : 0;
        }
        double mean = sum / trials;
        double sd = Math.sqrt(squares / trials - mean * mean);
        double u = stated / trials;
        String figures = "mean " + mean + ", sd " + sd + ", stated " + u + ", inside " + inside;
        assertTrue(sd < 1.05 * u && sd > 0.45 * u, figures);
        assertTrue(Math.abs(mean) < 0.5 * u, figures);
        assertTrue(inside >= 0.93 * trials, figures);
        assertTrue(u < (red ? 0.03 : 0.012), figures);
    }

    /** Taking bins away, whichever, never makes the result look surer; taking the uppermost makes it clearly less sure. */
    @ParameterizedTest
    @CsvSource({"false", "true"})
    void losingBinsNeverLowersTheUncertainty(boolean red) {
        Sea sea = red ? RED : BLUE;
        Expectation expected = expectation(red);
        FitBins all = sea.bins(expected, new SplittableRandom(3), true);
        Result whole = fitted(all, expected);
        double before = whole.variance();
        for (int seed = 1; seed <= 60; seed++) {
            SplittableRandom random = new SplittableRandom(seed);
            boolean[] lost = new boolean[all.count()];
            int howMany = 1 + random.nextInt(all.count() / 3);
            for (int n = 0; n < howMany; n++) {
                lost[random.nextInt(all.count())] = true;
            }
            Result less = fitted(without(all, lost), expected);
            double after = less.variance();
            assertTrue(after > before, "seed " + seed + ": " + before + " to " + after);
            assertTrue(less.attenuationUncertainty() > whole.attenuationUncertainty(), "seed " + seed + ", K_Lu");
        }
        boolean[] top = new boolean[all.count()];
        for (int i = 0; i < top.length; i++) {
            top[i] = all.depthM[i] < 2;
        }
        double after = fitted(without(all, top), expected).variance();
        assertTrue(after > 1.1 * before, before + " to " + after);
    }

    private static FitBins without(FitBins all, boolean[] lost) {
        List<Integer> kept = new ArrayList<>();
        List<Integer> gone = new ArrayList<>();
        for (int i = 0; i < lost.length; i++) {
            (lost[i] ? gone : kept).add(i);
        }
        FitBins left = new FitBins(kept.size());
        for (int j = 0; j < kept.size(); j++) {
            int i = kept.get(j);
            left.head[j] = all.head[i];
            left.depthM[j] = all.depthM[i];
            left.depthVarianceM2[j] = all.depthVarianceM2[i];
            left.waves[j] = all.waves[i];
            left.radiance[j] = all.radiance[i];
            left.fixed[j] = all.fixed[i];
            left.perRadiance[j] = all.perRadiance[i];
        }
        left.missingDepthM = gone.stream().mapToDouble(i -> all.depthM[i]).toArray();
        left.missingLike = gone.stream().mapToInt(i -> 0).toArray();
        left.missingChance = gone.stream().mapToDouble(i -> 1).toArray();
        return left;
    }

    /**
     * Pigment below clear water: attenuation six times as high under 6 m as above, integrated here step by step. The surface
     * comes back within 2.5 standard uncertainties, the heads' own part left out (there is none in these bins); so sharp a
     * jump, and nothing random to hide it, is more than the fit expects.
     */
    @ParameterizedTest
    @CsvSource({"4", "6", "9", "12"})
    void layersBelowDoNotPullTheSurface(double topM) {
        Expectation expected = expectation(false);
        FitBins bins = BLUE.bins(expected, new SplittableRandom(4), false);
        for (int i = 0; i < bins.count(); i++) {
            double fall = 0;
            for (double z = 0.005; z < bins.depthM[i]; z += 0.01) {
                fall += 0.01 * (0.03 + 0.15 / (1 + Math.exp(2 * (topM - z))));
            }
            bins.radiance[i] = 0.02 * Math.exp(-fall);
        }
        Result result = fitted(bins, expected);
        double u = Math.sqrt(result.variance() - result.heads());
        assertEquals(1, result.radiance() / 0.02, 2.5 * u, "u " + u);
        assertTrue(u < 0.02, "u " + u);
    }

    /**
     * Monte Carlo (JCGM 101): 80 seas under light that wanders as told, seeds 1 to 80: the value is that of the surfacing, and
     * the stated uncertainty is the found spread. A fit that is not told is surer than it may be. One in a hundred may
     * find no answer, and says so.
     */
    @ParameterizedTest
    @CsvSource({"false", "true"})
    void wanderingLightIsFollowedToTheSurfacing(boolean red) {
        double perS = 1e-3;
        Sea sea = red ? RED : BLUE;
        Expectation expected = expectation(red);
        double squares = 0;
        double stated = 0;
        double trusting = 0;
        int unsettled = 0;
        int trials = 80;
        for (int seed = 1; seed <= trials; seed++) {
            FitBins bins = sea.bins(expected, new SplittableRandom(seed), true);
            wander(bins, perS, new SplittableRandom(1000 + seed));
            SurfaceFit.Result steady = SurfaceFit.fit(bins, expected, OWN).result();
            trusting += steady == null ? 0 : (steady.variance() - steady.scatterExcess()) / trials;
            bins.walkPerS = perS;
            Result result = SurfaceFit.fit(bins, expected, OWN).result();
            if (result == null) {
                unsettled++;
                continue;
            }
            squares += Math.pow(Math.log(result.radiance() / sea.lu0()), 2) / trials;
            stated += result.variance() / trials;
            assertTrue(result.changingLight() > 0.3 * result.variance(), "seed " + seed);
        }
        String figures = "found " + Math.sqrt(squares) + ", stated " + Math.sqrt(stated);
        assertEquals(1, Math.sqrt(squares / stated), 0.25, figures);
        assertTrue(unsettled <= 2, unsettled + " of " + trials + " did not settle");
        assertTrue(trusting < 0.75 * stated, figures + ", trusting " + Math.sqrt(trusting));
    }

    /** Multiplies a random walk back from the surfacing onto bins read on the way up at 0.03 m/s. */
    private static void wander(FitBins bins, double perS, RandomGenerator random) {
        double[] ln = new double[1000];
        for (int s = 1; s < ln.length; s++) {
            ln[s] = ln[s - 1] + Math.sqrt(perS) * random.nextGaussian();
        }
        for (int i = 0; i < bins.count(); i++) {
            bins.ageS[i] = Math.rint(Math.max(0, bins.depthM[i] - 0.35) / 0.03);
            bins.radiance[i] *= Math.exp(ln[(int) bins.ageS[i]]);
        }
    }

    @Test
    void darknessGivesNothingInsteadOfANumber() {
        Expectation expected = expectation(true);
        FitBins bins = RED.bins(expected, new SplittableRandom(1), false);
        for (int i = 0; i < bins.count(); i++) {
            bins.radiance[i] = -1e-7;
        }
        assertEquals(new SurfaceFit.Outcome(null, SurfaceFit.NO_LIGHT), SurfaceFit.fit(bins, expected, OWN));
        assertEquals(new SurfaceFit.Outcome(null, SurfaceFit.NO_LIGHT), SurfaceFit.fit(new FitBins(0), expected, OWN));
    }
}
