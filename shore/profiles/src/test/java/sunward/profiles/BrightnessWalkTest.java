package sunward.profiles;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.SplittableRandom;
import java.util.random.RandomGenerator;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Made-up bins whose light wanders as told: a property of the estimate, no outside source. */
class BrightnessWalkTest {
    private static final double[] NM = {380, 443, 490, 555, 620};
    private static final double WAVES = 0.015;

    private static ProfileBin bin(int head, long timeS, double depthM, double brightness) {
        double[] radiance = new double[NM.length];
        for (int k = 0; k < NM.length; k++) {
            radiance[k] = 0.02 / (1 + k) * brightness * Math.exp(-(0.03 + 0.02 * k) * depthM);
        }
        return new ProfileBin(
                head,
                0,
                0,
                0,
                false,
                0.1,
                false,
                7,
                0,
                0,
                timeS,
                1,
                0,
                depthM,
                0.05,
                1,
                0,
                0,
                10,
                new BitSet(),
                0.02,
                null,
                null,
                null,
                Spectrum.of(radiance),
                null);
    }

    /** Both heads, 0.2 m and 7 s apart, to 10 m; one common walk, waves of each bin's own. */
    private static List<ProfileBin> rise(double perS, RandomGenerator random) {
        List<ProfileBin> bins = new ArrayList<>();
        double ln = 0;
        for (int i = 0; i < 48; i++) {
            for (int head = 0; head < 2; head++) {
                bins.add(bin(head, 10_000 - 7L * i, 0.4 + 0.2 * i, Math.exp(ln + WAVES * random.nextGaussian())));
            }
            ln += Math.sqrt(7 * perS) * random.nextGaussian();
        }
        return bins;
    }

    @ParameterizedTest
    @ValueSource(doubles = {1e-3, 3e-3, 1e-2})
    void theVarianceOfAWalkIsFound(double perS) {
        double sum = 0;
        for (int seed = 1; seed <= 50; seed++) {
            sum += BrightnessWalk.variancePerS(rise(perS, new SplittableRandom(seed)), NM, bin -> WAVES) / 50;
        }
        assertEquals(perS, sum, 0.12 * perS);
    }

    /** Waves alone are no walk, in any of 200 seas, seeds 1 to 200; nor is a step of K with depth. */
    @Test
    void wavesAloneAreNoWalk() {
        for (int seed = 1; seed <= 200; seed++) {
            List<ProfileBin> bins = rise(0, new SplittableRandom(seed));
            assertEquals(0, BrightnessWalk.variancePerS(bins, NM, bin -> WAVES), "seed " + seed);
        }
    }

    @Test
    void tooFewBinsSayNothing() {
        assertEquals(0, BrightnessWalk.variancePerS(List.of(), NM, bin -> WAVES));
        List<ProfileBin> few = rise(1e-2, new SplittableRandom(1)).subList(0, 8);
        assertEquals(0, BrightnessWalk.variancePerS(few, NM, bin -> WAVES));
        assertTrue(BrightnessWalk.variancePerS(rise(1e-2, new SplittableRandom(1)), NM, bin -> WAVES) > 0);
    }
}
