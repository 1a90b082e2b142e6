package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

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
}
