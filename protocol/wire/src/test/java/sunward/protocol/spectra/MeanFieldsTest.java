package sunward.protocol.spectra;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Fields of codec 2 come back within what WIRE.md says of each, whatever they hold; numbers and counts exactly. */
class MeanFieldsTest {
    private static final BlockCodec CODEC = Codecs.ofNumber(BasisCodec.NUMBER);
    private static final int BODY = 9000;

    private static BlockHeader header() {
        BlockHeader header = new SyntheticDive(1, BasisTable.CHANNELS, 1).header();
        header.codec = BasisCodec.NUMBER;
        return header;
    }

    private static List<BinRecord> thereAndBack(List<BinRecord> bins) {
        BlockCodec.Encoder encoder = CODEC.encoder(BasisTable.CHANNELS);
        byte[] body = new byte[BODY];
        encoder.begin(body, 0, BODY, header());
        for (BinRecord bin : bins) {
            assertTrue(encoder.add(bin, 8));
        }
        byte[] bytes = Arrays.copyOf(body, encoder.finish());
        BlockCodec.Decoder decoder = CODEC.decoder(BasisTable.CHANNELS);
        assertEquals(BlockCodec.Decoder.END, decoder.begin(bytes, 0, bytes.length, new BlockHeader()));
        List<BinRecord> back = new ArrayList<>();
        for (int i = 0; i < bins.size(); i++) {
            BinRecord bin = new BinRecord(BasisTable.CHANNELS);
            assertEquals(BlockCodec.Decoder.BIN, decoder.next(bin), "bin " + i);
            back.add(bin);
        }
        assertEquals(BlockCodec.Decoder.END, decoder.next(new BinRecord(BasisTable.CHANNELS)));
        return back;
    }

    /** Bins without spectra; now and then a field jumps to anywhere in its range. */
    private static List<BinRecord> wild(Random random) {
        List<BinRecord> bins = new ArrayList<>();
        int pressure = random.nextInt(250_000);
        long time = 800_000_000L + random.nextInt(100_000_000);
        for (int i = 0; i < 40; i++) {
            BinRecord bin = new BinRecord(BasisTable.CHANNELS);
            bin.bin = random.nextInt(5) == 0 ? random.nextInt(1024) : Math.min(1023, 10 + i);
            pressure += random.nextInt(2000) - (random.nextInt(6) == 0 ? random.nextInt(100_000) : 0);
            time += random.nextInt(40) - 5;
            bin.pressureMdbar = pressure;
            bin.timeS = time;
            bin.used = random.nextInt(4096);
            bin.rejected = random.nextInt(random.nextBoolean() ? 2 : 4096);
            bin.exposureCode = random.nextInt(16);
            bin.offsetMm = random.nextInt(1 << 16) - (1 << 15);
            bin.depthSdMm = random.nextInt(random.nextBoolean() ? 300 : 65_536);
            bin.tiltCdeg = random.nextInt(18_001);
            bin.antisunDeg = random.nextInt(4) == 0 ? BinRecord.ANTISUN_UNKNOWN : random.nextInt(360) - 180;
            bin.darkCounts = random.nextInt(1 << 17) - (random.nextBoolean() ? 1 << 16 : 0);
            bin.darkScans = random.nextInt(256);
            for (int third = 0; third < BinRecord.SPREAD_BANDS; third++) {
                bin.spread[third] = random.nextInt(4) == 0 ? 65_535 : random.nextInt(65_535);
            }
            bins.add(bin);
        }
        return bins;
    }

    @Test
    void everyFieldComesBackWithinItsQuantum() {
        for (int seed = 1; seed <= 200; seed++) {
            List<BinRecord> bins = wild(new Random(seed));
            List<BinRecord> back = thereAndBack(bins);
            for (int i = 0; i < bins.size(); i++) {
                BinRecord was = bins.get(i);
                BinRecord is = back.get(i);
                String where = "seed " + seed + " bin " + i;
                assertEquals(was.bin, is.bin, where);
                assertEquals(was.used, is.used, where);
                assertEquals(was.rejected, is.rejected, where);
                assertEquals(was.exposureCode, is.exposureCode, where);
                assertEquals(was.darkScans, is.darkScans, where);
                // Beyond 100 dbar half a quantum of 64; near a bound of the range it may be a whole one.
                near(was.pressureMdbar, is.pressureMdbar, 32, where);
                near(was.offsetMm, is.offsetMm, 64, where);
                near(was.timeS, is.timeS, 8, where);
                near(was.tiltCdeg, is.tiltCdeg, 100, where);
                near(was.darkCounts, is.darkCounts, 16, where);
                if (was.antisunDeg == BinRecord.ANTISUN_UNKNOWN) {
                    assertEquals(was.antisunDeg, is.antisunDeg, where);
                } else {
                    near(0, Math.floorMod(was.antisunDeg - is.antisunDeg + 180, 360) - 180, 4, where);
                }
                ratio(was.depthSdMm, is.depthSdMm, 1.3, where);
                for (int third = 0; third < BinRecord.SPREAD_BANDS; third++) {
                    boolean unknown = was.spread[third] == 65_535;
                    assertEquals(unknown, is.spread[third] == 65_535, where);
                    ratio(was.spread[third], is.spread[third], 1.6, where);
                }
            }
        }
    }

    private static void near(long was, long is, int most, String where) {
        assertTrue(Math.abs(was - is) <= most, where + ": " + was + " " + is);
    }

    private static void ratio(int was, int is, double most, String where) {
        boolean near = Math.abs(was - is) <= 4 || is < most * was && was < most * is;
        assertTrue(near, where + ": " + was + " " + is);
    }

    @Test
    void depthsNearTheSurfaceComeBackToAMillimetre() {
        List<BinRecord> bins = new SyntheticDive(4, BasisTable.CHANNELS, 1).bins();
        List<BinRecord> bare = new ArrayList<>();
        for (BinRecord bin : bins) {
            BinRecord copy = new BinRecord(BasisTable.CHANNELS);
            copy.copyFrom(bin);
            copy.samples = 0;
            copy.head = 0;
            bare.add(copy);
        }
        boolean any = false;
        List<BinRecord> back = thereAndBack(bare);
        for (int i = 0; i < bare.size(); i++) {
            if (bare.get(i).pressureMdbar < 9000) {
                near(bare.get(i).pressureMdbar, back.get(i).pressureMdbar, 1, "bin " + i);
                near(bare.get(i).offsetMm, back.get(i).offsetMm, 1, "bin " + i);
                any = true;
            }
        }
        assertTrue(any);
        assertFalse(back.isEmpty());
    }
}
