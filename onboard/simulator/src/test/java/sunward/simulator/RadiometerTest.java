package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import org.junit.jupiter.api.Test;
import sunward.firmware.RawScan;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Instrument;
import sunward.protocol.schema.PlanFile;

class RadiometerTest {
    private static final PlanFile FILE = PlanReader.defaults();
    private static final Instrument EXACT = FILE.getScene().getInstrument().toBuilder()
            .setCalibrationErrorScale(0)
            .build();

    private static TrueInstrument instrument(Instrument scene, int head, long seed) {
        return new TrueInstrument(FILE.getPlan(), FILE.getCalibration(), head, scene, 25, 35, seed);
    }

    /**
     * Photon transfer (Janesick 2001, Scientific Charge-Coupled Devices, SPIE; 2007, Photon Transfer, SPIE): the variance of
     * a difference of two frames, halved, against their mean signal is a line whose slope is one over the gain in electrons per
     * count and whose foot is the square of the read noise.
     */
    @Test
    void varianceAgainstSignalGivesBackGainAndReadNoise() {
        TrueInstrument truth = instrument(EXACT, 0, 1);
        Radiometer radiometer = new Radiometer(truth, 0, true, 11);
        RawScan one = new RawScan(720);
        RawScan other = new RawScan(720);
        double[] wanted = {0, 100, 1000, 5_000, 20_000, 40_000};
        double[] variance = new double[wanted.length];
        double[] signal = new double[wanted.length];
        for (int level = 0; level < wanted.length; level++) {
            double[] light = new double[720];
            for (int k = 0; k < 720; k++) {
                light[k] = wanted[level] / truth.countsPerSecond(k);
            }
            for (int pair = 0; pair < 100; pair++) {
                radiometer.read(light, 1, 20, 1, 10_000L * level + 2L * pair, one);
                radiometer.read(light, 1, 20, 1, 10_000L * level + 2L * pair + 1, other);
                for (int k = 0; k < 720; k++) {
                    double difference = one.counts[k] - other.counts[k];
                    variance[level] += difference * difference / 2 / (100 * 720);
                    signal[level] += (one.counts[k] - truth.darkOffset(k, 20)) / (100.0 * 720);
                }
            }
        }
        int last = wanted.length - 1;
        double electronsPerCount = (signal[last] - signal[0]) / (variance[last] - variance[0]);
        assertEquals(3.8, electronsPerCount, 0.038, "gain within 1 %");
        // The dark current of 60 counts is part of the signal, and has its own shot noise; rounding adds 1/12.
        double readNoise = Math.sqrt(variance[0] - signal[0] / 3.8 - 1.0 / 12);
        assertEquals(8, readNoise, 0.08, "read noise within 1 %");
        for (int level = 0; level < wanted.length; level++) {
            double line = 64 + signal[level] / 3.8 + 1.0 / 12;
            assertEquals(
                    1, variance[level] / line, 4 * Math.sqrt(2.0 / (100 * 720)), "a straight line, level " + level);
        }
    }

    @Test
    void darksFollowTheSceneInSizeAndTemperature() {
        Instrument scene = EXACT.toBuilder()
                .setDarkPatternCounts(20)
                .setDarkCountsPerDegc(1.5)
                .setDarkRateSpreadPercent(25)
                .setDarkDoublingDegc(6)
                .build();
        TrueInstrument head = instrument(scene, 0, 1);
        double offset = 0;
        double rate = 0;
        for (int k = 0; k < 720; k++) {
            offset += Math.pow(head.darkOffset(k, 20) - 900, 2) / 720;
            rate += Math.pow(head.darkRate(k) / 60 - 1, 2) / 720;
            assertEquals(15, head.darkOffset(k, 30) - head.darkOffset(k, 20), 1e-9);
        }
        assertEquals(20, Math.sqrt(offset), 20 * 4 / Math.sqrt(2.0 * 720), "instrument seed 1");
        assertEquals(0.25, Math.sqrt(rate), 0.25 * 4 / Math.sqrt(2.0 * 720), "instrument seed 1");
        assertEquals(2, head.darkWarming(26), 1e-12);
        assertEquals(
                1,
                instrument(scene.toBuilder().setDarkDoublingDegc(0).build(), 0, 1)
                        .darkWarming(26));
    }

    @Test
    void singleErrorsOfTheCalibrationAndTheLineWidthAreApart() {
        Instrument all = FILE.getScene().getInstrument().toBuilder()
                .setWavelengthNmPerDegc(0)
                .build();
        double width = 0;
        int seeds = 1000;
        int k = 300;
        for (long seed = 1; seed <= seeds; seed++) {
            TrueInstrument exact =
                    instrument(EXACT.toBuilder().setLineWidthErrorPercent(0).build(), 0, seed);
            TrueInstrument full = instrument(all, 0, seed);
            TrueInstrument centred =
                    instrument(all.toBuilder().setWavelengthErrorScale(0).build(), 0, seed);
            assertEquals(exact.trueWavelengthsNm()[k] - centred.trueWavelengthsNm()[k], 0, 0.02);
            assertEquals(full.countsPerSecond(k), centred.countsPerSecond(k));
            TrueInstrument dry =
                    instrument(all.toBuilder().setImmersionErrorScale(0).build(), 0, seed);
            TrueInstrument flat =
                    instrument(all.toBuilder().setResponsivityErrorScale(0).build(), 0, seed);
            assertEquals(full.trueWavelengthsNm()[k], dry.trueWavelengthsNm()[k]);
            // Two factors: without the one and without the other make up for all.
            assertEquals(
                    full.countsPerSecond(k) * exact.countsPerSecond(k),
                    dry.countsPerSecond(k) * flat.countsPerSecond(k),
                    1e-9 * Math.pow(exact.countsPerSecond(k), 2));
            assertEquals(3, exact.lineWidthNm());
            width += Math.pow(full.lineWidthNm() / 3 - 1, 2) / seeds;
        }
        assertEquals(0.01, Math.sqrt(width), 0.01 * 4 / Math.sqrt(2.0 * seeds), "seeds 1 to 1000");
    }

    @Test
    void brightLightIsCutOffAtFullScale() {
        Radiometer radiometer = new Radiometer(instrument(EXACT, 0, 1), 0, true, 11);
        RawScan scan = new RawScan(720);
        double[] light = new double[720];
        Arrays.fill(light, 1);
        radiometer.read(light, 1, 20, 1, 5, scan);
        assertEquals(65535, scan.counts[360]);
        scan.shutterClosed = true;
        radiometer.read(light, 1, 20, 1, 5, scan);
        assertEquals(960, scan.counts[360], 60, "offset 900 and a second of 60 counts");
    }

    @Test
    void switchingNoiseOffLeavesTheMeanAlone() {
        TrueInstrument truth = instrument(EXACT, 1, 1);
        RawScan quiet = new RawScan(720);
        double[] light = new double[720];
        Arrays.fill(light, 1e-3);
        new Radiometer(truth, 1, false, 11).read(light, 0.5, 20, 1, 5, quiet);
        double[] sum = new double[720];
        RawScan noisy = new RawScan(720);
        Radiometer radiometer = new Radiometer(truth, 1, true, 11);
        for (int i = 0; i < 200; i++) {
            radiometer.read(light, 0.5, 20, 1, i, noisy);
            for (int k = 0; k < 720; k++) {
                sum[k] += noisy.counts[k] / 200.0;
            }
        }
        for (int k = 0; k < 720; k++) {
            assertEquals(quiet.counts[k], sum[k], 5 * Math.sqrt((8000 / 3.8 + 64) / 200), "channel " + k);
        }
    }

    @Test
    void calibrationErrorsHaveTheStatedSizeAndTheSharedPart() {
        int seeds = 2000;
        double squareA = 0;
        double product = 0;
        double shift = 0;
        TrueInstrument exactA = instrument(EXACT, 0, 1);
        TrueInstrument exactB = instrument(EXACT, 1, 1);
        int k = (int) Math.round((555 - 320) / 0.75);
        for (long seed = 1; seed <= seeds; seed++) {
            TrueInstrument a = instrument(FILE.getScene().getInstrument(), 0, seed);
            TrueInstrument b = instrument(FILE.getScene().getInstrument(), 1, seed);
            double errorA = a.countsPerSecond(k) / exactA.countsPerSecond(k) - 1;
            double errorB = b.countsPerSecond(k) / exactB.countsPerSecond(k) - 1;
            squareA += errorA * errorA / seeds;
            product += errorA * errorB / seeds;
            shift += Math.pow(a.trueWavelengthsNm()[k] - exactA.trueWavelengthsNm()[k], 2) / seeds;
        }
        // 1 % of responsivity at 555 nm and 0.3 % of immersion; 0.6 of the former's variance is shared.
        double allowed = 4 * Math.sqrt(2.0 / seeds);
        assertEquals(1, squareA / (1e-4 + 9e-6), allowed, "seeds 1 to 2000");
        assertEquals(0.6, product / 1e-4, allowed, "seeds 1 to 2000");
        assertEquals(1, shift / 0.0025, allowed, "seeds 1 to 2000");
    }

    @Test
    void thinnedFlightsReadTheSameCountsInTheirChannels() {
        PlanFile.Builder thin = FILE.toBuilder();
        thin.getPlanBuilder().addFlyWavelengthsNm(443).addFlyWavelengthsNm(555);
        TrueInstrument few = new TrueInstrument(
                thin.getPlan(), FILE.getCalibration(), 0, FILE.getScene().getInstrument(), 25, 35, 9);
        TrueInstrument all = instrument(FILE.getScene().getInstrument(), 0, 9);
        double[] light = new double[720];
        Arrays.fill(light, 2e-3);
        RawScan thinned = new RawScan(2);
        RawScan full = new RawScan(720);
        new Radiometer(few, 0, true, 4).read(light, 0.25, 18, 1, 77, thinned);
        new Radiometer(all, 0, true, 4).read(light, 0.25, 18, 1, 77, full);
        assertArrayEquals(
                new int[] {full.counts[few.channel(0)], full.counts[few.channel(1)]},
                new int[] {thinned.counts[0], thinned.counts[1]});
        assertTrue(thinned.counts[0] > 1000);
    }

    /** By hand: water 1.34 and silica 1.459 give 1.34 (2.799 / 2.459)^2 = 1.7362. */
    @Test
    void immersionFactorOfAFlatWindow() {
        assertEquals(1.7362, TrueInstrument.immersionFactor(1.34, 1.459), 1e-4);
        assertEquals(1, TrueInstrument.immersionFactor(1, 1.459), 1e-15);
    }

    @Test
    void naturalSplineRunsThroughItsKnotsAndStraightBeyond() {
        NaturalSpline spline = new NaturalSpline(new double[] {0, 1, 3}, new double[] {0, 1, 0});
        assertEquals(1, spline.at(1), 1e-15);
        // By hand: curvature at the middle knot is 6 (-1/2 - 1) / (2 (1 + 2)) = -1.5; halfway, 0.5 - 1.5 (1/8 - 1/2) /
        // 6.
        assertEquals(0.5 + 1.5 * 0.375 / 6, spline.at(0.5), 1e-12);
        assertEquals(2 * spline.at(-1), spline.at(-2), 1e-12);
        double slope = spline.at(3.5) - spline.at(3);
        assertEquals(slope, spline.at(4) - spline.at(3.5), 1e-12);
        assertEquals(slope / 0.5, (spline.at(3) - spline.at(3 - 1e-6)) / 1e-6, 1e-5);
    }
}
