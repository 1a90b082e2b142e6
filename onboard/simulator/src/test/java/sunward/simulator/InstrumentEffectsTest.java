package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.function.Consumer;
import org.junit.jupiter.api.Test;
import sunward.firmware.RawScan;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Instrument;
import sunward.protocol.schema.PlanFile;

/** Each effect of the true instrument: what it does, that it does nothing else, and that off is off. */
class InstrumentEffectsTest {
    private static final PlanFile FILE = PlanReader.defaults();
    private static final Instrument PLAIN = FILE.getScene().getInstrument().toBuilder()
            .setResponsivityPercentPerDegc(0)
            .setWavelengthNmPerDegc(0)
            .setPolarisationPercent(0)
            .build();
    private static final int BLUE = (470 - 320) * 4 / 3;

    private static TrueInstrument instrument(int head, Consumer<Instrument.Builder> change) {
        Instrument.Builder scene = PLAIN.toBuilder();
        change.accept(scene);
        return new TrueInstrument(FILE.getPlan(), FILE.getCalibration(), head, scene.build(), 25, 35, 3);
    }

    /** Counts of one noisy reading of light 1e-3 in half a second at 28 degC. */
    private static char[] counts(boolean closed, Consumer<Instrument.Builder> change) {
        double[] light = new double[720];
        Arrays.fill(light, 1e-3);
        RawScan scan = new RawScan(720);
        scan.shutterClosed = closed;
        new Radiometer(instrument(0, change), 0, true, 11).read(light, 0.5, 28, 1, 5, scan);
        return scan.counts;
    }

    private static final char[] LIT = counts(false, scene -> {});
    private static final char[] DARK = counts(true, scene -> {});

    private static double signal(char[] counts, int k) {
        return counts[k] - DARK[k];
    }

    @Test
    void hotAndDeadChannelsLeaveTheOthersAsTheyAre() {
        for (Consumer<Instrument.Builder> bad : java.util.List.<Consumer<Instrument.Builder>>of(
                scene -> scene.setHotChannelNm(470), scene -> scene.setDeadChannelNm(470))) {
            char[] counts = counts(false, bad);
            assertTrue(Math.abs(counts[BLUE] - LIT[BLUE]) > 1000);
            counts[BLUE] = LIT[BLUE];
            assertArrayEquals(LIT, counts);
        }
    }

    @Test
    void growthTakesItsShareOnItsHeadAlone() {
        Consumer<Instrument.Builder> fouled =
                scene -> scene.setWeeksAtSea(10).setFoulingPercentPerWeek(0.5).setFouledHead("A");
        int green = (int) Math.round((555 - 320) / 0.75);
        // By hand: ten weeks of half a percent let exp(-0.05) through at 555 nm, and less in the blue.
        assertEquals(
                Math.exp(-0.05),
                instrument(0, fouled).countsPerSecond(green)
                        / instrument(0, scene -> {}).countsPerSecond(green),
                1e-4);
        assertTrue(instrument(0, fouled).countsPerSecond(0)
                < 0.95 * instrument(0, scene -> {}).countsPerSecond(0));
        for (int k = 0; k < 720; k++) {
            assertEquals(
                    instrument(1, scene -> {}).countsPerSecond(k),
                    instrument(1, fouled).countsPerSecond(k));
        }
        assertArrayEquals(LIT, counts(false, scene -> scene.setFoulingPercentPerWeek(0.5)), "no weeks, no growth");
    }

    @Test
    void warmthChangesLightAndNotDarks() {
        Consumer<Instrument.Builder> warm = scene -> scene.setResponsivityPercentPerDegc(1);
        assertArrayEquals(DARK, counts(true, warm));
        int green = (int) Math.round((555 - 320) / 0.75);
        assertEquals(1.08, signal(counts(false, warm), green) / signal(LIT, green), 0.003, "8 degrees of 1 %");
        double[] shifted =
                instrument(0, scene -> scene.setWavelengthNmPerDegc(0.01)).trueWavelengthsNm();
        assertEquals(0.05, shifted[7] - instrument(0, scene -> {}).trueWavelengthsNm()[7], 1e-9, "5 degrees");
    }

    @Test
    void emittersShineInTheBlueAndNotThroughTheShutter() {
        Consumer<Instrument.Builder> shining = scene -> scene.setEmitterRadiance(1e-3);
        assertEquals(2, signal(counts(false, shining), BLUE) / signal(LIT, BLUE), 0.02);
        assertEquals(LIT[600], counts(false, shining)[600]);
        assertArrayEquals(DARK, counts(true, shining));
    }

    /** Lights that are lit during a quarter of an exposure cast a quarter of their light; dark lights cast none. */
    @Test
    void emittersCastTheirLightWhileTheyAreLit() {
        double[] dark = new double[720];
        TrueInstrument head = instrument(0, scene -> scene.setEmitterRadiance(1e-3));
        double[] read = new double[3];
        for (int i = 0; i < 3; i++) {
            RawScan scan = new RawScan(720);
            new Radiometer(head, 0, false, 11).read(dark, 0.5, 28, new double[] {0, 0.25, 1}[i], 5, scan);
            read[i] = scan.counts[BLUE];
        }
        assertEquals(0.25, (read[1] - read[0]) / (read[2] - read[0]), 1e-3);
        assertTrue(read[2] - read[0] > 1000);
    }

    @Test
    void aLeakingShutterPassesItsShare() {
        char[] counts = counts(true, scene -> scene.setShutterLeakPercent(10));
        assertEquals(0.1, signal(counts, BLUE) / signal(LIT, BLUE), 0.02);
        assertArrayEquals(LIT, counts(false, scene -> scene.setShutterLeakPercent(10)));
    }

    @Test
    void polarisationTurnsTwiceWithTheHead() {
        TrueInstrument head = instrument(0, scene -> scene.setPolarisationPercent(1));
        assertEquals(2, head.polarised(0.5, 0.3) + head.polarised(0.5, 0.3 + Math.PI / 2), 1e-12);
        assertEquals(head.polarised(0.5, 0.3), head.polarised(0.5, 0.3 + Math.PI), 1e-12);
        assertEquals(1, instrument(0, scene -> {}).polarised(1, 0.3));
    }

    /** The two recursions against the full matrix, element by element. */
    @Test
    void strayLightIsTheFullMatrixAndKeepsAnEvenLight() {
        int n = 200;
        double[] nm = new double[n];
        double[] light = new double[n];
        for (int k = 0; k < n; k++) {
            nm[k] = 320 + 0.75 * k + 0.2 * Math.sin(k);
            light[k] = 100 * Noise.uniform(Noise.hash(5, k));
        }
        double[] spread = light.clone();
        new StrayLight(nm, 0.02, 0.05).spread(spread);
        double all = 0;
        double mean = 0;
        for (int j = 0; j < n; j++) {
            double width = nm[Math.min(n - 1, j + 1)] - nm[Math.max(0, j - 1)];
            all += width;
            mean += width * light[j];
        }
        for (int k = 0; k < n; k++) {
            double sum = 0;
            double weights = 0;
            for (int j = 0; j < n; j++) {
                double width = nm[Math.min(n - 1, j + 1)] - nm[Math.max(0, j - 1)];
                double weight = width * Math.exp(-Math.abs(nm[k] - nm[j]) / 8);
                sum += weight * light[j];
                weights += weight;
            }
            assertEquals(0.93 * light[k] + 0.02 * mean / all + 0.05 * sum / weights, spread[k], 1e-9);
        }
        double[] even = new double[n];
        Arrays.fill(even, 7);
        new StrayLight(nm, 0.02, 0.05).spread(even);
        assertEquals(7, even[100], 1e-12);
        assertEquals(7, even[0], 1e-12);
    }
}
