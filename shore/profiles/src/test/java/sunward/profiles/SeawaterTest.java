package sunward.profiles;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class SeawaterTest {
    /** Published: Fofonoff and Millard 1983, UNESCO 44, table of p. 28, printed to 0.01 m. */
    @ParameterizedTest
    @CsvSource({
        "0, 500, 496.65", "30, 500, 496.00", "45, 500, 495.34", "90, 500, 494.03",
        "0, 5000, 4915.04", "30, 5000, 4908.56", "45, 5000, 4902.08", "90, 5000, 4889.13",
        "0, 10000, 9725.47", "30, 10000, 9712.65", "45, 10000, 9699.84", "90, 10000, 9674.23"
    })
    void depthIsThePublishedOne(double latitude, double pressure, double depth) {
        assertEquals(depth, Seawater.depthM(pressure, latitude), 0.006);
    }

    /**
     * Published: Voss and Flora 2017 (J. Atmos. Oceanic Technol. 34, 1203, abstract): the factor 0.543 is wrong by -1.3 %
     * at 380 nm and +1.1 % at 700 nm for salinity 35 and 26 degC.
     */
    @Test
    void surfaceTransferIsThePublishedOneAtBothEnds() {
        assertEquals(-1.3, 100 * (SurfaceTransfer.factor(380, 26, 35) / 0.543 - 1), 0.15);
        assertEquals(1.1, 100 * (SurfaceTransfer.factor(700, 26, 35) / 0.543 - 1), 0.15);
    }

    /** By hand from the printed equation of Quan and Fry 1995 at 500 nm, 20 degC, salinity 35. */
    @Test
    void indexFollowsThePrintedEquation() {
        double byHand = 1.31405
                + (1.779e-4 - 2.1e-5 + 6.4e-6) * 35
                - 8.08e-4
                + (15.868 + 0.40425 - 0.0846) / 500
                - 4382 / 250000.0
                + 1.1455e6 / 1.25e8;
        assertEquals(byHand, Seawater.refractiveIndex(500, 20, 35), 1e-12);
    }
}
