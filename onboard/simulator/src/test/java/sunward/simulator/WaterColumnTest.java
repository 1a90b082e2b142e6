package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class WaterColumnTest {
    @TempDir
    private Path directory;

    private WaterColumn uniform(double temperatureDegC, double salinity, double latitudeDeg) throws IOException {
        Path file = directory.resolve("cast.csv");
        Files.writeString(
                file,
                "pressure_dbar,temperature_degC,practical_salinity\n0," + temperatureDegC + "," + salinity + "\n500,"
                        + temperatureDegC + "," + salinity + "\n");
        return new WaterColumn(Cast.read(file), latitudeDeg, 500);
    }

    /** Water of 0 degC and salinity 35 is the standard ocean of Fofonoff and Millard (1983, UNESCO 44, check values p. 28). */
    @ParameterizedTest
    @CsvSource({"0, 496.65", "30, 496.00", "45, 495.34", "90, 494.03"})
    void standardOceanHasThePublishedDepth(double latitudeDeg, double depthM) throws IOException {
        assertEquals(depthM, uniform(0, 35, latitudeDeg).depthM(500), 0.02);
    }

    /** By hand: 25 degC and salinity 35 weigh 1023.343 kg m-3 (UNESCO 1981 check value); gravity at 0 deg is 9.780318. */
    @Test
    void warmWaterIsLighter() throws IOException {
        WaterColumn warm = uniform(25, 35, 0);
        assertEquals(1e4 / (1023.343 * 9.780318), warm.depthM(1), 1e-5);
    }

    @Test
    void depthAndPressureAreInverse() throws IOException {
        WaterColumn column = uniform(20, 35, 30);
        for (double depth = -0.5; depth < 520; depth += 3.7) {
            assertEquals(depth, column.depthM(column.pressureDbar(depth)), 1e-9);
        }
    }
}
