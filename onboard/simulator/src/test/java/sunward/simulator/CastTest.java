package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import sunward.protocol.plan.PlanException;

class CastTest {
    private static final String HEADER = "pressure_dbar,temperature_degC,practical_salinity\n";

    @TempDir
    Path folder;

    private Path file(String text) throws IOException {
        return Files.writeString(folder.resolve("my-cast.csv"), text);
    }

    /** Published: first and last readings of the check casts of the TEOS-10 toolbox. */
    @Test
    void keptCastsHoldTheReadingsOfTheirSource() {
        Cast first = Cast.of("1");
        assertEquals(45, first.pressuresDbar().length);
        assertEquals(27.9620, first.temperatureDegC(0), 1e-9);
        assertEquals(34.30629, first.salinity(0), 1e-9);
        assertEquals(1.5998, first.temperatureDegC(6131), 1e-9);
        assertEquals(34.71492, Cast.of("1").salinity(7000), 1e-9);
        assertEquals(34.72175, Cast.of("2").salinity(6131), 1e-9);
        assertEquals(4.4118, Cast.of("3").temperatureDegC(101), 1e-9);
    }

    @Test
    void betweenReadingsValuesRunStraightAndMissingOnesStayMissing() throws IOException {
        Cast cast = Cast.read(file("""
                # a cast
                note,practical_salinity,pressure_dbar,temperature_degC
                a,35,0,20
                b,,10,18
                c,36,20,NaN
                d,36,40,10
                """));
        assertEquals(19, cast.temperatureDegC(5), 1e-12);
        assertEquals(35.5, cast.salinity(10), 1e-12);
        assertEquals(14, cast.temperatureDegC(25), 1e-12);
        assertEquals(10, cast.temperatureDegC(500), 1e-12);
        assertTrue(Double.isNaN(cast.salinities()[1]));
        assertTrue(Double.isNaN(cast.temperaturesDegC()[2]));
    }

    @ParameterizedTest(name = "{1}")
    @CsvSource(
            delimiter = '|',
            value = {
                "pressure,temperature_degC,practical_salinity~0,20,35|no column pressure_dbar",
                "pressure_dbar,temperature_degC,practical_salinity~0,20,35~10,warm,35|line 3, temperature_degC",
                "pressure_dbar,temperature_degC,practical_salinity~0,293,35|293 lies outside",
                "pressure_dbar,temperature_degC,practical_salinity~0,20,35~10,20|too few cells",
                "pressure_dbar,temperature_degC,practical_salinity~10,20,35~5,20,35|must rise",
                "pressure_dbar,temperature_degC,practical_salinity~,20,35|pressure is missing",
                "pressure_dbar,temperature_degC,practical_salinity~0,20,~5,20,|holds no value",
                "pressure_dbar,temperature_degC,practical_salinity|holds no value"
            })
    void badFilesGetOneSentenceThatNamesThePlace(String text, String named) throws IOException {
        Path file = file(text.replace('~', '\n') + "\n");
        refused(file.toString(), named);
        refused(file.toString(), "my-cast.csv");
    }

    @Test
    void missingEmptyAndForeignFilesAreRefusedInWords() throws IOException {
        refused(folder.resolve("none.csv").toString(), "no such cast file");
        refused(file("").toString(), "no column pressure_dbar");
        refused("7", "no cast 7");
        refused(folder.toString(), "cannot be read");
        Path picture = folder.resolve("picture.png");
        Files.write(picture, new byte[] {(byte) 0x89, 'P', 'N', 'G', (byte) 0xff, (byte) 0xfe, 0, 1});
        refused(picture.toString(), "picture.png");
        refused(file(HEADER + "0,\"20,35\n").toString(), "my-cast.csv");
    }

    private static void refused(String name, String part) {
        String message = assertThrows(PlanException.class, () -> Cast.of(name)).getMessage();
        assertTrue(message.contains(part), message);
        assertFalse(message.contains("\n"), message);
    }
}
