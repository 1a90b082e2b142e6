package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class SeawaterTest {
    /** Published: Fofonoff and Millard (1983), check values of depth, m, printed to 0.01. */
    @ParameterizedTest
    @CsvSource({
        "0,500,496.65", "30,500,496.00", "45,500,495.34", "90,500,494.03",
        "0,5000,4915.04", "30,5000,4908.56", "45,5000,4902.08", "90,5000,4889.13",
        "0,10000,9725.47", "30,10000,9712.65", "45,10000,9699.84", "90,10000,9674.23"
    })
    void depthHasThePublishedCheckValues(double latitude, double pressure, double depth) {
        assertEquals(depth, Seawater.depthM(pressure, latitude), 0.00501);
        assertEquals(pressure, Seawater.pressureDbar(Seawater.depthM(pressure, latitude), latitude), 1e-6);
    }

    @Test
    void surfaceIsTheSurface() {
        assertEquals(0, Seawater.depthM(0, 11));
        assertEquals(0, Seawater.pressureDbar(0, 11));
    }
}
