package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Published: test values released with the World Magnetic Model 2025, to their printed digits. */
class MagneticFieldTest {
    @ParameterizedTest
    @CsvSource({
        "2025.0,0,80,0,6521.6,145.9,54791.5,6523.2,55178.5,83.21,1.28",
        "2025.0,0,-80,240,6117.5,15751.9,-52022.5,16898.1,54698.2,-72.00,68.78",
        "2025.0,100,0,120,37688.6,-96.2,-10152.1,37688.7,39032.1,-15.08,-0.15",
        "2027.5,0,80,0,6500.8,294.5,54869.4,6507.5,55253.9,83.24,2.59",
        "2027.5,0,-80,240,6200.7,15730.3,-51783.7,16908.3,54474.2,-71.92,68.49",
        "2027.5,100,0,120,37711.5,-148.7,-9969.8,37711.8,39007.4,-14.81,-0.23"
    })
    void fieldHasThePublishedTestValues(
            double year,
            double heightKm,
            double latitude,
            double longitude,
            double north,
            double east,
            double down,
            double horizontal,
            double total,
            double inclination,
            double declination) {
        MagneticField.Field field = MagneticField.at(latitude, longitude, heightKm, year);
        assertEquals(north, field.northNt(), 0.0501);
        assertEquals(east, field.eastNt(), 0.0501);
        assertEquals(down, field.downNt(), 0.0501);
        assertEquals(horizontal, field.horizontalNt(), 0.0501);
        assertEquals(total, field.totalNt(), 0.0501);
        assertEquals(inclination, field.inclinationDeg(), 0.00501);
        assertEquals(declination, field.declinationDeg(), 0.00501);
    }

    @Test
    void yearsOutsideTheModelAreMarked() {
        assertTrue(MagneticField.at(11, 142, 0, 2025.0).withinModelYears());
        assertTrue(MagneticField.at(11, 142, 0, 2030.0).withinModelYears());
        assertFalse(MagneticField.at(11, 142, 0, 2024.99).withinModelYears());
        assertFalse(MagneticField.at(11, 142, 0, 2030.01).withinModelYears());
    }

    @Test
    void decimalYearsFollowTheCalendar() {
        assertEquals(2000.0, MagneticField.decimalYear(0), 1e-12);
        assertEquals(2000.5, MagneticField.decimalYear(183 * 86_400_000L), 1e-12, "a leap year has 366 days");
        assertEquals(2001.0, MagneticField.decimalYear(366 * 86_400_000L), 1e-12);
    }

    @Test
    void fieldIsContinuousToThePole() {
        MagneticField.Field near = MagneticField.at(89.9999, 30, 0, 2026);
        MagneticField.Field at = MagneticField.at(90, 30, 0, 2026);
        assertEquals(near.totalNt(), at.totalNt(), 0.1);
        assertEquals(near.declinationDeg(), at.declinationDeg(), 0.01);
    }
}
