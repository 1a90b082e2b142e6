package sunward.protocol.spectra;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

class FirstLookCodecTest {
    private static final int MOST = 160;
    private final FirstLookCodec codec = new FirstLookCodec(MOST);

    private static BlockHeader header() {
        BlockHeader header = new BlockHeader();
        header.channelsPerSample = 5;
        header.gainSixteenths = 61;
        header.readNoiseQuarters = 32;
        header.calibrationTag = 0xcafe0102;
        header.planTag = 0x0badf00d;
        return header;
    }

    private static FirstLook random(SplittableRandom random) {
        FirstLook look = new FirstLook(FirstLook.MAX_HEADS, MOST);
        look.surfacedS = random.nextLong(1L << 32);
        look.placeKnown = random.nextBoolean();
        look.latitudeCdeg = look.placeKnown ? random.nextInt(-9000, 9001) : 0;
        look.longitudeCdeg = look.placeKnown ? random.nextInt(-18000, 18001) : 0;
        look.tareKnown = random.nextBoolean();
        look.tareMdbar = look.tareKnown ? random.nextInt(-3000, 3000) : 0;
        look.messagesPlanned = random.nextInt(4096);
        look.repairMessages = random.nextInt(256);
        look.heads = 1 + random.nextInt(FirstLook.MAX_HEADS);
        for (int h = 0; h < look.heads; h++) {
            FirstLook.Head head = look.head(h);
            head.number = h;
            head.samples = 16 + random.nextInt(MOST - 15);
            head.bins = random.nextInt(256);
            head.topCm = random.nextInt(100);
            head.bottomCm = 1000 + random.nextInt(1000);
            for (int r = 0; r < FirstLook.REGIONS; r++) {
                head.effectiveBins[r] = random.nextInt(256);
                head.scatter[r] = random.nextInt(8);
                head.misfitPercent[r] = random.nextInt(8);
                head.surfaceSd[r] = random.nextInt(8);
                head.attenuationSd[r] = random.nextInt(8);
            }
            for (int i = 0; i < head.samples; i++) {
                head.lit[i] = random.nextInt(20) > 0;
                double wave = Math.sin(i / 9.0) + 0.02 * random.nextGaussian();
                head.logSurface[i] = head.lit[i] ? (int) ((9 + wave - 0.03 * i) * FirstLook.LOG_ONE) : 0;
                head.logAttenuation[i] = head.lit[i] ? (int) ((-3 + 0.02 * i + 0.1 * wave) * FirstLook.LOG_ONE) : 0;
            }
        }
        return look;
    }

    /** Numbers come back as they went in, spectra within half a step of the fineness. */
    @Test
    void givesBackWhatItTook() {
        byte[] body = new byte[4000];
        for (long seed = 1; seed <= 300; seed++) {
            FirstLook look = random(new SplittableRandom(seed));
            int fineness = (int) (seed % FirstLookCodec.FINENESSES);
            int length = codec.encode(look, header(), fineness, body, 3, body.length);
            String where = "seed " + seed;
            assertTrue(length > 0, where);
            FirstLook read = new FirstLook(FirstLook.MAX_HEADS, MOST);
            BlockHeader head = new BlockHeader();
            assertTrue(new FirstLookCodec(MOST).decode(body, 3, length, head, read), where);
            assertEquals(0xcafe0102, head.calibrationTag);
            assertEquals(look.surfacedS, read.surfacedS, where);
            assertEquals(look.latitudeCdeg, read.latitudeCdeg, where);
            assertEquals(look.longitudeCdeg, read.longitudeCdeg, where);
            assertEquals(look.tareMdbar, read.tareMdbar, where);
            assertEquals(look.messagesPlanned, read.messagesPlanned, where);
            assertEquals(look.repairMessages, read.repairMessages, where);
            assertEquals(look.heads, read.heads, where);
            int[] percent = {2, 3, 4, 5, 7, 10, 15, 20}; // of a percent in tenths
            double half = percent[fineness] * 1e-3 / 2 * 1.02 * FirstLook.LOG_ONE;
            for (int h = 0; h < look.heads; h++) {
                FirstLook.Head sent = look.head(h);
                FirstLook.Head got = read.head(h);
                assertEquals(sent.samples, got.samples, where);
                assertEquals(sent.bins, got.bins, where);
                assertEquals(sent.bottomCm, got.bottomCm, where);
                assertArrayEquals(sent.effectiveBins, got.effectiveBins, where);
                assertArrayEquals(sent.surfaceSd, got.surfaceSd, where);
                for (int i = 0; i < sent.samples; i++) {
                    assertEquals(sent.lit[i], got.lit[i], where);
                    assertEquals(sent.logSurface[i], got.logSurface[i], half, where);
                    assertEquals(sent.logAttenuation[i], got.logAttenuation[i], 3 * half, where);
                }
            }
        }
    }

    /** Too small a body is refused and nothing beyond its limit is touched. */
    @Test
    void refusesWhatDoesNotFit() {
        FirstLook look = random(new SplittableRandom(5));
        byte[] body = new byte[2000];
        int length = codec.encode(look, header(), 0, body, 0, body.length);
        byte[] small = new byte[length + 20];
        Arrays.fill(small, (byte) 0x5a);
        assertEquals(-1, codec.encode(look, header(), 0, small, 0, length - 1));
        for (int i = length - 1; i < small.length; i++) {
            assertEquals(0x5a, small[i]);
        }
        assertEquals(length, codec.encode(look, header(), 0, small, 0, length));
    }

    /** Hostile bytes end in false or in values within range, never in an exception. */
    @Test
    void hostileBytesEndWell() {
        byte[] body = new byte[600];
        int refused = 0;
        FirstLook read = new FirstLook(FirstLook.MAX_HEADS, MOST);
        for (long seed = 1; seed <= 20_000; seed++) {
            SplittableRandom random = new SplittableRandom(seed);
            int length = random.nextInt(body.length);
            random.nextBytes(body);
            if (random.nextBoolean()) {
                body[0] = (byte) (0x10 | body[0] & 0x0f);
            }
            refused += codec.decode(body, 0, length, new BlockHeader(), read) ? 0 : 1;
        }
        assertTrue(refused > 19_900, "refused " + refused);
        FirstLook look = random(new SplittableRandom(9));
        byte[] good = new byte[4000];
        int length = codec.encode(look, header(), 3, good, 0, good.length);
        assertTrue(codec.decode(good, 0, length, new BlockHeader(), read));
        good[length] = 0;
        assertFalse(codec.decode(good, 0, length + 1, new BlockHeader(), read), "a byte too many");
    }
}
