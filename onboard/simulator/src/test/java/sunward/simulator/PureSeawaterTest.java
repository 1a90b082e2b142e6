package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class PureSeawaterTest {
    /** Published: check values of the equation of state 1980 (UNESCO 1981), as handbooks print them (from memory). */
    @Test
    void densityAndBulkModulusHaveThePublishedCheckValues() {
        assertEquals(999.96675, PureSeawater.density(5, 0), 5.1e-6);
        assertEquals(1027.67547, PureSeawater.density(5, 35), 5.1e-6);
        assertEquals(1023.34306, PureSeawater.density(25, 35), 5.1e-6);
        assertEquals(22185.93358, PureSeawater.bulkModulusBar(5, 35), 5.1e-6);
    }

    /** Second implementation of the equations of Zhang, Hu and He (2009): (20 degC, 35), (20, 0), (10, 35), (20, 38.4). */
    @ParameterizedTest
    @CsvSource({
        "320,1.070835e-03,1.760528e-02,1.343976e-02,1.796325e-02,1.792990e-02",
        "400,4.009430e-04,6.591783e-03,5.038628e-03,6.729055e-03,6.712699e-03",
        "490,1.687265e-04,2.773982e-03,2.130530e-03,2.832297e-03,2.824023e-03",
        "555,9.995514e-05,1.643332e-03,1.266408e-03,1.677982e-03,1.672626e-03",
        "670,4.561887e-05,7.500061e-04,5.808404e-04,7.658613e-04,7.631414e-04",
        "750,2.860060e-05,4.702139e-04,3.651377e-04,4.801646e-04,4.783688e-04"
    })
    void scatteringAgreesWithASecondImplementation(
            double wavelength, double across, double sea, double fresh, double cold, double salty) {
        assertEquals(across, PureSeawater.scatteringAcross(wavelength, 20, 35), 2e-4 * across);
        assertEquals(sea, PureSeawater.scattering(wavelength, 20, 35), 2e-4 * sea);
        assertEquals(fresh, PureSeawater.scattering(wavelength, 20, 0), 2e-4 * fresh);
        assertEquals(cold, PureSeawater.scattering(wavelength, 10, 35), 2e-4 * cold);
        assertEquals(salty, PureSeawater.scattering(wavelength, 20, 38.4), 2e-4 * salty);
    }

    /** Published: Pope and Fry (1997, Table 3), an independent measurement; from 490 nm up the tables agree to some per cent. */
    @ParameterizedTest
    @CsvSource({"490,0.0150", "510,0.0325", "555,0.0596", "620,0.2755", "670,0.439", "700,0.624"})
    void absorptionIsNearAnIndependentMeasurement(double wavelength, double absorption) {
        assertEquals(absorption, PureSeawater.absorption(wavelength, 20, 0), 0.12 * absorption);
    }

    @Test
    void absorptionStaysPositiveInEverySea() {
        for (double nm = 300; nm <= 900; nm++) {
            for (double t : new double[] {-2, 20, 40}) {
                for (double s : new double[] {0, 35, 45}) {
                    assertTrue(PureSeawater.absorption(nm, t, s) > 0, nm + " nm");
                }
            }
        }
    }
}
