package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class SeaSurfaceTest {
    /** Second implementation of Quan and Fry (1995, equation 3); the factor follows from it by Fresnel's equations. */
    @ParameterizedTest
    @CsvSource({
        "350,20,35,1.356154,0.531305",
        "443,20,35,1.346346,0.539659",
        "490,20,35,1.343479,0.542134",
        "510,20,35,1.342486,0.542995",
        "443,0,35,1.347856,NaN",
        "443,30,35,1.345153,NaN",
        "443,20,0,1.339718,NaN",
        "555,20,35,1.340599,NaN",
        "700,20,35,1.336480,NaN"
    })
    void indexAndUpwardTransmission(double wavelength, double temperature, double salinity, double n, double factor) {
        assertEquals(n, SeaSurface.index(wavelength, temperature, salinity), 5.1e-7);
        if (!Double.isNaN(factor)) {
            assertEquals(factor, SeaSurface.upwardTransmission(n), 1e-6);
        }
    }

    /** Second implementation of Fresnel's equations for n = 1.34. */
    @ParameterizedTest
    @CsvSource({
        "0,0,0.02111184",
        "10,7.445796,0.02112257",
        "30,21.909050,0.02219852",
        "50,34.867108,0.03464583",
        "60,40.262285,0.06100485",
        "80,47.301399,0.35019989"
    })
    void reflectionAndRefraction(double zenith, double refracted, double reflectance) {
        assertEquals(reflectance, SeaSurface.reflectance(1.34, zenith), 1e-8);
        assertEquals(refracted, SeaSurface.refractedDeg(1.34, zenith), 1e-6);
    }

    /** Property of Fresnel's equations: light polarised along the plane of incidence is not reflected at Brewster's angle. */
    @Test
    void reflectanceAtBrewstersAngleIsThatOfOnePolarisation() {
        double n = 1.34;
        double brewster = Math.toDegrees(Math.atan(n));
        double across = (1 - n * n) / (1 + n * n);
        assertEquals(0.5 * across * across, SeaSurface.reflectance(n, brewster), 1e-12);
        assertEquals(1, SeaSurface.reflectance(n, 90), 1e-12);
    }

    /**
     * Why nadir transmission is that of a flat surface: averaged over the slopes of Cox and Munk (1954) and Fresnel's equations
     * at each, the mean changes by less than the 0.1 % that the truth and shore allow for it, up to 10 m/s.
     */
    @ParameterizedTest
    @ValueSource(doubles = {0, 5, 10})
    void wavesHardlyChangeNadirTransmission(double wind) {
        double slopes = SeaSurface.meanSquareSlope(wind);
        assertEquals(0.003 + 0.00512 * wind, slopes, 1e-12);
        double sum = 0;
        double weights = 0;
        for (double slope = 0.0005; slope < 1.5; slope += 0.001) {
            double weight = slope * Math.exp(-slope * slope / slopes);
            sum += weight * (1 - SeaSurface.reflectance(1.34, Math.toDegrees(Math.atan(slope))));
            weights += weight;
        }
        assertEquals(1, sum / weights / (1 - SeaSurface.reflectance(1.34, 0)), 0.001);
    }

    /** Quan and Fry's fit holds from 400 to 700 nm: over 200 seas the truth strays no more than 2e-4 within, and more and more outside. */
    @Test
    void theIndexIsLessSureOutsideItsRange() {
        double[] nm = {320, 360, 400, 550, 700, 780, 860};
        double[] squares = new double[nm.length];
        for (int seed = 1; seed <= 200; seed++) {
            for (int i = 0; i < nm.length; i++) {
                double off = Truths.drawn(seed).index(nm[i]) - 1;
                squares[i] += off * off / 200;
            }
        }
        for (int i = 2; i <= 4; i++) {
            assertTrue(Math.sqrt(squares[i]) < 2e-4, nm[i] + " nm");
        }
        assertTrue(squares[0] > 1.5 * squares[1] && squares[1] > 1.5 * squares[2], "below 400 nm");
        assertTrue(squares[6] > 1.5 * squares[5] && squares[5] > 1.5 * squares[4], "above 700 nm");
    }
}
