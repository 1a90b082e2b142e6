package sunward.protocol.spectra;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** The samples tier: within one standard deviation in every sample, whatever base and bins hold; hostile bytes are refused. */
class SamplesCodecTest {
    private static final int CHANNELS = 720;
    private static final int BODY = 324;

    /** Bins, their base as a decoder gives it, and the base's header. */
    @SuppressWarnings("ArrayRecordComponent") // of this test, never compared
    private record Base(BlockHeader header, List<BinRecord> own, BinRecord[] told) {
        /** Of the quietest bin, 1/64 count. */
        int darkNoise() {
            return own.stream().mapToInt(bin -> bin.darkNoise).min().orElseThrow();
        }

        int spectra() {
            return (int) Arrays.stream(told).filter(bin -> bin.samples > 0).count();
        }
    }

    private static Base base(int codec, int step, List<BinRecord> bins, BlockHeader header, int bytes) {
        header.codec = codec;
        BlockCodec.Encoder encoder = Codecs.ofNumber(codec).encoder(CHANNELS);
        byte[] body = new byte[bytes];
        encoder.begin(body, 0, bytes, header);
        List<BinRecord> own = new ArrayList<>();
        for (BinRecord bin : bins) {
            bin.darkNoise = 16 * header.readNoiseQuarters + 9;
            if (!encoder.add(bin, step)) {
                break;
            }
            own.add(bin);
        }
        int length = encoder.finish();
        BlockCodec.Decoder decoder = Codecs.ofNumber(codec).decoder(CHANNELS);
        assertEquals(BlockCodec.Decoder.END, decoder.begin(body, 0, length, new BlockHeader()));
        BinRecord[] told = new BinRecord[own.size()];
        for (int i = 0; i < told.length; i++) {
            told[i] = new BinRecord(CHANNELS);
            assertEquals(BlockCodec.Decoder.BIN, decoder.next(told[i]));
            told[i].head = header.head;
        }
        return new Base(header, own, told);
    }

    private static Base synthetic(long seed, int step) {
        SyntheticDive dive = new SyntheticDive(seed, CHANNELS, 1);
        return base(2, step, dive.bins().subList(0, 64), dive.header(), 1940);
    }

    private static List<byte[]> bodies(Base base, SamplesEncoder encoder, int bytes) {
        List<byte[]> bodies = new ArrayList<>();
        int next = 0;
        while (next < base.header().samples) {
            encoder.begin(base.header(), base.spectra(), next, base.darkNoise());
            for (int i = 0; i < base.told().length; i++) {
                assertTrue(encoder.add(base.own().get(i), base.told()[i]), "bin " + i);
            }
            byte[] body = new byte[bytes + 7];
            int length = encoder.write(body, 7, bytes + 7, 2047);
            assertTrue(length > 0, "not one channel fits");
            bodies.add(Arrays.copyOfRange(body, 7, 7 + length));
            next = encoder.next();
        }
        return bodies;
    }

    /** Worst error in the bin's own noise, computed here anew in counts. */
    private static double worst(Base base, int[][] refined) {
        double gain = base.header().gainSixteenths / 16.0;
        double worst = 0;
        for (int i = 0; i < refined.length; i++) {
            BinRecord own = base.own().get(i);
            for (int c = 0; c < own.samples; c++) {
                double counts = Math.max(0, own.counts[c] / 64.0);
                double averaged = Math.max(1, own.used) * base.header().channelsPerSample;
                double read = own.darkNoise / 64.0;
                double sigma = Math.sqrt((counts / gain + read * read + 1.0 / 12) / averaged);
                worst = Math.max(worst, Math.abs(refined[i][c] - own.counts[c]) / 64.0 / sigma);
            }
        }
        return worst;
    }

    private static int[][] read(Base base, List<byte[]> bodies) {
        int[][] refined = new int[base.told().length][CHANNELS];
        SamplesDecoder decoder = new SamplesDecoder(base.told().length);
        for (byte[] body : bodies) {
            assertEquals(2047, SamplesCodec.basePosition(body, 0));
            assertTrue(decoder.read(body, 0, body.length, base.header(), base.told(), refined));
        }
        return refined;
    }

    @Test
    void everySampleComesBackWithinItsNoise() {
        for (int seed = 1; seed <= 4; seed++) {
            for (int step : new int[] {8, 15}) {
                Base base = synthetic(seed, step);
                List<byte[]> bodies = bodies(base, new SamplesEncoder(64, 64 * CHANNELS), BODY);
                double worst = worst(base, read(base, bodies));
                int bytes = bodies.stream().mapToInt(b -> b.length).sum();
                assertTrue(worst <= 1, "seed " + seed + " step " + step + ": " + worst);
                assertTrue(worst > 0.9, "half a step should be used: " + worst);
                int samples = base.told().length * CHANNELS;
                assertTrue(8.0 * bytes / samples < 1.75, "seed " + seed + ": " + 8.0 * bytes / samples);
            }
        }
    }

    @Test
    void noBaseIsTooBadAndNoHeadTooOdd() {
        Random random = new Random(11);
        for (int trial = 0; trial < 60; trial++) {
            BlockHeader header = new SyntheticDive(1, CHANNELS, 1).header();
            // Heads whose smallest noise is well above the rounding to 1/64 count and above the step of one electron.
            header.gainSixteenths = 16 + random.nextInt(200);
            header.readNoiseQuarters = 8 + random.nextInt(120);
            header.channelsPerSample = 1 + random.nextInt(2);
            header.samples = 16 + random.nextInt(200);
            int n = 1 + random.nextInt(12);
            List<BinRecord> own = new ArrayList<>();
            BinRecord[] told = new BinRecord[n];
            for (int i = 0; i < n; i++) {
                BinRecord bin = new BinRecord(CHANNELS);
                bin.used = 1 + random.nextInt(60);
                bin.exposureCode = random.nextInt(3);
                bin.darkNoise = 16 * header.readNoiseQuarters + (trial % 2 == 0 ? 0 : random.nextInt(60));
                bin.samples = random.nextInt(6) == 0 ? 0 : header.samples;
                told[i] = new BinRecord(CHANNELS);
                int level = random.nextInt(16);
                for (int c = 0; c < bin.samples; c++) {
                    bin.counts[c] = random.nextInt(9) == 0 ? 0 : random.nextInt(64 << level) - 2000;
                }
                told[i].copyFrom(bin);
                int scatter = 1 << random.nextInt(24);
                for (int c = 0; c < bin.samples; c++) {
                    told[i].counts[c] += random.nextInt(2 * scatter) - scatter;
                }
                own.add(bin);
            }
            Base base = new Base(header, own, told);
            if (base.spectra() == 0) {
                continue;
            }
            double worst = worst(base, read(base, bodies(base, new SamplesEncoder(12, 9000), 4000)));
            assertTrue(worst <= 1, "trial " + trial + ": " + worst);
        }
    }

    @Test
    void encodingAllocatesNothing() {
        assumeTrue(
                ManagementFactory.getThreadMXBean() instanceof com.sun.management.ThreadMXBean,
                "this JVM has no thread allocation counter");
        com.sun.management.ThreadMXBean threads = (com.sun.management.ThreadMXBean) ManagementFactory.getThreadMXBean();
        Base base = synthetic(6, 12);
        BinRecord[] own = base.own().toArray(new BinRecord[0]);
        SamplesEncoder encoder = new SamplesEncoder(64, 64 * CHANNELS);
        byte[] body = new byte[BODY / 2];
        int spectra = base.spectra();
        int darkNoise = base.darkNoise();
        refine(encoder, base, own, spectra, darkNoise, body);
        long thread = Thread.currentThread().getId();
        long before = threads.getThreadAllocatedBytes(thread);
        threads.getThreadAllocatedBytes(thread);
        long counter = threads.getThreadAllocatedBytes(thread) - before;
        // The machine itself may allocate once, when it compiles or links; the encoder would in every round.
        long allocated = Long.MAX_VALUE;
        int bodies = 0;
        for (int round = 0; round < 5; round++) {
            long start = threads.getThreadAllocatedBytes(thread);
            bodies = refine(encoder, base, own, spectra, darkNoise, body);
            allocated = Math.min(allocated, threads.getThreadAllocatedBytes(thread) - start);
        }
        assertTrue(bodies > 10, bodies + " bodies");
        assertTrue(allocated <= counter, allocated + " bytes allocated, the counter itself " + counter);
    }

    private static int refine(
            SamplesEncoder encoder, Base base, BinRecord[] own, int spectra, int darkNoise, byte[] body) {
        encoder.begin(base.header(), spectra, 0, darkNoise);
        for (int i = 0; i < own.length; i++) {
            encoder.add(own[i], base.told()[i]);
        }
        int bodies = 0;
        while (!encoder.done()) {
            encoder.write(body, 0, body.length, 1);
            bodies++;
        }
        return bodies;
    }

    @Test
    void aSmallWindowWritesTheSameBytes() {
        Base base = synthetic(3, 12);
        List<byte[]> wide = bodies(base, new SamplesEncoder(64, 64 * CHANNELS), BODY);
        List<byte[]> narrow = bodies(base, new SamplesEncoder(64, 4096), BODY);
        assertEquals(wide.size(), narrow.size());
        for (int i = 0; i < wide.size(); i++) {
            assertArrayEquals(wide.get(i), narrow.get(i), "body " + i);
        }
    }

    @Test
    void whatDoesNotBelongToTheBaseIsRefused() {
        Base base = synthetic(4, 8);
        SamplesEncoder encoder = new SamplesEncoder(2, 64 * CHANNELS);
        encoder.begin(base.header(), 2, 0, base.darkNoise());
        BinRecord other = new BinRecord(CHANNELS);
        other.copyFrom(base.own().get(0));
        other.samples = CHANNELS - 1;
        assertFalse(encoder.add(other, base.told()[0]));
        assertTrue(encoder.add(base.own().get(0), base.told()[0]));
        assertTrue(encoder.add(base.own().get(1), base.told()[1]));
        assertFalse(encoder.add(base.own().get(2), base.told()[2]), "more bins than it has room for");
        assertThrows(IllegalArgumentException.class, () -> new SamplesEncoder(8, 7));
    }

    @Test
    void foreignBytesAreRefusedAndNeverThrow() {
        Base base = synthetic(5, 10);
        SamplesDecoder decoder = new SamplesDecoder(base.told().length);
        int[][] refined = new int[base.told().length][CHANNELS];
        List<byte[]> bodies = bodies(base, new SamplesEncoder(64, 64 * CHANNELS), BODY);
        Random random = new Random(77);
        int refused = 0;
        for (int trial = 0; trial < 600; trial++) {
            byte[] body = bodies.get(random.nextInt(bodies.size())).clone();
            if (trial % 3 == 0) {
                body = Arrays.copyOf(body, random.nextInt(body.length));
            } else if (trial % 3 == 1) {
                int bit = random.nextInt(8 * body.length);
                body[bit / 8] ^= (byte) (1 << bit % 8);
            } else {
                for (int i = random.nextInt(body.length); i < body.length; i++) {
                    body[i] = (byte) random.nextInt();
                }
            }
            refused += decoder.read(body, 0, body.length, base.header(), base.told(), refined) ? 0 : 1;
        }
        // As many samples as stated come of any stream, so some end well by chance: the message's seal is what tells.
        assertTrue(refused > 300, refused + " of 600 refused");
        byte[] good = bodies.get(0);
        BinRecord[] fewer = Arrays.copyOf(base.told(), base.told().length - 1);
        assertFalse(decoder.read(good, 0, good.length, base.header(), fewer, refined), "another base");
        assertFalse(decoder.read(good, 0, good.length, base.header(), new BinRecord[0], refined), "no base");
    }

    @Test
    void theStartOfItsBitsIsTheTable() throws IOException {
        List<String> lines = Files.readAllLines(Path.of("..", "tables", "samples-start.txt"), StandardCharsets.UTF_8);
        int[][] table = lines.stream()
                .filter(line -> !line.startsWith("#"))
                .map(line -> Arrays.stream(line.split(" "))
                        .mapToInt(Integer::parseInt)
                        .toArray())
                .toArray(int[][]::new);
        assertTrue(Arrays.deepEquals(table, SamplesTable.START));
        // Normal distribution (any table of it): P(|x| <= 1) = 0.6827, P(|x| <= 3) = 0.9973; the first class is about
        // variance 1.
        assertEquals(0.6827, table[0][0] / 65536.0, 0.02);
        assertEquals((0.9973 - 0.6827) / (1 - 0.6827), table[0][1] / 65536.0, 0.005);
    }
}
