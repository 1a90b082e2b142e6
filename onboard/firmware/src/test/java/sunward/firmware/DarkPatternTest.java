package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.junit.jupiter.api.Test;

/** The dark of each channel against the true one of an invented detector: its offset and its own share of the thermal signal. */
class DarkPatternTest {
    private static final int CHANNELS = 64;
    private static final int DARKS = 150;
    private static final double READ = 8;
    private static final double GAIN = 3.8;
    private static final int HOT = 17;

    private final ScanStore store =
            new ScanStore(TestPlans.reference(1, CHANNELS), new Region(new TestFlash(1 << 20), 0, 1 << 20), CHANNELS);
    private final double[] offset = new double[CHANNELS];
    private final double[] rate = new double[CHANNELS];
    private final Random random = new Random(21);

    private double level(int channel, int exposure, double degC) {
        double thermal = rate[channel] * 0.004 * (1 << exposure) * Math.pow(2, (degC - 20) / 8);
        return 900 + 0.5 * (degC - 20) + offset[channel] + thermal;
    }

    /** A rise from 10 to 26 degrees, the exposure falling octave by octave, a dark each minute of it. */
    private void fill(double hotRate) {
        RawScan scan = TestPlans.scan(CHANNELS, 0, 0, 0);
        for (int c = 0; c < CHANNELS; c++) {
            offset[c] = 6 * random.nextGaussian();
            rate[c] = 60 * (1 + 0.1 * random.nextGaussian());
        }
        rate[HOT] = hotRate;
        for (int i = 0; i < DARKS; i++) {
            scan.exposureCode = exposureOf(i);
            scan.shutterClosed = true;
            scan.temperatureCdeg = (int) (100 * degCOf(i));
            for (int c = 0; c < CHANNELS; c++) {
                double level = level(c, scan.exposureCode, degCOf(i));
                double shot = Math.max(0, level - 900) / GAIN;
                scan.counts[c] = (char) Math.rint(level + Math.sqrt(READ * READ + shot) * random.nextGaussian());
            }
            store.add(scan, 1000L * i, BinGrid.NO_BIN, false, false, false, false, false, 0, 0, 0, 0);
        }
    }

    private static int exposureOf(int dark) {
        return 9 - dark / 40;
    }

    private static double degCOf(int dark) {
        return 10 + 16.0 * dark / DARKS;
    }

    /** The mean of the sixteen nearest has 8 / sqrt(16) = 2 counts of noise; the pattern must do
     * better, and leave a hot channel, which no straight line follows, as it was. */
    @Test
    void allDarksTogetherAreQuieterThanTheNearest() {
        fill(3000);
        DarkWindow darks = new DarkWindow(store, CHANNELS);
        double squares = 0;
        double hot = 0;
        int n = 0;
        for (int i = 0; i < DARKS; i += 7) {
            assertEquals(16, darks.move(0, exposureOf(i), i, CHANNELS));
            darks.carryTo((int) (100 * degCOf(i)), CHANNELS);
            for (int c = 0; c < CHANNELS; c++) {
                double error = darks.mean(c) / 64.0 - level(c, exposureOf(i), degCOf(i));
                if (c == HOT) {
                    hot = Math.max(hot, Math.abs(error));
                } else {
                    squares += error * error;
                    n++;
                }
            }
        }
        double rms = Math.sqrt(squares / n);
        assertTrue(rms < 1.3, "seed 21: " + rms + " counts");
        assertTrue(hot < 250, "seed 21, hot channel: " + hot + " counts");
    }

    /**
     * A scan without light has the variance read^2 + dark counts / gain (photon transfer: J. R. Janesick 2001), rounding 1/12 with it. That of
     * 9600 readings is known to 1.4 percent; three of those are allowed. One channel is hot, as much beside the mean of its fellows as a
     * hundredfold one in a head of 720.
     */
    @Test
    void darksTellTheNoiseOfAScanWithoutLight() {
        fill(480);
        DarkWindow darks = new DarkWindow(store, CHANNELS);
        for (int i = 3; i < DARKS; i += 24) {
            darks.move(0, exposureOf(i), i, CHANNELS);
            darks.carryTo((int) (100 * degCOf(i)), CHANNELS);
            double thermal = 60 * 0.004 * (1 << exposureOf(i)) * Math.pow(2, (degCOf(i) - 20) / 8);
            double variance = READ * READ + thermal / GAIN + 1 / 12.0;
            assertEquals(1, darks.variance(GAIN) / variance, 0.042, "seed 21, dark " + i + ": " + variance);
        }
    }

    @Test
    void fewDarksTellNothing() {
        fill(480);
        ScanStore few = new ScanStore(
                TestPlans.reference(1, CHANNELS), new Region(new TestFlash(1 << 20), 0, 1 << 20), CHANNELS);
        DarkWindow darks = new DarkWindow(few, CHANNELS);
        RawScan scan = TestPlans.scan(CHANNELS, 0, 0, 0);
        scan.shutterClosed = true;
        few.add(scan, 0, BinGrid.NO_BIN, false, false, false, false, false, 0, 0, 0, 0);
        darks.move(0, scan.exposureCode, 0, CHANNELS);
        assertEquals(0, darks.variance(GAIN));
    }
}
