package sunward.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class AimCommandTest {
    private static final String NOON = "2026-12-15T02:27:00Z";

    @TempDir
    Path folder;

    private static Run aim(
            String time, String lat, String lon, String heading, String roll, String pitch, String... more) {
        List<String> arguments = new ArrayList<>(List.of("aim", "--json"));
        arguments.addAll(List.of("--time", time, "--lat", lat, "--lon", lon));
        arguments.addAll(List.of("--heading", heading, "--roll", roll, "--pitch", pitch));
        arguments.addAll(List.of(more));
        return Run.of(arguments.toArray(String[]::new));
    }

    /**
     * Worked example of Reda and Andreas (2004, Solar Energy 76, 577): azimuth 194.34024, zenith 50.11162 with
     * refraction at 820 mbar and 11 degC; 50.12795 without. The site is at 1830.14 m and delta T 67 s there; here sea level
     * and 69.2 s, which changes the last digits only.
     */
    @Test
    void sunAgreesWithTheWorkedExampleOfItsAlgorithm() {
        JsonNode json = aim("2003-10-17T19:30:30Z", "39.742476", "-105.1786", "0", "0", "0")
                .json();
        assertEquals(50.12795, json.get("sun_zenith_deg").asDouble(), 2e-4);
        assertEquals(194.34024, json.get("sun_azimuth_deg").asDouble(), 2e-4);
    }

    /** World Magnetic Model 2025 test values of NOAA NCEI and BGS (2024): 80 N, 0 E, 2025.0, sea level: 1.28 degrees. */
    @Test
    void declinationComesFromTheModelUnlessGiven() {
        JsonNode model = aim("2025-01-01T00:00:00Z", "80", "0", "10", "0", "0").json();
        assertEquals(1.28, model.get("declination_deg").asDouble(), 0.005);
        assertEquals(11.28, model.get("heading_true_deg").asDouble(), 0.005);
        JsonNode given = aim(NOON, "11", "142", "350", "0", "0", "--declination", "-12.5")
                .json();
        assertEquals(-12.5, given.get("declination_deg").asDouble());
        assertEquals(337.5, given.get("heading_true_deg").asDouble(), 1e-9);
    }

    /** Plain trigonometry: at 5 degrees of pitch an arm of 0.95 m rises or sinks by 0.95 sin 5 = 8.28 cm. */
    @ParameterizedTest
    @CsvSource({"0, 0, 0.25, 0.25", "0, 5, 0.1662507, 0.3318467", "5, 0, 0.2490487, 0.2490487"})
    void depthsFollowTheLeverArm(String roll, String pitch, double depthA, double depthB) {
        JsonNode heads = aim(NOON, "11", "142", "0", roll, pitch).json().get("heads");
        assertEquals(depthA, heads.get(0).get("depth_offset_m").asDouble(), 1e-6);
        assertEquals(depthB, heads.get(1).get("depth_offset_m").asDouble(), 1e-6);
    }

    @Test
    void theHeadOnTheSunSideIsPreferred() {
        JsonNode toSun =
                aim(NOON, "11", "142", "180", "0", "0", "--declination", "0").json();
        assertEquals("A", toSun.get("preferred_head").asText());
        assertTrue(toSun.get("fallback").isNull());
        JsonNode away =
                aim(NOON, "11", "142", "0", "0", "0", "--declination", "0").json();
        assertEquals("B", away.get("preferred_head").asText());
        JsonNode shaded = away.get("heads").get(0);
        assertEquals("A", shaded.get("name").asText());
        assertEquals(0, shaded.get("azimuth_true_deg").asDouble(), 1e-9);
        assertTrue(Math.abs(shaded.get("azimuth_from_antisun_deg").asDouble()) < 2, shaded.toString());
        assertTrue(shaded.get("predicted_loss_555_percent").asDouble() > 1, shaded.toString());
        JsonNode clear = away.get("heads").get(1);
        assertEquals(180, Math.abs(clear.get("azimuth_from_antisun_deg").asDouble()), 2);
        assertEquals(0, clear.get("predicted_loss_555_percent").asDouble(), 0.01);
    }

    @Test
    void fallbacksAreNamedAndYearsOutsideTheModelWarned() {
        Run night = aim("2026-12-15T14:27:00Z", "11", "142", "0", "0", "0");
        assertEquals("sun down", night.json().get("fallback").asText());
        assertEquals("", night.err());
        Run late = aim("2031-12-15T02:27:00Z", "11", "142", "0", "0", "0");
        assertEquals(0, late.exitCode());
        assertTrue(late.err().contains("2025.0 to 2030.0"), late.err());
        assertEquals(1, late.json().get("warnings").size());
    }

    @Test
    void peopleReadWordsAndUnits() {
        Run run = Run.of(
                "aim", "--time", NOON, "--lat", "11", "--lon", "142", "--heading", "0", "--roll", "0", "--pitch", "0");
        assertEquals(0, run.exitCode());
        assertTrue(run.out().contains("preferred head") && run.out().contains("loss at 555 nm %"), run.out());
    }

    @Test
    void planFilesAreTaken() throws IOException {
        Path plan = folder.resolve("three.yaml");
        Files.writeString(plan, Run.of("plan", "--example", "three-arms").out());
        JsonNode heads = aim(NOON, "11", "142", "0", "0", "0", "--plan", plan.toString())
                .json()
                .get("heads");
        assertEquals(4, heads.size());
        assertEquals("sky", heads.get(3).get("name").asText());
        assertEquals(0, heads.get(3).get("predicted_loss_555_percent").asDouble());
    }

    @ParameterizedTest
    @CsvSource({
        "2026-12-15T02:27:00Z, 95, 142, 0, latitude 95 is outside -90 to 90",
        "2026-12-15T02:27:00Z, NaN, 142, 0, latitude NaN",
        "2026-12-15T02:27:00Z, 11, 200, 0, longitude 200",
        "2026-12-15T02:27:00Z, 11, 142, 361, heading 361",
        "2026-12-15T02:27:00Z, eleven, 142, 0, --lat",
        "2026-12-15 02:27, 11, 142, 0, ending in Z",
        "2026-02-30T02:27:00Z, 11, 142, 0, is not a time",
        "1999-12-15T02:27:00Z, 11, 142, 0, 2000 to 2135"
    })
    void badValuesGetOneSentence(String time, String lat, String lon, String heading, String words) {
        Run.of("aim", "--time", time, "--lat", lat, "--lon", lon, "--heading", heading, "--roll", "0", "--pitch", "0")
                .failedWith(2, words);
    }

    @Test
    void badPlansGetOneSentence() throws IOException {
        Path empty = Files.createFile(folder.resolve("empty.yaml"));
        Path binary = folder.resolve("image.png");
        Files.write(binary, new byte[] {(byte) 0x89, 'P', 'N', 'G', 13, 10, 26, 10});
        Path unknown = Files.writeString(folder.resolve("unknown.yaml"), "plan:\n  hull:\n    radius_cm: 8.5\n");
        Path unit = Files.writeString(folder.resolve("unit.yaml"), "plan:\n  hull:\n    radius_m: 8.5 cm\n");
        plan(folder.resolve("none.yaml")).failedWith(2, "none.yaml", "no such file");
        plan(folder).failedWith(2, "a directory");
        plan(empty).failedWith(2, "empty.yaml", "empty");
        plan(binary).failedWith(2, "image.png", "not a UTF-8 text file");
        plan(unknown).failedWith(2, "unknown.yaml, line 3", "radius_cm", "did you mean radius_m (metres)");
        plan(unit).failedWith(2, "unit.yaml, line 3", "\"8.5 cm\"", "metres");
    }

    private static Run plan(Path plan) {
        return Run.of(
                "aim",
                "--time",
                NOON,
                "--lat",
                "11",
                "--lon",
                "142",
                "--heading",
                "0",
                "--roll",
                "0",
                "--pitch",
                "0",
                "--plan",
                plan.toString());
    }

    @Test
    void missingOptionsAreNamed() {
        Run.of("aim", "--lat", "11").failedWith(2, "--time", "--lon", "sunward aim --help");
    }
}
