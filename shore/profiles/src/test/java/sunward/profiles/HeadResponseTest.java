package sunward.profiles;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.HeadCalibration;

class HeadResponseTest {
    private static final SurfaceWater WATER = new SurfaceWater(20, 35, 0, 0, true);
    private static final HeadCalibration HEAD =
            PlanReader.defaults().getCalibration().getHeads(0);

    /** By hand from the usual formula (from memory, after Zibordi 2006): n_w 1.340599 at 555 nm, window 1.459. */
    @Test
    void immersionFactorIsTheFormulas() {
        double byHand = 1.340599 * (1.340599 + 1.459) * (1.340599 + 1.459) / (2.459 * 2.459);
        assertEquals(byHand, HeadResponse.immersionFactor(555, 1.459, WATER), 2e-6);
        assertEquals(1.7377, byHand, 1e-4);
    }

    /** At a knot the spline is the knot: 1.9e7 counts/s per unit of radiance in air at 555 nm. */
    @Test
    void countsBecomeRadianceWithTheStatedUncertainty() {
        HeadResponse response = new HeadResponse(HEAD, new double[] {555}, WATER);
        double radiance = response.radiance(Spectrum.of(1.9e5)).at(0);
        assertEquals(0.01 * 1.7377, radiance, 1e-6);
        BinNoise none = new BinNoise(0, 0, 0, 0);
        double relative = response.uncertainty(Spectrum.of(1.9e5), none).at(0) / radiance;
        assertEquals(Math.sqrt(1 + 0.09 + 0.04) / 100, relative, 1e-9);
        assertEquals(0.01 * Math.sqrt(0.4), response.ownUncertainty(0), 1e-12);
    }

    /** Photon transfer by hand: 10 000 counts, 3.8 electrons a count, 8 counts read noise, 4 scans of 2 channels, no rounding. */
    @Test
    void noiseOfABinIsThatOfItsScansAndDarks() {
        BinNoise noise = BinNoise.of(3.8, 8, 2, 4, 10, 0, 0.5);
        double counts = Math.sqrt((10_000 / 3.8 + 64) / 8 + 64 / 20.0 + 1 / 3.0 / 4096);
        assertEquals(counts / 0.5, Math.sqrt(noise.variance(10_000 / 0.5)), 1e-9);
        assertEquals(0, BinNoise.of(3.8, 8, 1, 4, 10, 0, 1).roundingPerCount());
        double bound = 2;
        BinNoise rounded = BinNoise.of(3.8, 8, 1, 4, 10, bound, 1);
        double sigma2 = (10_000 / 3.8 + 64) / 4;
        assertEquals(bound * bound / 3 * sigma2, rounded.roundingVariance(10_000), 1e-3);
    }
}
