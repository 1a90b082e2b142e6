package sunward.protocol.spectra;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Base64;
import java.util.HexFormat;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import sunward.protocol.seal.Sha256;

/** Codec 2 keeps what bands see, states what it leaves out, and survives whatever bins and bytes hold. */
class BasisCodecTest {
    private static final BlockCodec CODEC = Codecs.ofNumber(BasisCodec.NUMBER);
    private static final int CHANNELS = 720;
    /** Long enough for a spectrum of a sun that the table does not know. */
    private static final int MESSAGE = 1940;

    private static final int SHORT_MESSAGE = 1100;

    private static BlockHeader header() {
        BlockHeader header = new SyntheticDive(1, CHANNELS, 1).header();
        header.codec = BasisCodec.NUMBER;
        return header;
    }

    /** A body and the bins that went into it. */
    @SuppressWarnings("ArrayRecordComponent") // of this test, never compared
    private record Body(byte[] bytes, List<BinRecord> bins) {}

    private static List<Body> bodies(List<BinRecord> bins, int step, int bytes) {
        List<Body> bodies = new ArrayList<>();
        BlockCodec.Encoder encoder = CODEC.encoder(CHANNELS);
        byte[] body = new byte[bytes];
        List<BinRecord> inBody = new ArrayList<>();
        for (int i = 0; i < bins.size(); ) {
            if (inBody.isEmpty()) {
                encoder.begin(body, 0, bytes, header());
            }
            if (encoder.add(bins.get(i), step)) {
                inBody.add(bins.get(i++));
            } else {
                assertFalse(inBody.isEmpty(), "bin " + i + " fits no body");
                bodies.add(new Body(Arrays.copyOf(body, encoder.finish()), List.copyOf(inBody)));
                inBody.clear();
            }
        }
        bodies.add(new Body(Arrays.copyOf(body, encoder.finish()), inBody));
        return bodies;
    }

    private static List<BinRecord> read(byte[] bytes) {
        BlockCodec.Decoder decoder = CODEC.decoder(CHANNELS);
        List<BinRecord> bins = new ArrayList<>();
        assertEquals(BlockCodec.Decoder.END, decoder.begin(bytes, 0, bytes.length, new BlockHeader()));
        while (true) {
            BinRecord bin = new BinRecord(CHANNELS);
            int state = decoder.next(bin);
            if (state != BlockCodec.Decoder.BIN) {
                assertEquals(BlockCodec.Decoder.END, state);
                return bins;
            }
            bins.add(bin);
        }
    }

    private static double sigma(BinRecord bin, int channel) {
        double counts = Math.max(0, bin.counts[channel] / 64.0);
        return Math.sqrt((counts / SyntheticDive.GAIN + SyntheticDive.READ * SyntheticDive.READ + 1.0 / 12) / bin.used);
    }

    /** Error of Gaussian bands of 10 nm, every 10 nm from 410 to 690 nm, rms in their own noise; computed here anew. */
    private static double bandError(BinRecord was, BinRecord is) {
        double sum = 0;
        int bands = 0;
        for (double centre = 410; centre <= 690; centre += 10) {
            double error = 0;
            double variance = 0;
            for (int c = 0; c < CHANNELS; c++) {
                double off = (320 + 0.75 * c - centre) / 4.2466;
                double w = Math.exp(-0.5 * off * off);
                error += w * (is.counts[c] - was.counts[c]) / 64.0;
                variance += w * w * sigma(was, c) * sigma(was, c);
            }
            sum += error * error / variance;
            bands++;
        }
        return Math.sqrt(sum / bands);
    }

    @Test
    void bandsComeBackWithinAFractionOfTheirNoise() {
        for (int seed = 1; seed <= 3; seed++) {
            List<Double> errors = new ArrayList<>();
            int bytes = 0;
            List<BinRecord> all = new SyntheticDive(seed, CHANNELS, 1).bins();
            for (Body body : bodies(all, 6, MESSAGE)) {
                List<BinRecord> back = read(body.bytes());
                assertEquals(body.bins().size(), back.size());
                for (int i = 0; i < back.size(); i++) {
                    errors.add(bandError(body.bins().get(i), back.get(i)));
                    assertEquals(body.bins().get(i).pressureMdbar, back.get(i).pressureMdbar, 32);
                    assertEquals(body.bins().get(i).used, back.get(i).used);
                }
                bytes += body.bytes().length;
            }
            errors.sort(null);
            double most = errors.get((int) (0.95 * errors.size()));
            assertTrue(most < 1, "seed " + seed + ": " + most);
            assertTrue(bytes < all.size() * 90, "seed " + seed + ": " + bytes);
        }
    }

    @Test
    void whatIsLeftOutIsStated() {
        // Cells of six channels, as the format has them, against what the decoder says of each region.
        Random random = new Random(5);
        int[] regions = {0, 18, 40, 62, 84, 120};
        List<BinRecord> bins = new SyntheticDive(5, CHANNELS, 1).bins();
        for (BinRecord bin : bins) {
            int line = 20 + random.nextInt(680);
            for (int c = -8; c <= 8; c++) {
                bin.counts[line + c] += (int) (bin.counts[line + c] * 0.4 * Math.exp(-c * c / 8.0));
            }
        }
        int coded = 0;
        for (Body body : bodies(bins, 8, MESSAGE)) {
            List<BinRecord> back = read(body.bytes());
            for (int i = 0; i < back.size(); i++) {
                BinRecord was = body.bins().get(i);
                for (int region = 0; region < 5; region++) {
                    double worst = 0;
                    for (int cell = regions[region]; cell < regions[region + 1]; cell++) {
                        double left = 0;
                        for (int c = 6 * cell; c < 6 * cell + 6; c++) {
                            left += (back.get(i).counts[c] - was.counts[c]) / 64.0 / sigma(was, c) / Math.sqrt(6);
                        }
                        worst = Math.max(worst, Math.abs(left));
                    }
                    double stated = 5 * Math.pow(2, back.get(i).misfit[region] / 2.0);
                    // The scale of levels is not quite the scale of this check where a line changes the noise itself.
                    assertTrue(
                            worst < 1.25 * stated + 0.5,
                            "bin " + i + " region " + region + ": " + worst + " " + stated);
                    coded++;
                }
            }
        }
        assertTrue(coded > 500);
    }

    private static BinRecord anyBin(Random random, int head) {
        BinRecord bin = new BinRecord(CHANNELS);
        bin.head = head;
        bin.used = random.nextInt(4096);
        bin.pressureMdbar = random.nextInt(1 << 20);
        bin.exposureCode = random.nextInt(16);
        bin.samples = random.nextInt(9) == 0 ? 0 : CHANNELS;
        int style = random.nextInt(5);
        for (int c = 0; c < CHANNELS; c++) {
            bin.counts[c] = switch (style) {
                case 0 -> 0;
                case 1 -> 65535 * 64;
                case 2 -> random.nextInt();
                case 3 -> (int) (500 * random.nextGaussian());
                default -> c * 3000;
            };
        }
        return bin;
    }

    /** A head of little noise and many electrons to a count, one cell at its brightest: millions of times the cell's noise. */
    @Test
    void theLargestNovelCellComesBack() {
        BlockHeader header = header();
        header.gainSixteenths = 16_383;
        header.readNoiseQuarters = 0;
        BlockCodec.Encoder encoder = CODEC.encoder(CHANNELS);
        byte[] body = new byte[900]; // no room for channels one by one
        encoder.begin(body, 0, body.length, header);
        BinRecord bin = new BinRecord(CHANNELS);
        bin.samples = CHANNELS;
        bin.used = 4095;
        int largest = (1 << 24) - 1;
        Arrays.fill(bin.counts, 600, 606, largest);
        assertTrue(encoder.add(bin, 15), "it fits");
        BinRecord told = read(Arrays.copyOf(body, encoder.finish())).get(0);
        double sum = 0;
        for (int c = 600; c < 606; c++) {
            sum += told.counts[c] / (double) largest / 6;
        }
        assertEquals(1, sum, 0.1);
    }

    @Test
    void anyBinsComeBackTheSameWayTwice() {
        for (int seed = 1; seed <= 150; seed++) {
            Random random = new Random(seed);
            BlockHeader header = header();
            header.gainSixteenths = 1 + random.nextInt((1 << 14) - 1);
            header.readNoiseQuarters =
                    random.nextInt(Math.min((1 << 12) - 1, NoiseScale.MAX_GAIN_READ / header.gainSixteenths) + 1);
            BlockCodec.Encoder encoder = CODEC.encoder(CHANNELS);
            byte[] body = new byte[4000];
            encoder.begin(body, 0, body.length, header);
            int added = 0;
            for (int i = 0; i < 6; i++) {
                int cost = encoder.costBytes();
                if (encoder.add(anyBin(random, header.head), random.nextInt(16))) {
                    added++;
                } else {
                    assertEquals(cost, encoder.costBytes(), "seed " + seed);
                }
            }
            byte[] whole = Arrays.copyOf(body, encoder.finish());
            List<BinRecord> once = read(whole);
            assertEquals(added, once.size(), "seed " + seed);
            List<BinRecord> again = read(whole);
            for (int i = 0; i < added; i++) {
                assertArrayEquals(once.get(i).counts, again.get(i).counts, "seed " + seed);
            }
        }
    }

    @Test
    void binsThatDoNotFitLeaveNoTrace() {
        List<BinRecord> bins = new SyntheticDive(7, CHANNELS, 1).bins();
        BlockCodec.Encoder tried = CODEC.encoder(CHANNELS);
        BlockCodec.Encoder plain = CODEC.encoder(CHANNELS);
        byte[] triedBody = new byte[MESSAGE];
        byte[] plainBody = new byte[MESSAGE];
        tried.begin(triedBody, 0, MESSAGE, header());
        plain.begin(plainBody, 0, MESSAGE, header());
        BinRecord noise = anyBin(new Random(1), 0);
        noise.samples = CHANNELS;
        noise.used = 4095;
        Random random = new Random(2);
        assertTrue(plain.add(bins.get(0), 7) && tried.add(bins.get(0), 7));
        for (int i = 1; i < 30; i++) {
            for (int c = 0; c < CHANNELS; c++) {
                noise.counts[c] = random.nextInt(1 << 23) - (1 << 22);
            }
            assertFalse(tried.add(noise, 0));
            assertEquals(plain.add(bins.get(i), 7), tried.add(bins.get(i), 7));
        }
        int length = plain.finish();
        assertEquals(length, tried.finish());
        assertArrayEquals(Arrays.copyOf(plainBody, length), Arrays.copyOf(triedBody, length));
    }

    /**
     * By hand: readings of channels that no basis follows, 400 counts up and down, fit a short message as its first bin when told
     * sparingly; a message too short even for that takes nothing and then as much as one that was never tried.
     */
    @Test
    void aFirstBinThatIsTooLongIsToldSparingly() {
        BinRecord odd = new SyntheticDive(7, CHANNELS, 1).bins().get(0);
        for (int c = 0; c < CHANNELS; c++) {
            odd.counts[c] += (c % 2 == 0 ? 400 : -400) * 64;
        }
        byte[] body = new byte[MESSAGE];
        BlockCodec.Encoder encoder = CODEC.encoder(CHANNELS);
        encoder.begin(body, 0, MESSAGE, header());
        assertTrue(encoder.add(odd, 7));
        BinRecord back = read(Arrays.copyOf(body, encoder.finish())).get(0);
        assertTrue(bandError(odd, back) < 1.5, "bands off by " + bandError(odd, back));
        int tooShort = 60;
        encoder.begin(body, 0, tooShort, header());
        assertFalse(encoder.add(odd, 7));
        int empty = encoder.finish();
        BlockCodec.Encoder never = CODEC.encoder(CHANNELS);
        never.begin(new byte[tooShort], 0, tooShort, header());
        assertEquals(never.finish(), empty);
    }

    @Test
    void damagedBodiesEndWell() {
        byte[] whole = bodies(new SyntheticDive(3, CHANNELS, 1).bins(), 8, SHORT_MESSAGE)
                .get(0)
                .bytes();
        for (int bit = 0; bit < 8 * whole.length; bit += 3) {
            byte[] flipped = whole.clone();
            flipped[bit / 8] ^= (byte) (1 << (bit % 8));
            drain(flipped);
        }
        for (int seed = 1; seed <= 300; seed++) {
            Random random = new Random(seed);
            byte[] bytes = new byte[random.nextInt(700)];
            random.nextBytes(bytes);
            System.arraycopy(whole, 0, bytes, 0, Math.min(bytes.length, 18 + random.nextInt(60)));
            drain(bytes);
        }
    }

    private static void drain(byte[] bytes) {
        BlockCodec.Decoder decoder = CODEC.decoder(CHANNELS);
        BinRecord bin = new BinRecord(CHANNELS);
        int state = decoder.begin(bytes, 0, bytes.length, new BlockHeader());
        for (int bins = 0; state != BlockCodec.Decoder.SPOILT && bins <= DeltaCodec.MAX_BINS; bins++) {
            state = decoder.next(bin);
            if (state == BlockCodec.Decoder.END) {
                return;
            }
        }
        assertEquals(BlockCodec.Decoder.SPOILT, state);
    }

    @Test
    void otherGridsAreRefused() {
        BlockHeader header = header();
        header.samples = 360;
        BlockCodec.Encoder encoder = CODEC.encoder(CHANNELS);
        String says = assertThrows(IllegalArgumentException.class, () -> encoder.begin(new byte[400], 0, 400, header))
                .getMessage();
        assertEquals("codec 2 does not carry 360 samples of 1 channels", says);
        assertFalse(CODEC.carries(720, 2));
        assertTrue(CODEC.carries(720, 1));
    }

    @Test
    void theTableIsTheOneThatWireNames() throws IOException {
        byte[] bytes = Files.readAllBytes(Path.of("..", "tables", "spectral-basis.bin"));
        int rowBytes = 2 * CHANNELS;
        assertEquals(bytes.length, rowBytes * BasisRows.BASE64.length);
        for (int row = 0; row < BasisRows.BASE64.length; row++) {
            assertArrayEquals(
                    Arrays.copyOfRange(bytes, row * rowBytes, (row + 1) * rowBytes),
                    Base64.getDecoder().decode(BasisRows.BASE64[row]),
                    "row " + row);
        }
        byte[] digest = new byte[Sha256.DIGEST_BYTES];
        Sha256 hash = new Sha256();
        hash.update(bytes, 0, bytes.length);
        hash.finish(digest, 0);
        String description = Files.readString(Path.of("..", "WIRE.md"), StandardCharsets.UTF_8);
        assertTrue(description.contains(HexFormat.of().formatHex(digest)), "WIRE.md names the table's hash");
    }

    @Test
    void theStartsAreThoseOfTheTable() throws IOException {
        Path file = Path.of("..", "tables", "basis-start.txt");
        List<int[]> lines = Files.readAllLines(file, StandardCharsets.UTF_8).stream()
                .filter(line -> !line.startsWith("#"))
                .map(line -> Arrays.stream(line.split(" "))
                        .mapToInt(Integer::parseInt)
                        .toArray())
                .toList();
        assertEquals(BasisStart.STOP.length, lines.size());
        for (int i = 0; i < lines.size(); i++) {
            assertArrayEquals(BasisStart.STOP[i], lines.get(i), "line " + i);
        }
        assertEquals(BasisStart.LATER_FIELDS + BinFields.FIELDS, lines.size());
        byte[] digest = new byte[Sha256.DIGEST_BYTES];
        byte[] bytes = Files.readAllBytes(file);
        Sha256 hash = new Sha256();
        hash.update(bytes, 0, bytes.length);
        hash.finish(digest, 0);
        String description = Files.readString(Path.of("..", "WIRE.md"), StandardCharsets.UTF_8);
        assertTrue(description.contains(HexFormat.of().formatHex(digest)), "WIRE.md names the starts' hash");
    }
}
