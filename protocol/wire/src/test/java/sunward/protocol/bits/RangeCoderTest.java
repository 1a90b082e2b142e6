package sunward.protocol.bits;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** The range coder gives back what went in, at the length that information theory asks for. */
class RangeCoderTest {
    private static final int MODELS = 3;

    private static BitModels models() {
        BitModels models = new BitModels(MODELS);
        for (int i = 0; i < MODELS; i++) {
            models.set(i, BitModels.ONE / 2, 0);
        }
        return models;
    }

    /** Codes the same pseudorandom bits at either end: runs of certainty, coins and plain numbers. */
    private static void script(BitCoder coder, int seed, int symbols, boolean check) {
        Random random = new Random(seed);
        double[] share = {random.nextDouble(), Math.pow(random.nextDouble(), 8), 1 - Math.pow(random.nextDouble(), 8)};
        BitModels models = models();
        for (int i = 0; i < symbols; i++) {
            int model = random.nextInt(MODELS + 1);
            if (model == MODELS) {
                int count = random.nextInt(32);
                int value = random.nextInt() & ((1 << count) - 1);
                int got = coder.plain(count, check ? 0 : value);
                assertTrue(!check || got == value, "plain " + i + ", seed " + seed);
            } else {
                int bit = random.nextDouble() < share[model] ? 1 : 0;
                int got = coder.bit(models, model, check ? 0 : bit);
                assertTrue(!check || got == bit, "bit " + i + ", seed " + seed);
            }
        }
    }

    @Test
    void everyStreamComesBackAndEndsWhereItEnds() {
        RangeEncoder encoder = new RangeEncoder();
        RangeDecoder decoder = new RangeDecoder();
        byte[] bytes = new byte[60_000];
        for (int seed = 1; seed <= 600; seed++) {
            int symbols = seed % 7 == 0 ? 20_000 : seed % 300;
            encoder.begin(bytes, 5, bytes.length);
            script(encoder, seed, symbols, false);
            encoder.finish();
            assertTrue(encoder.fits());
            int length = encoder.length();
            Arrays.fill(bytes, 5 + length, bytes.length, (byte) 0xa5);
            assertTrue(decoder.begin(bytes, 5, length), "seed " + seed);
            script(decoder, seed, symbols, true);
            assertTrue(decoder.endsHere(5), "seed " + seed);
            bytes[5 + length] = 0;
            assertTrue(decoder.begin(bytes, 5, length + 1));
            script(decoder, seed, symbols, true);
            assertFalse(decoder.endsHere(5), "a zero byte too many, seed " + seed);
        }
    }

    @Test
    void carriesRunThroughLongRunsOfOnes() {
        // Forty ones in a row of the likelier half drive the fraction towards ...ffff; the last bit then carries.
        RangeEncoder encoder = new RangeEncoder();
        RangeDecoder decoder = new RangeDecoder();
        byte[] bytes = new byte[4000];
        for (int run = 0; run < 400; run++) {
            for (int tail = 0; tail < 16; tail++) {
                encoder.begin(bytes, 0, bytes.length);
                for (int i = 0; i < run; i++) {
                    encoder.plain(1, 1);
                }
                encoder.plain(4, tail);
                encoder.finish();
                assertTrue(decoder.begin(bytes, 0, encoder.length()));
                for (int i = 0; i < run; i++) {
                    assertEquals(1, decoder.plain(1, 0), "run " + run + " tail " + tail);
                }
                assertEquals(tail, decoder.plain(4, 0), "run " + run + " tail " + tail);
                assertTrue(decoder.endsHere(0));
            }
        }
    }

    @Test
    void aSteadySourceCostsItsEntropy() {
        // Shannon 1948: entropy of a bit of probability p.
        for (double p : new double[] {0.5, 0.2, 0.05, 0.01}) {
            Random random = new Random(11);
            BitModels models = models();
            RangeEncoder encoder = new RangeEncoder();
            encoder.begin(new byte[100_000], 0, 100_000);
            int n = 200_000;
            for (int i = 0; i < n; i++) {
                encoder.bit(models, 0, random.nextDouble() < p ? 1 : 0);
            }
            encoder.finish();
            double entropy = -(p * Math.log(p) + (1 - p) * Math.log(1 - p)) / Math.log(2);
            double found = 8.0 * encoder.length() / n;
            // A model that moves by 1/61 per bit pays about 1 / (4 * 61 * ln 2) = 0.006 bit for its own unrest.
            assertTrue(found < entropy + 0.009 && found > entropy * 0.95, p + ": " + found + " of " + entropy);
        }
    }

    @Test
    void goingBackUndoesEverything() {
        for (int seed = 1; seed <= 200; seed++) {
            byte[] bytes = new byte[4000];
            RangeEncoder encoder = new RangeEncoder();
            RangeEncoder saved = new RangeEncoder();
            encoder.begin(bytes, 0, bytes.length);
            script(encoder, seed, 200, false);
            saved.copyFrom(encoder);
            encoder.finish();
            byte[] once = Arrays.copyOf(bytes, encoder.length());
            encoder.copyFrom(saved);
            script(encoder, seed + 1000, 300, false);
            encoder.copyFrom(saved);
            encoder.finish();
            assertEquals(once.length, encoder.length());
            assertTrue(Arrays.equals(once, Arrays.copyOf(bytes, encoder.length())), "seed " + seed);
        }
    }

    @Test
    void beyondTheLimitNothingIsWritten() {
        byte[] bytes = new byte[64];
        RangeEncoder encoder = new RangeEncoder();
        encoder.begin(bytes, 0, 20);
        script(encoder, 3, 500, false);
        encoder.finish();
        assertFalse(encoder.fits());
        for (int i = 20; i < 64; i++) {
            assertEquals(0, bytes[i]);
        }
    }
}
