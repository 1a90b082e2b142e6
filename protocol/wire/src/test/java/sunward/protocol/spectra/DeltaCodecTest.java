package sunward.protocol.spectra;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.lang.management.ManagementFactory;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Codec 1 gives back what it promises, whatever the bins hold, and survives whatever the bytes hold. */
class DeltaCodecTest {
    private static final BlockCodec CODEC = Codecs.ofNumber(DeltaCodec.NUMBER);

    private static BlockHeader randomHeader(Random random) {
        BlockHeader header = new BlockHeader();
        header.codec = DeltaCodec.NUMBER;
        header.head = random.nextInt(4);
        header.samples = random.nextInt(4) == 0 ? 1 + random.nextInt(1024) : 1 + random.nextInt(40);
        header.channelsPerSample = 1 + random.nextInt(64);
        header.gainSixteenths = random.nextBoolean() ? 61 : 1 + random.nextInt((1 << 14) - 1);
        int mostRead = Math.min((1 << 12) - 1, NoiseScale.MAX_GAIN_READ / header.gainSixteenths);
        header.readNoiseQuarters = random.nextBoolean() ? Math.min(32, mostRead) : random.nextInt(mostRead + 1);
        header.calibrationTag = random.nextInt();
        header.planTag = random.nextInt();
        return header;
    }

    /** Any bin at all: extremes, steady series, spectra of zeros, constants, noise, ramps and the whole range. */
    private static BinRecord randomBin(Random random, BlockHeader header, BinRecord before) {
        BinRecord bin = new BinRecord(1024);
        if (before != null && random.nextInt(3) > 0) {
            bin.copyFrom(before);
            bin.bin = Math.min(1023, bin.bin + 1);
            bin.pressureMdbar += 200;
            bin.timeS -= 7;
        } else {
            fillAtRandom(bin, random);
        }
        bin.head = header.head;
        bin.samples = random.nextInt(12) == 0 ? 0 : header.samples;
        int style = random.nextInt(7);
        int level = random.nextInt(1 << 22);
        for (int i = 0; i < bin.samples; i++) {
            bin.counts[i] = switch (style) {
                case 0 -> 0;
                case 1 -> level;
                case 2 -> (int) (level + 800 * random.nextGaussian());
                case 3 -> random.nextInt();
                case 4 -> (int) (64 * 20 * random.nextGaussian());
                case 5 -> 65535 * 64;
                default -> before == null ? i * 300 : before.counts[i] / 2;
            };
        }
        return bin;
    }

    private static void fillAtRandom(BinRecord bin, Random random) {
        bin.bin = random.nextInt(1024);
        bin.pass = random.nextInt(4);
        bin.shaded = random.nextBoolean();
        bin.exposureCode = random.nextInt(16);
        bin.mixedExposure = random.nextBoolean();
        bin.used = random.nextInt(4096);
        bin.rejected = random.nextInt(4096);
        bin.shadedScans = random.nextInt(4096);
        bin.timeS = random.nextInt(5) == 0 ? 0xFFFFFFFFL : random.nextInt() & 0xFFFFFFFFL;
        bin.pressureMdbar = random.nextInt(1 << 24) - (1 << 23);
        bin.offsetMm = random.nextInt(1 << 16) - (1 << 15);
        bin.depthSdMm = random.nextInt(65536);
        bin.tiltCdeg = random.nextInt(18001);
        bin.antisunDeg = random.nextInt(5) == 0 ? BinRecord.ANTISUN_UNKNOWN : random.nextInt(360) - 180;
        bin.fallback = random.nextInt(16);
        bin.darkCounts = random.nextInt(3 << 16) - (1 << 16);
        bin.darkScans = random.nextInt(256);
        for (int band = 0; band < BinRecord.SPREAD_BANDS; band++) {
            bin.spread[band] = random.nextInt(65536);
        }
    }

    private static void assertSameFields(BinRecord expected, BinRecord found, String what) {
        assertEquals(expected.head, found.head, what);
        assertEquals(expected.bin, found.bin, what);
        assertEquals(expected.pass, found.pass, what);
        assertEquals(expected.shaded, found.shaded, what);
        assertEquals(expected.exposureCode, found.exposureCode, what);
        assertEquals(expected.mixedExposure, found.mixedExposure, what);
        assertEquals(expected.used, found.used, what);
        assertEquals(expected.rejected, found.rejected, what);
        assertEquals(expected.shadedScans, found.shadedScans, what);
        assertEquals(expected.timeS, found.timeS, what);
        assertEquals(expected.pressureMdbar, found.pressureMdbar, what);
        assertEquals(expected.offsetMm, found.offsetMm, what);
        assertEquals(expected.depthSdMm, found.depthSdMm, what);
        assertEquals(expected.tiltCdeg, found.tiltCdeg, what);
        assertEquals(expected.antisunDeg, found.antisunDeg, what);
        assertEquals(expected.fallback, found.fallback, what);
        assertEquals(expected.darkCounts, found.darkCounts, what);
        assertEquals(expected.darkScans, found.darkScans, what);
        assertEquals(expected.samples, found.samples, what);
        for (int band = 0; band < BinRecord.SPREAD_BANDS; band++) {
            int spread = expected.spread[band];
            assertEquals(spread, found.spread[band], spread < 8 || spread == 65535 ? 0 : spread / 8.0, what);
        }
    }

    /** The promise of {@link DeltaCodec}, in double precision apart from the codec's own arithmetic. */
    private static void assertWithinBound(
            BlockHeader header, BinRecord expected, BinRecord found, int stepCode, String what) {
        double gain = header.gainSixteenths / 16.0;
        double read = header.readNoiseQuarters / 4.0;
        double averaged = Math.max(1, expected.used) * (double) header.channelsPerSample;
        for (int i = 0; i < expected.samples; i++) {
            double count = Math.max(-65536, Math.min(262144 - 1 / 64.0, expected.counts[i] / 64.0));
            double back = found.counts[i] / 64.0;
            double variance = Math.max(0, Math.max(count, back)) / gain + read * read + 1 / 12.0;
            double sigma = Math.sqrt(variance / averaged);
            double rounding = 2 * Math.sqrt(variance) / 4096 + 1.5 / 64;
            double allowed = CODEC.errorBoundSigma(stepCode) * sigma + rounding;
            assertTrue(
                    Math.abs(back - count) <= allowed,
                    what + " sample " + i + ": " + back + " for " + count + ", allowed " + allowed);
        }
    }

    @Test
    void anyBinsComeBackWithinTheBound() {
        byte[] body = new byte[40_000];
        for (int seed = 1; seed <= 1500; seed++) {
            Random random = new Random(seed);
            BlockHeader header = randomHeader(random);
            BlockCodec.Encoder encoder = CODEC.encoder(1024);
            int limit = 10 + DeltaCodec.HEADER_BYTES + random.nextInt(random.nextBoolean() ? 400 : 30_000);
            encoder.begin(body, 7, limit, header);
            List<BinRecord> sent = new ArrayList<>();
            List<Integer> steps = new ArrayList<>();
            BinRecord before = null;
            for (int i = 0; i < 12; i++) {
                BinRecord bin = randomBin(random, header, before);
                int step = random.nextInt(16);
                int cost = encoder.costBytes();
                if (encoder.add(bin, step)) {
                    sent.add(bin);
                    steps.add(step);
                    assertTrue(encoder.costBytes() >= cost && encoder.costBytes() <= limit - 7, "seed " + seed);
                    before = bin;
                } else {
                    assertEquals(cost, encoder.costBytes(), "seed " + seed);
                }
            }
            int length = encoder.finish();
            assertEquals(encoder.costBytes(), length);
            readBack(body, length, header, sent, steps, "seed " + seed);
        }
    }

    private static void readBack(
            byte[] body, int length, BlockHeader header, List<BinRecord> sent, List<Integer> steps, String what) {
        BlockCodec.Decoder decoder = CODEC.decoder(1024);
        BlockHeader read = new BlockHeader();
        BinRecord bin = new BinRecord(1024);
        assertEquals(BlockCodec.Decoder.END, decoder.begin(body, 7, length, read), what);
        assertArrayEquals(
                new int[] {header.codec, header.head, header.samples, header.channelsPerSample},
                new int[] {read.codec, read.head, read.samples, read.channelsPerSample},
                what);
        assertArrayEquals(
                new int[] {header.gainSixteenths, header.readNoiseQuarters, header.calibrationTag, header.planTag},
                new int[] {read.gainSixteenths, read.readNoiseQuarters, read.calibrationTag, read.planTag},
                what);
        for (int i = 0; i < sent.size(); i++) {
            String which = what + " bin " + i;
            assertEquals(BlockCodec.Decoder.BIN, decoder.next(bin), which);
            assertEquals(steps.get(i), decoder.stepCode(), which);
            assertSameFields(sent.get(i), bin, which);
            assertWithinBound(header, sent.get(i), bin, steps.get(i), which);
        }
        assertEquals(BlockCodec.Decoder.END, decoder.next(bin), what);
        assertEquals(BlockCodec.Decoder.END, decoder.next(bin), what + ": the end stays the end");
    }

    @Test
    void fieldsBeyondTheirRangesAreHeldToThem() {
        BlockHeader header = randomHeader(new Random(1));
        BinRecord bin = new BinRecord(1024);
        bin.head = header.head;
        bin.used = 5000;
        bin.timeS = -5;
        bin.tiltCdeg = 20_000;
        bin.antisunDeg = 200;
        bin.spread[0] = -3;
        bin.pressureMdbar = Integer.MAX_VALUE;
        byte[] body = new byte[100];
        BlockCodec.Encoder encoder = CODEC.encoder(1024);
        encoder.begin(body, 0, 100, header);
        assertTrue(encoder.add(bin, 4));
        BinRecord read = new BinRecord(1024);
        BlockCodec.Decoder decoder = CODEC.decoder(1024);
        decoder.begin(body, 0, encoder.finish(), header);
        assertEquals(BlockCodec.Decoder.BIN, decoder.next(read));
        assertEquals(4095, read.used);
        assertEquals(0, read.timeS);
        assertEquals(18_000, read.tiltCdeg);
        assertEquals(179, read.antisunDeg);
        assertEquals(0, read.spread[0]);
        assertEquals((1 << 23) - 1, read.pressureMdbar);
    }

    @Test
    void binsThatDoNotFitLeaveNoTrace() {
        for (int seed = 1; seed <= 60; seed++) {
            Random random = new Random(seed);
            SyntheticDive dive = new SyntheticDive(seed, 180, 2);
            List<BinRecord> bins = dive.bins();
            BlockCodec.Encoder tried = CODEC.encoder(90);
            BlockCodec.Encoder plain = CODEC.encoder(90);
            byte[] triedBody = new byte[200];
            byte[] plainBody = new byte[200];
            tried.begin(triedBody, 0, 200, dive.header());
            plain.begin(plainBody, 0, 200, dive.header());
            BinRecord noise = new BinRecord(90);
            noise.samples = 90;
            noise.used = 4095;
            int step = random.nextInt(10);
            for (int i = seed; i < seed + 40; i++) {
                for (int s = 0; s < 90; s++) {
                    noise.counts[s] = random.nextInt(1 << 23) - (1 << 22);
                }
                boolean fitted = plain.add(bins.get(i), step);
                if (i % 3 == 0) {
                    assertFalse(tried.add(noise, 0), "seed " + seed);
                }
                assertEquals(fitted, tried.add(bins.get(i), step), "seed " + seed);
                assertEquals(plain.costBytes(), tried.costBytes(), "seed " + seed);
            }
            int length = plain.finish();
            assertEquals(length, tried.finish());
            assertArrayEquals(Arrays.copyOf(plainBody, length), Arrays.copyOf(triedBody, length), "seed " + seed);
        }
    }

    @Test
    void damagedBodiesEndWell() {
        SyntheticDive dive = new SyntheticDive(3, 180, 4);
        byte[] body = new byte[324];
        BlockCodec.Encoder encoder = CODEC.encoder(45);
        encoder.begin(body, 0, body.length, dive.header());
        for (BinRecord bin : dive.bins()) {
            if (!encoder.add(bin, 6)) {
                break;
            }
        }
        byte[] whole = Arrays.copyOf(body, encoder.finish());
        assertEquals(BlockCodec.Decoder.END, drain(whole, 45));
        int spoilt = 0;
        for (int bit = 0; bit < 8 * whole.length; bit++) {
            byte[] flipped = whole.clone();
            flipped[bit / 8] ^= (byte) (1 << (bit % 8));
            spoilt += drain(flipped, 45) == BlockCodec.Decoder.SPOILT ? 1 : 0;
        }
        assertTrue(spoilt > 8 * whole.length / 2, "most flips show: " + spoilt + " of " + 8 * whole.length);
        for (int length = 0; length < whole.length; length++) {
            drain(Arrays.copyOf(whole, length), 45);
        }
        for (int extra = 1; extra < 40; extra++) {
            assertEquals(BlockCodec.Decoder.SPOILT, drain(Arrays.copyOf(whole, whole.length + extra), 45));
        }
        for (int seed = 1; seed <= 3000; seed++) {
            Random random = new Random(seed);
            byte[] bytes = new byte[random.nextInt(400)];
            random.nextBytes(bytes);
            if (bytes.length > 18) {
                System.arraycopy(whole, 0, bytes, 0, random.nextInt(19));
            }
            drain(bytes, random.nextBoolean() ? 1024 : 45);
        }
    }

    /** Reads to the end; the number of bins is bounded. */
    private static int drain(byte[] bytes, int maxSamples) {
        BlockCodec.Decoder decoder = CODEC.decoder(maxSamples);
        BinRecord bin = new BinRecord(maxSamples);
        int state = decoder.begin(bytes, 0, bytes.length, new BlockHeader());
        for (int bins = 0; state != BlockCodec.Decoder.SPOILT; bins++) {
            state = decoder.next(bin);
            if (state == BlockCodec.Decoder.END) {
                return state;
            }
            assertTrue(bins <= DeltaCodec.MAX_BINS);
        }
        assertEquals(BlockCodec.Decoder.SPOILT, decoder.next(bin), "spoilt stays spoilt");
        return state;
    }

    @Test
    void aBodyOfZerosEndsAtItsMostBins() {
        BlockHeader header = new SyntheticDive(1, 16, 1).header();
        BlockCodec.Encoder encoder = CODEC.encoder(16);
        byte[] body = new byte[10_000];
        encoder.begin(body, 0, body.length, header);
        BinRecord bin = new BinRecord(16);
        bin.samples = 16;
        int added = 0;
        while (encoder.add(bin, 15)) {
            added++;
        }
        assertEquals(DeltaCodec.MAX_BINS, added);
        assertTrue(encoder.finish() < 1000);
        assertEquals(BlockCodec.Decoder.END, drain(Arrays.copyOf(body, encoder.finish()), 16));
    }

    @Test
    void pureNoiseCostsLittleMoreThanItsOwnDigits() {
        // 17 random bits a sample plus sign, uniform: nothing to gain, and hardly anything may be lost.
        BlockHeader header = new SyntheticDive(1, 720, 1).header();
        Random random = new Random(9);
        BlockCodec.Encoder encoder = CODEC.encoder(720);
        byte[] body = new byte[100_000];
        encoder.begin(body, 0, body.length, header);
        BinRecord bin = new BinRecord(720);
        bin.samples = 720;
        bin.used = 1;
        int empty = encoder.costBytes();
        for (int n = 0; n < 10; n++) {
            for (int i = 0; i < 720; i++) {
                bin.counts[i] = random.nextInt(65536 * 64);
            }
            assertTrue(encoder.add(bin, 4));
        }
        double bits = 8.0 * (encoder.finish() - empty) / 7200;
        // Counts spread evenly over 0 .. 65535 span levels 0 .. 1000 sigma: below 10 bits a sample at one sigma.
        assertTrue(bits < 11.5, bits + " bits a sample");
    }

    @Test
    void onlyWhatCanBeWrittenIsTaken() {
        BlockHeader header = new SyntheticDive(1, 64, 1).header();
        BlockCodec.Encoder encoder = CODEC.encoder(64);
        byte[] body = new byte[400];
        assertThrows(IllegalArgumentException.class, () -> encoder.begin(body, 0, 17, header));
        encoder.begin(body, 0, 400, header);
        BinRecord otherHead = new BinRecord(64);
        otherHead.head = 1;
        assertThrows(IllegalArgumentException.class, () -> encoder.add(otherHead, 4));
        BinRecord otherSize = new BinRecord(64);
        otherSize.samples = 63;
        assertThrows(IllegalArgumentException.class, () -> encoder.add(otherSize, 4));
        header.gainSixteenths = 0;
        assertThrows(IllegalArgumentException.class, () -> encoder.begin(body, 0, 400, header));
        header.gainSixteenths = 16383;
        header.readNoiseQuarters = 4095;
        assertThrows(IllegalArgumentException.class, () -> encoder.begin(body, 0, 400, header));
        assertNull(Codecs.ofNumber(0));
        assertNull(Codecs.ofNumber(3));
        assertEquals(CODEC, Codecs.ofBody(new byte[] {0x1f}));
    }

    @Test
    void encodingAllocatesNothing() {
        assumeTrue(
                ManagementFactory.getThreadMXBean() instanceof com.sun.management.ThreadMXBean,
                "this JVM has no thread allocation counter");
        com.sun.management.ThreadMXBean threads = (com.sun.management.ThreadMXBean) ManagementFactory.getThreadMXBean();
        SyntheticDive dive = new SyntheticDive(1, 720, 4);
        BinRecord[] bins = dive.bins().toArray(new BinRecord[0]);
        BlockHeader header = dive.header();
        BlockCodec.Encoder encoder = CODEC.encoder(dive.samples());
        byte[] body = new byte[324];
        encodeAll(encoder, bins, header, body);
        long thread = Thread.currentThread().getId();
        long before = threads.getThreadAllocatedBytes(thread);
        threads.getThreadAllocatedBytes(thread);
        long counter = threads.getThreadAllocatedBytes(thread) - before;
        long start = threads.getThreadAllocatedBytes(thread);
        int bodies = encodeAll(encoder, bins, header, body);
        long allocated = threads.getThreadAllocatedBytes(thread) - start;
        assertTrue(bodies > 10);
        assertTrue(allocated <= counter, allocated + " bytes allocated, the counter itself " + counter);
    }

    private static int encodeAll(BlockCodec.Encoder encoder, BinRecord[] bins, BlockHeader header, byte[] body) {
        int bodies = 0;
        int at = 0;
        while (at < bins.length) {
            encoder.begin(body, 0, body.length, header);
            while (at < bins.length && encoder.add(bins[at], 6)) {
                at++;
            }
            encoder.finish();
            bodies++;
        }
        return bodies;
    }
}
