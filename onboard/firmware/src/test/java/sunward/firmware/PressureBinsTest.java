package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import sunward.protocol.spectra.BinRecord;

/** Bins against plain double-precision means written here. */
class PressureBinsTest {
    private static final int CHANNELS = 30;

    private final FloatPlan plan = TestPlans.reference(2, CHANNELS);
    private final ScanStore store = new ScanStore(plan, new Region(new TestFlash(1 << 20), 0, 1 << 20), CHANNELS);
    private final PressureBins bins = new PressureBins(plan, store, CHANNELS);
    private final BinRecord bin = new BinRecord(CHANNELS);
    private final RawScan scan = TestPlans.scan(CHANNELS, 0, 0, 0);
    private final List<double[]> used = new ArrayList<>(); // weight, pressure, offset, tilt, counts...

    private void add(int exposure, boolean dark, double level, int pressureE4, int offset, int number) {
        scan.head = 0;
        scan.exposureCode = exposure;
        scan.shutterClosed = dark;
        scan.pressureE4Dbar = pressureE4;
        scan.timeMs = 1_000L * store.size();
        for (int c = 0; c < CHANNELS; c++) {
            scan.counts[c] = (char) Math.rint(level + 3 * c);
        }
        store.add(scan, scan.timeMs, number, false, false, false, false, false, offset, 150, 170, 0);
    }

    private void note(int weight, int pressureE4, int offset) {
        double[] row = new double[3 + CHANNELS];
        row[0] = weight;
        row[1] = pressureE4;
        row[2] = offset;
        for (int c = 0; c < CHANNELS; c++) {
            row[3 + c] = scan.counts[c];
        }
        used.add(row);
    }

    @Test
    void meansAndMomentsEqualAPlainReference() {
        Random random = new Random(4);
        double dark = 0;
        for (int i = 0; i < 9; i++) {
            double level = 900 + random.nextInt(5);
            add(3, true, level, 0, 0, BinGrid.NO_BIN);
            dark += level / 9;
        }
        for (int i = 0; i < 12; i++) {
            int pressure = 50_000 + random.nextInt(2000);
            int offset = 200 + random.nextInt(80);
            add(3, false, 20_000 + random.nextInt(400), pressure, offset, 7);
            note(1, pressure, offset);
        }
        bins.start();
        assertTrue(bins.make(0, 7, 0, bin));
        assertEquals(12, bin.used);
        assertEquals(3, bin.exposureCode);
        assertEquals(9, bin.darkScans);
        assertFalse(bin.mixedExposure || bins.darkMissing());
        assertEquals(150, bin.tiltCdeg);
        assertEquals(170, bin.antisunDeg);
        compare(dark);
    }

    private void compare(double dark) {
        double weight = 0;
        double pressure = 0;
        double offset = 0;
        double depth = 0;
        for (double[] row : used) {
            weight += row[0];
            pressure += row[0] * row[1];
            offset += row[0] * row[2];
            depth += row[0] * (row[1] / 10 + row[2]);
        }
        double squares = 0;
        for (double[] row : used) {
            squares += row[0] * Math.pow(row[1] / 10 + row[2] - depth / weight, 2);
        }
        assertEquals(pressure / weight / 10, bin.pressureMdbar, 0.51);
        assertEquals(offset / weight, bin.offsetMm, 0.51);
        assertEquals(Math.sqrt(squares / weight), bin.depthSdMm, 0.51);
        for (int c = 0; c < CHANNELS; c++) {
            double sum = 0;
            for (double[] row : used) {
                sum += row[3 + c];
            }
            assertEquals(64 * (sum / used.size() - dark - 3 * c), bin.counts[c], 1.01, "channel " + c);
        }
    }

    /** A flash and a spike far out are counted, not used, and leave the mean where it was. */
    @Test
    void flashesAreLeftOutAndCounted() {
        Random random = new Random(5);
        for (int i = 0; i < 8; i++) {
            add(3, true, 900, 0, 0, BinGrid.NO_BIN);
        }
        for (int i = 0; i < 10; i++) {
            int pressure = 50_000 + 150 * i;
            add(3, false, 20_000 + random.nextInt(100), pressure, 250, 7);
            note(1, pressure, 250);
        }
        add(3, false, 30_000, 50_500, 250, 7);
        add(3, false, 2_000, 50_600, 250, 7);
        bins.start();
        assertTrue(bins.make(0, 7, 0, bin));
        assertEquals(10, bin.used);
        assertEquals(2, bin.rejected);
        compare(900);
    }

    /** Normal scatter of many bins: six deviations reject next to nothing, and the mean is not pulled. */
    @Test
    void rejectionDoesNotBiasTheMean() {
        Random random = new Random(6);
        for (int i = 0; i < 8; i++) {
            add(3, true, 900, 0, 0, BinGrid.NO_BIN);
        }
        double sum = 0;
        int rejected = 0;
        for (int number = 0; number < 300; number++) {
            for (int i = 0; i < 7; i++) {
                add(3, false, 20_900 + 500 * random.nextGaussian(), 50_000, 250, number);
            }
        }
        bins.start();
        for (int number = 0; number < 300; number++) {
            assertTrue(bins.make(0, number, 0, bin));
            sum += bin.counts[0] / 64.0;
            rejected += bin.rejected;
        }
        double standardError = 500 / Math.sqrt(2100);
        assertEquals(20_000, sum / 300, 4 * standardError);
        assertTrue(rejected < 2100 * 0.03, "rejected " + rejected);
    }

    @Test
    void exposuresAnOctaveAwayJoinScaledAndSaidSo() {
        for (int i = 0; i < 6; i++) {
            add(3, true, 900, 0, 0, BinGrid.NO_BIN);
            add(4, true, 940, 0, 0, BinGrid.NO_BIN);
            add(6, true, 990, 0, 0, BinGrid.NO_BIN);
        }
        // Pure signal of 1000 counts at code 3: 2000 at code 4.
        for (int i = 0; i < 5; i++) {
            add(3, false, 900 + 1000, 50_000, 100, 7);
        }
        for (int i = 0; i < 2; i++) {
            add(4, false, 940 + 2000, 53_500, 170, 7);
        }
        add(6, false, 990 + 8000, 50_000, 100, 7);
        bins.start();
        assertTrue(bins.make(0, 7, 0, bin));
        assertTrue(bin.mixedExposure);
        assertEquals(3, bin.exposureCode);
        assertEquals(7, bin.used);
        assertEquals(1, bin.rejected);
        for (int c = 0; c < CHANNELS; c++) {
            assertEquals(64 * 1000, bin.counts[c], 1);
        }
        // Weights 5 x 1 and 2 x 2: the depth weighs as the light does.
        assertEquals((5 * 5000 + 4 * 5350) / 9.0, bin.pressureMdbar, 0.51);
        assertEquals((5 * 100 + 4 * 170) / 9.0, bin.offsetMm, 0.51);
        assertEquals(900, bin.darkCounts, 45);
    }

    @Test
    void withoutDarksAtTheExposureTheNearestStandInAndItIsTold() {
        for (int i = 0; i < 4; i++) {
            add(5, true, 910, 0, 0, BinGrid.NO_BIN);
            add(3, false, 5000, 50_000, 100, 7);
        }
        bins.start();
        assertTrue(bins.make(0, 7, 0, bin));
        assertTrue(bins.darkMissing());
        assertEquals(0, bin.darkScans);
        assertEquals(64 * 4090, bin.counts[0]);
    }

    @Test
    void withoutAnyDarkThereIsNoBin() {
        add(3, false, 5000, 50_000, 100, 7);
        bins.start();
        assertFalse(bins.make(0, 7, 0, bin));
        assertTrue(bins.darkMissing());
    }

    @Test
    void unfitAndShadedScansAreCountedOnly() {
        for (int i = 0; i < 4; i++) {
            add(3, true, 900, 0, 0, BinGrid.NO_BIN);
            add(3, false, 5000, 50_000, 100, 7);
        }
        store.add(scan, scan.timeMs, 7, true, false, false, false, false, 0, 0, 0, 0);
        store.add(scan, scan.timeMs, 7, false, true, false, false, false, 0, 0, 0, 0);
        store.add(scan, scan.timeMs, 7, false, false, true, false, false, 0, 0, 0, 0);
        bins.start();
        assertTrue(bins.make(0, 7, 0, bin));
        assertEquals(4, bin.used);
        assertEquals(2, bin.rejected);
        assertEquals(1, bin.shadedScans);
        assertFalse(bins.make(1, 7, 0, bin));
    }

    /** Relative standard deviation between scans, each third of the channels: worked by hand. */
    @Test
    void spreadIsTheScatterBetweenScans() {
        for (int i = 0; i < 4; i++) {
            add(3, true, 900, 0, 0, BinGrid.NO_BIN);
        }
        add(3, false, 900 + 990, 50_000, 100, 7);
        add(3, false, 900 + 1010, 50_000, 100, 7);
        bins.start();
        assertTrue(bins.make(0, 7, 0, bin));
        // Deviations of -10 and +10 about 1000: sqrt(200) / 1000 = 1.41 %.
        for (int band = 0; band < BinRecord.SPREAD_BANDS; band++) {
            assertEquals(141, bin.spread[band]);
        }
    }

    /** The sliding dark window gives the same bits as darks summed afresh. */
    @Test
    void darkWindowMovesExactly() {
        Random random = new Random(7);
        for (int i = 0; i < 400; i++) {
            add(random.nextInt(3), random.nextInt(4) == 0, 900 + random.nextInt(60), 0, 0, BinGrid.NO_BIN);
        }
        DarkWindow moving = new DarkWindow(store, CHANNELS);
        for (int i = 0; i < 200; i++) {
            int at = random.nextInt(store.size());
            int code = random.nextInt(3);
            DarkWindow fresh = new DarkWindow(store, CHANNELS);
            assertEquals(fresh.move(0, code, at, CHANNELS), moving.move(0, code, at, CHANNELS));
            for (int c = 0; c < CHANNELS; c++) {
                assertEquals(fresh.mean(c), moving.mean(c), "seed 7, move " + i);
            }
        }
    }

    /**
     * The head warms by 10 degrees in a dive without light, dark level and dark current with it, and the exposure falls
     * an octave half way: no bin may hold a signal. A mean of the nearest darks alone would be off by up to 4.4 counts
     * beside the change.
     */
    @Test
    void darksFollowTenDegreesOfDriftAcrossAChangeOfExposure() {
        Random random = new Random(8);
        int scansInAll = 1000;
        double worst = 0;
        double plainWorst = 0;
        for (int i = 0; i < scansInAll; i++) {
            int exposure = i < scansInAll / 2 ? 5 : 4;
            double warmed = 10.0 * i / scansInAll;
            scan.temperatureCdeg = (int) Math.rint(1500 + 100 * warmed);
            double level = 900 + 1.5 * warmed + (exposure == 5 ? 8 : 4) * Math.pow(2, warmed / 7);
            boolean dark = i % 20 == 0;
            addNoisy(random, exposure, dark, level, dark ? BinGrid.NO_BIN : i / 20);
        }
        bins.start();
        DarkWindow plain = new DarkWindow(store, CHANNELS);
        for (int number = 0; number < scansInAll / 20; number++) {
            assertTrue(bins.make(0, number, 0, bin));
            assertEquals(16, bin.darkScans);
            plain.move(0, bin.exposureCode, 20 * number + 10, CHANNELS);
            double mean = 0;
            double plainMean = 0;
            for (int c = 0; c < CHANNELS; c++) {
                mean += bin.counts[c] / 64.0 / CHANNELS;
                plainMean += (bin.darkCounts - plain.mean(c) / 64.0) / CHANNELS;
            }
            worst = Math.max(worst, Math.abs(mean));
            plainWorst = Math.max(plainWorst, Math.abs(plainMean));
        }
        assertTrue(worst < 0.6, "false signal of " + worst + " counts, seed 8");
        assertTrue(plainWorst > 2, "the drift is too small to test anything: " + plainWorst);
    }

    private void addNoisy(Random random, int exposure, boolean dark, double level, int number) {
        scan.head = 0;
        scan.exposureCode = exposure;
        scan.shutterClosed = dark;
        scan.timeMs = 1_000L * store.size();
        for (int c = 0; c < CHANNELS; c++) {
            scan.counts[c] = (char) Math.rint(level + 3 * c + random.nextGaussian());
        }
        store.add(scan, scan.timeMs, number, false, false, false, false, false, 0, 0, 0, 0);
    }

    /** Levels 900, 902, ... 914 at 10, 11, ... 17 degrees: two counts a degree. */
    private DarkWindow eightDarksTwoCountsADegree(int missing) {
        for (int i = 0; i < 8; i++) {
            scan.temperatureCdeg = i == missing ? RawScan.MISSING : 1000 + 100 * i;
            add(3, true, 900 + 2 * i, 0, 0, BinGrid.NO_BIN);
        }
        DarkWindow darks = new DarkWindow(store, CHANNELS);
        assertEquals(8, darks.move(0, 3, 0, CHANNELS));
        return darks;
    }

    /** By hand: the mean is 907 at 13.5 degrees, so 900 - 2 at 9 degrees and 914 + 2 x 7 at the furthest, 24 degrees. */
    @Test
    void darksAreCarriedNoFurtherThanTheirSpan() {
        DarkWindow darks = eightDarksTwoCountsADegree(-1);
        darks.carryTo(900, CHANNELS);
        assertEquals(64 * 898, darks.mean(0));
        darks.carryTo(2400, CHANNELS);
        assertEquals(64 * 928, darks.mean(0));
        darks.carryTo(9000, CHANNELS);
        assertEquals(64 * 928, darks.mean(0));
    }

    /** A head without a temperature, of the darks or of the bin, gets the plain mean, not a line through zero degrees. */
    @Test
    void aMissingTemperatureCarriesNothing() {
        DarkWindow darks = eightDarksTwoCountsADegree(-1);
        darks.carryTo(ScanStore.NO_TEMPERATURE, CHANNELS);
        assertEquals(64 * 907, darks.mean(0));
        store.clear();
        DarkWindow gap = eightDarksTwoCountsADegree(5);
        gap.carryTo(900, CHANNELS);
        assertEquals(64 * 907, gap.mean(0));
    }

    /**
     * What rejection at c deviations costs when nothing is wrong: the asymptotic efficiency of a mean of normal values
     * within c deviations of the middle, 2 Phi(c) - 1 - 2 c phi(c) (Huber's skipped mean: Andrews et al. 1972, Hampel et
     * al. 1986; worked out here from its influence function). 0.971 at three deviations, 1 - 7e-8 at six. Six is the
     * plan's; at seven scans, as bins near the surface have, the deviation itself is uncertain and costs a little.
     */
    @Test
    void theEfficiencyOfTheMeanIsThatOfASkippedMean() {
        double three = 0.9973002 - 6 * Math.exp(-4.5) / Math.sqrt(2 * Math.PI);
        assertEquals(three, efficiency(3, 101, 1200), 0.04, "three deviations, 101 scans");
        assertEquals(1, efficiency(6, 101, 400), 1e-3, "six deviations, 101 scans");
        double few = efficiency(6, 7, 4000);
        System.out.printf(java.util.Locale.ROOT, "figure firmware.mean_efficiency_seven_scans %.4f 1%n", few);
        assertTrue(few > 0.95, "six deviations, seven scans: " + few);
    }

    /** Variance of the plain mean of sound scans over that of the bins' means. */
    private double efficiency(double rejectSigma, int scansOfABin, int binsMade) {
        Random random = new Random(17);
        plan.rejectSigma = rejectSigma;
        double plain = 0;
        double made = 0;
        for (int number = 0; number < binsMade; number++) {
            store.clear();
            for (int i = 0; i < 4; i++) {
                add(3, true, 900, 0, 0, BinGrid.NO_BIN);
            }
            double sum = 0;
            for (int i = 0; i < scansOfABin; i++) {
                add(3, false, 20_900 + 500 * random.nextGaussian(), 50_000, 250, 7);
                sum += scan.counts[0] - 20_900;
            }
            bins.start();
            assertTrue(bins.make(0, 7, 0, bin));
            plain += sum * sum / scansOfABin / scansOfABin;
            made += Math.pow(bin.counts[0] / 64.0 - 20_000, 2);
        }
        return plain / made;
    }

    /** The widest head that a plan may have, its channels just below full scale, over four thousand scans of a bin. */
    @Test
    void nothingOverflowsWithTheMostChannels() {
        int most = 4095;
        int channels = 1024;
        int bytes = ScanStore.slotBytes(channels) * (most + 64);
        FloatPlan wide = TestPlans.reference(1, channels);
        ScanStore full = new ScanStore(wide, new Region(new TestFlash(1 << 24), 0, bytes), channels);
        PressureBins limits = new PressureBins(wide, full, channels);
        BinRecord of = new BinRecord(channels);
        RawScan bright = TestPlans.scan(channels, 0, 0, 0);
        for (int i = 0; i < most + 64; i++) {
            bright.exposureCode = 15;
            bright.shutterClosed = i % 65 == 0;
            bright.timeMs = 36_000_000L * i / most;
            bright.pressureE4Dbar = 9_000_000;
            Arrays.fill(bright.counts, bright.shutterClosed ? (char) 0 : (char) 65_534);
            full.add(bright, bright.timeMs, 7, false, false, false, false, false, 5000, 4500, 179, 0);
        }
        limits.start();
        assertTrue(limits.make(0, 7, 0, of));
        assertEquals(most, of.used);
        for (int c = 0; c < channels; c++) {
            assertEquals(64 * 65_534, of.counts[c], "channel " + c);
        }
        for (int band = 0; band < BinRecord.SPREAD_BANDS; band++) {
            assertEquals(0, of.spread[band]);
        }
    }

    /** As many scans as a bin takes and more, as bright as counts go, at three exposures and the widest bin of any plan. */
    @Test
    void nothingOverflowsAtTheLimits() {
        int most = 4095;
        int size = 2 * ScanStore.slotBytes(CHANNELS) * most;
        ScanStore full = new ScanStore(plan, new Region(new TestFlash(1 << 22), 0, Math.min(size, 1 << 22)), CHANNELS);
        PressureBins limits = new PressureBins(plan, full, CHANNELS);
        scan.head = 0;
        for (int i = 0; i < most + 64; i++) {
            boolean dark = i % 65 == 0;
            scan.exposureCode = 13 + (i % 10 == 1 ? -1 : i % 10 == 2 ? 1 : 0);
            scan.shutterClosed = dark;
            scan.timeMs = 36_000_000L * i / most;
            scan.pressureE4Dbar = 9_000_000 + (int) (1_000_000L * i / most);
            Arrays.fill(scan.counts, dark ? (char) 0 : (char) 65_534);
            full.add(scan, scan.timeMs, 7, false, false, false, false, false, 5000, 4500, 179, 0);
        }
        limits.start();
        assertTrue(limits.make(0, 7, 0, bin));
        assertTrue(bin.used > 3000 && bin.used <= most, "used " + bin.used);
        assertTrue(bin.mixedExposure);
        assertEquals(950_000, bin.pressureMdbar, 5_000);
        assertEquals(28_868, bin.depthSdMm, 600, "a hundred metres over the square root of twelve");
        // Scans of twice and half the exposure with the same counts: the rate is the sum of counts over that of
        // exposures.
        double weight = 0.8 + 0.1 * 0.5 + 0.1 * 2;
        assertEquals(65_534 * 64 / weight, bin.counts[0], 65_534 * 64 * 0.01);
    }
}
