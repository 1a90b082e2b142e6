package sunward.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.URISyntaxException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.apache.commons.csv.CSVRecord;
import org.junit.jupiter.api.Test;
import sunward.protocol.spectra.BinRecord;

class SurfaceJudgeTest {
    /** By hand: bins of an exact exponential give its two numbers back; a Gaussian of 10 nm keeps a straight line. */
    @Test
    void findsAnExactExponential() {
        int n = 40;
        double[] z = new double[n];
        double[] y = new double[n];
        double[] zero = new double[n];
        double[] perY = new double[n];
        int[] scans = new int[n];
        for (double k : new double[] {0.02, 0.2, 2}) {
            for (int i = 0; i < n; i++) {
                z[i] = 0.4 + 0.25 * i;
                y[i] = 5000 * Math.exp(-k * z[i]);
                zero[i] = 4;
                perY[i] = 0.1;
                scans[i] = 6;
            }
            SurfaceJudge.Found found = SurfaceJudge.fit(z, y, zero, perY, scans);
            assertEquals(Math.log(5000), found.logSurface(), 1e-9);
            assertEquals(k, found.attenuationPerM(), 1e-9 * k);
            assertTrue(found.noise() > 0 && found.noise() < 0.05, found.toString());
        }
    }

    @Test
    void bandsKeepAStraightLineAndAverageNoise() {
        double[] nm = new double[720];
        double[] line = new double[720];
        for (int c = 0; c < 720; c++) {
            nm[c] = 320 + 0.75 * c;
            line[c] = 3 + 0.5 * nm[c];
        }
        Bands bands = new Bands(nm);
        double[] ones = new double[720];
        Arrays.fill(ones, 1);
        for (int b = 0; b < Bands.COUNT; b++) {
            assertEquals(3 + 0.5 * Bands.nm(b), bands.of(line, b), 1e-3);
            // Sum of squares of a sampled Gaussian: step / (2 sigma sqrt(pi)), cut off at four sigma.
            assertEquals(0.75 / (2 * 10 / 2.35482 * Math.sqrt(Math.PI)), bands.variance(ones, b), 1e-4);
        }
    }

    private static CSVRecord firstRow(String file) throws IOException, URISyntaxException {
        return CodecBench.rows(Path.of(SurfaceJudgeTest.class.getResource(file).toURI()))
                .get(0);
    }

    /** A whole dive: exact bins pass, bins off by half their own noise fail. */
    @Test
    void judgesADive() throws IOException, URISyntaxException {
        DiveBins dive = new Condition(firstRow("tuning.csv"), 0).fly();
        assertEquals(2, dive.heads());
        Judgement exact = Judgement.of(dive, dive);
        assertEquals(0, exact.bandSigmaP95());
        assertTrue(exact.meetsBins() && exact.meetsSamples());
        SplittableRandom random = new SplittableRandom(1);
        List<BinRecord> off = new ArrayList<>();
        for (BinRecord bin : dive.bins()) {
            BinRecord copy = new BinRecord(bin.samples);
            copy.copyFrom(bin);
            for (int c = 0; c < bin.samples; c++) {
                double sigma = Math.sqrt(dive.units().variance(bin.counts[c] / 64.0) / bin.used);
                copy.counts[c] += (int) Math.rint(64 * 0.5 * sigma * random.nextGaussian());
            }
            off.add(copy);
        }
        Judgement judged = Judgement.of(dive, dive.with(off));
        assertEquals(0.5, judged.bandSigmaP95(), 0.2);
        assertFalse(judged.meetsBins());
        assertFalse(judged.meetsSamples());
    }

    /** Tuning never sees a dive that judges. */
    @Test
    void tuningAndJudgingAreApart() throws IOException, URISyntaxException {
        List<String> seeds = new ArrayList<>();
        for (String file : List.of("tuning.csv", "judging.csv")) {
            for (CSVRecord row : CodecBench.rows(
                    Path.of(SurfaceJudgeTest.class.getResource(file).toURI()))) {
                for (int repeat = 0; repeat < 3; repeat++) {
                    seeds.add("" + (Long.parseLong(row.get("seed")) + repeat));
                }
            }
        }
        assertEquals(seeds.size(), seeds.stream().distinct().count());
    }
}
