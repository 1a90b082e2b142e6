package sunward.bench;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class PeersTest {
    private static int[][] noisyRows(long seed, int rows, int columns) {
        SplittableRandom random = new SplittableRandom(seed);
        int[][] picture = new int[rows][columns];
        for (int i = 0; i < rows; i++) {
            for (int c = 0; c < columns; c++) {
                double smooth = 900 * Math.exp(-i * (0.02 + 0.0004 * c)) * (1 + Math.sin(c / 7.0));
                picture[i][c] = (int) Math.rint(smooth + random.nextGaussian());
            }
        }
        return picture;
    }

    @Test
    void adaptiveGolombGivesBackWhatItTook() {
        for (long seed = 1; seed <= 40; seed++) {
            SplittableRandom random = new SplittableRandom(seed);
            int[][] rows = noisyRows(seed, 1 + random.nextInt(40), 1 + random.nextInt(90));
            rows[0][0] = random.nextInt(-100_000, 100_000);
            int columns = rows[0].length;
            assertArrayEquals(
                    rows, AdaptiveGolomb.decode(AdaptiveGolomb.encode(rows), rows.length, columns), "seed " + seed);
        }
    }

    /** No straw man: on a smooth field with unit noise it comes within a bit of the noise's entropy, 2.05 bit. */
    @Test
    void adaptiveGolombIsAWorthyPeer() {
        int[][] rows = noisyRows(7, 200, 300);
        double bits = AdaptiveGolomb.encode(rows).length * 8.0 / (200 * 300);
        assertTrue(bits < 2.05 + 1, bits + " bit a sample");
    }

    /** Every peer decodes its own bytes; here only that each makes fewer of them than 16 bits a sample. */
    @Test
    void everyPeerPacksASmoothPicture() {
        Picture picture = new Picture(noisyRows(3, 60, 200), new int[60][18]);
        for (Peer peer : Peer.all()) {
            assertTrue(peer.bytes(picture) < 60 * 200 * 2, peer.name());
        }
    }

    /** A dive with a dead head, or under thick cloud, leaves pictures of a few rows: peers that are here code these too. */
    @ParameterizedTest
    @ValueSource(ints = {1, 2, 7, 31})
    void peersTakeFewRows(int count) {
        Picture picture = new Picture(noisyRows(5, count, 720), new int[count][18]);
        for (Peer peer : Peer.all()) {
            int bytes = peer.bytes(picture);
            assertTrue(bytes > 0 && bytes < 40 * count + 3 * count * 720 + 500, peer.name() + ": " + bytes);
        }
    }

    /** At the finest steps a bright or badly dark sample needs more than the usual bits: no peer's range may cost it the dive. */
    @Test
    void peersTakeLargeNumbers() {
        int[][] rows = noisyRows(6, 40, 90);
        rows[3][5] = 70_000;
        rows[7][0] = -70_000;
        Picture picture = new Picture(rows, new int[40][18]);
        for (Peer peer : Peer.all()) {
            assertTrue(peer.bytes(picture) > 0, peer.name());
        }
    }

    /** By hand: units and counts are each other's inverse, and one unit is one standard deviation. */
    @Test
    void noiseUnitsAreStandardDeviations() {
        NoiseUnits units = new NoiseUnits(3.8, 8);
        for (double counts : new double[] {-50, 0, 1, 30, 1000, 60_000}) {
            assertEquals(counts, units.counts(units.of(counts)), 1e-6 * Math.max(1, Math.abs(counts)));
            double sigma = Math.sqrt(units.variance(counts));
            assertEquals(1, units.of(counts + sigma / 2) - units.of(counts - sigma / 2), 0.01, counts + " counts");
        }
    }
}
