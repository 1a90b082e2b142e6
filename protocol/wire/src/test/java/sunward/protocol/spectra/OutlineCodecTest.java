package sunward.protocol.spectra;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/** Properties of the outline's coder on made-up profiles; no published values exist for it. */
class OutlineCodecTest {
    private static final double SHORTEST_S = 0.004;

    private final OutlineModel model = new OutlineModel();
    private final OutlineCodec codec = new OutlineCodec(model);
    private final byte[] body = new byte[4000];

    private static BlockHeader header(int samples) {
        BlockHeader header = new BlockHeader();
        header.channelsPerSample = 4;
        header.samples = samples;
        header.gainSixteenths = 61;
        header.readNoiseQuarters = 32;
        return header;
    }

    private static Outline made(long seed, int samples) {
        SplittableRandom random = new SplittableRandom(seed);
        Outline o = new Outline();
        o.samples = samples;
        o.heads = 1 + random.nextInt(2);
        o.head[1] = 1;
        o.knots = 2 + random.nextInt(Outline.MAX_KNOTS - 1);
        for (int j = 0; j < o.knots; j++) {
            o.knotCm[j] = (j == 0 ? 30 : o.knotCm[j - 1]) + 1 + random.nextInt(2000);
            o.exposureCode[j] = random.nextInt(10);
            for (int m = 0; m < OutlineBasis.RANK; m++) {
                double before = j == 0 ? 0 : o.wanted[j - 1][m];
                o.wanted[j][m] = before + (random.nextDouble() - 0.5) * OutlineBasis.size(m) / 5;
            }
            if (j < o.knots - 1) {
                o.scatter[j] = random.nextInt(8);
                o.misfitTenths[j] = random.nextInt(8);
            }
        }
        o.novelty[1][random.nextInt(Outline.BANDS)] = -25 * OutlineCodec.NOVELTY_STEP;
        o.response[1][2] = o.heads > 1 ? 12 : 0;
        return o;
    }

    /** What the reader gets is to the bit what the writer said it would get. */
    @Test
    void readerAndWriterAgreeToTheBit() {
        for (int samples : new int[] {720, 144, 40, 16}) {
            for (long seed = 0; seed < 16; seed++) {
                Outline wrote = made(seed, samples);
                int length = codec.encode(
                        wrote,
                        header(samples),
                        SHORTEST_S,
                        (int) (seed % OutlineCodec.FINENESSES),
                        body,
                        0,
                        body.length);
                assertTrue(length > 0, "seed " + seed);
                Outline read = new Outline();
                BlockHeader opened = new BlockHeader();
                assertTrue(codec.decode(body, 0, length, opened, read), "seed " + seed);
                assertEquals(samples, opened.samples);
                assertEquals(wrote.knots, read.knots);
                for (int j = 0; j < wrote.knots; j++) {
                    assertArrayEquals(wrote.coefficient[j], read.coefficient[j], 0.0, "seed " + seed);
                }
                assertArrayEquals(wrote.novelty[1], read.novelty[1]);
                assertArrayEquals(wrote.response[1], read.response[1]);
                assertArrayEquals(wrote.scatter, read.scatter);
            }
        }
    }

    /** On the axes where uncertainty is one, no coefficient is off by more than half a step. */
    @Test
    void stepsHoldInUnitsOfUncertainty() {
        for (long seed = 0; seed < 20; seed++) {
            Outline o = made(seed, 720);
            codec.encode(o, header(720), SHORTEST_S, 0, body, 0, body.length);
            model.start(header(720));
            double[] off = new double[OutlineBasis.RANK];
            for (int m = 0; m < off.length; m++) {
                off[m] = o.wanted[0][m] - o.coefficient[0][m];
            }
            double exposureS = SHORTEST_S * (1 << o.exposureCode[0]);
            model.prepare(new double[OutlineBasis.RANK], exposureS);
            // Steps of 4; a change is rounded up from 0.6 of a step.
            double most = 2.4 * 2.4 * OutlineBasis.RANK + 1e-6;
            assertTrue(model.cost(off) <= most, "seed " + seed + ": " + model.cost(off));
        }
    }

    @Test
    void hostileBytesAreRefusedAndNeverThrow() {
        SplittableRandom random = new SplittableRandom(7);
        Outline wrote = made(3, 720);
        int length = codec.encode(wrote, header(720), SHORTEST_S, 2, body, 0, body.length);
        int refused = 0;
        for (int i = 0; i < 400; i++) {
            byte[] spoilt = java.util.Arrays.copyOf(body, 1 + random.nextInt(length));
            for (int n = random.nextInt(4); n >= 0; n--) {
                spoilt[random.nextInt(spoilt.length)] ^= (byte) (1 << random.nextInt(8));
            }
            refused += codec.decode(spoilt, 0, spoilt.length, new BlockHeader(), new Outline()) ? 0 : 1;
        }
        assertTrue(refused > 300, refused + " of 400 refused");
    }

    /** The last layer reaches from the lowest light to the bottom: whatever dark bins made of its coefficients, light does not grow there. */
    @Test
    void lightDoesNotGrowDownAThickLayer() {
        for (long seed = 0; seed < 20; seed++) {
            Outline o = made(seed, 720);
            int last = o.knots - 1;
            o.knotCm[last] = o.knotCm[last - 1] + 4 * (o.knotCm[last - 1] - o.knotCm[last - 2]);
            SplittableRandom random = new SplittableRandom(seed);
            for (int m = 0; m < OutlineBasis.RANK; m++) {
                o.coefficient[last][m] = random.nextDouble(-300, 300);
            }
            model.start(header(720));
            double[] top = new double[720];
            double[] below = new double[720];
            model.at(o, 0, o.knotCm[last - 1] / 100.0, top);
            boolean falls = false;
            for (double share = 0.1; share <= 1; share += 0.3) {
                model.at(o, 0, (o.knotCm[last - 1] + share * (o.knotCm[last] - o.knotCm[last - 1])) / 100, below);
                for (int k = 0; k < 720; k++) {
                    assertTrue(below[k] <= top[k] + 1e-9, "seed " + seed + ", sample " + k);
                    falls |= below[k] < top[k] - 0.1;
                }
            }
            assertTrue(falls, "seed " + seed + ": it may fall");
        }
    }

    @Test
    void tooLittleRoomIsSaid() {
        assertEquals(-1, codec.encode(made(1, 720), header(720), SHORTEST_S, 0, body, 0, 60));
    }

    @Test
    void theTableBesideWireMdIsTheOneInUse() throws IOException {
        assertEquals(
                Files.readAllLines(Path.of("..", "tables", "outline-basis-2.txt")).stream()
                        .filter(line -> !line.startsWith("#"))
                        .toList(),
                List.of(OutlineTable.ROWS));
    }
}
