package sunward.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/** A short run of the command that holds the samples tier to its bound; 10^9 samples are its long one. */
class SamplesBoundTest {
    @Test
    void noSampleIsOffByMoreThanItsNoise() {
        SamplesBound bound = new SamplesBound();
        long samples = 60L * 24 * 720;
        bound.madeUp(-1, samples);
        assertEquals(samples, bound.checked());
        assertTrue(bound.worst() > 0.9 && bound.worst() <= 1, "worst " + bound.worst());
    }
}
