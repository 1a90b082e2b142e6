package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.junit.jupiter.api.Test;

/** Step responses of the exposure against light given in counts per shortest exposure. */
class ExposureControlTest {
    private static final int DARK = 900;

    private final FloatPlan plan = TestPlans.reference(1, 16);
    private final ExposureControl control = new ExposureControl(plan, 0);
    private int darks;
    private int celsiusCdeg = 1500;

    /** Runs one scan of a light; returns the raw peak, or -1 for a dark. */
    private int step(double lightPerShortest) {
        int code = control.code();
        if (control.darkNext()) {
            darks++;
            control.dark(code, DARK, celsiusCdeg);
            return -1;
        }
        int peak = (int) Math.min(65535, DARK + lightPerShortest * (1 << code));
        control.light(code, peak, celsiusCdeg);
        return peak;
    }

    private void settle(double light) {
        for (int i = 0; i < 60; i++) {
            step(light);
        }
    }

    @Test
    void aProfileStartsWithADarkAtTheLongestExposure() {
        assertEquals(9, control.code());
        assertTrue(control.darkNext());
    }

    @Test
    void saturationIsLeftInOneScan() {
        settle(100);
        int code = control.code();
        int peak = step(450);
        if (peak < 0) {
            peak = step(450); // the periodic dark came between
        }
        assertEquals(65535, peak);
        assertEquals(code - 3, control.code());
        assertEquals(-1, step(450), "a new exposure starts with a dark");
        assertTrue(step(450) < 65535);
    }

    @Test
    void steadyLightSettlesWithinTheSharesAndStays() {
        Random random = new Random(3);
        for (int i = 0; i < 200; i++) {
            double light = StrictMath.exp(random.nextDouble() * 8);
            settle(light);
            int code = control.code();
            double peak = DARK + light * (1 << code);
            assertTrue(peak <= 0.9 * 65535 || code == 0, "seed 3, light " + light + " at " + code);
            assertTrue(peak >= 0.4 * 65535 * 0.99 || code == 9, "seed 3, light " + light + " at " + code);
            for (int k = 0; k < 100; k++) {
                step(light);
                assertEquals(code, control.code(), "hunting at light " + light);
            }
        }
    }

    @Test
    void wavesOfFivePercentDoNotMakeItHunt() {
        double light = 100;
        settle(light);
        for (int k = 0; k < 40; k++) {
            step(light * (1 + 0.05 * Math.sin(k)));
        }
        int code = control.code();
        for (int k = 0; k < 500; k++) {
            step(light * (1 + 0.05 * Math.sin(k)));
            assertEquals(code, control.code());
        }
    }

    @Test
    void everyTwentiethScanIsADark() {
        settle(100);
        darks = 0;
        for (int i = 0; i < 2000; i++) {
            step(100);
        }
        assertEquals(100, darks);
    }

    /** A head that warms by ten degrees in 400 scans: a dark each degree beside the twenty by number; cooling alike. */
    @Test
    void aDarkFollowsEachStepOfTemperature() {
        plan.darkEvery = 1000;
        plan.darkEveryCdeg = 100;
        control.start();
        settle(100);
        for (int sign = -1; sign <= 1; sign += 2) {
            int from = celsiusCdeg;
            darks = 0;
            for (int i = 1; i <= 420; i++) {
                celsiusCdeg = from + sign * i * 1050 / 420;
                step(100);
            }
            assertEquals(10, darks, "towards " + celsiusCdeg);
        }
        darks = 0;
        celsiusCdeg = RawScan.MISSING;
        for (int i = 0; i < 100; i++) {
            step(100);
        }
        assertEquals(0, darks, "a head without a temperature");
    }

    @Test
    void aLateScanOfAnotherExposureChangesNothing() {
        settle(100);
        int code = control.code();
        control.dark(code, DARK, celsiusCdeg);
        control.light(code + 1, 65535, celsiusCdeg);
        assertEquals(code, control.code());
        assertFalse(control.darkNext());
    }
}
