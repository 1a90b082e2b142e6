package sunward.protocol.spectra;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.math.BigInteger;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Levels come back as the counts that WIRE.md, section 4.4, makes of them in unbounded integers, whatever head and level. */
class NoiseScaleTest {
    private static final int[][] HEADS = {{1, 0}, {61, 32}, {16_383, 0}, {16_383, 512}, {2049, 4094}};

    private static BigInteger big(long value) {
        return BigInteger.valueOf(value);
    }

    private static int expected(long level, long zero, long gain, long read) {
        BigInteger squared =
                big(gain * gain * (3 * read * read + 4)).shiftLeft(14).divide(big(3));
        BigInteger fine = level >= zero
                ? big(level).pow(2).subtract(squared).divide(big(gain << 10))
                : big(level - zero).multiply(big(zero)).divide(big(gain << 9));
        return fine.max(big(NoiseScale.MIN_FINE)).min(big(NoiseScale.MAX_FINE)).intValueExact();
    }

    @Test
    void noLevelOverflows() {
        long seed = 20_261_125;
        Random random = new Random(seed);
        for (int[] head : HEADS) {
            NoiseScale scale = new NoiseScale();
            scale.set(head[0], head[1]);
            long zero = scale.level(0);
            for (int i = 0; i < 2000; i++) {
                long level = random.nextLong() >> (8 + random.nextInt(50));
                assertEquals(
                        expected(level, zero, head[0], head[1]),
                        scale.fine(level),
                        () -> "level " + level + ", gain " + head[0] + ", read noise " + head[1] + ", seed " + seed);
            }
        }
    }
}
