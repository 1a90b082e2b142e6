package sunward.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import javax.xml.parsers.DocumentBuilderFactory;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class SpectraCommandsTest {
    @TempDir
    Path folder;

    private static JsonNode json(String command) {
        List<String> arguments = new ArrayList<>(List.of(command.split(" ", -1)));
        arguments.add("--json");
        Run run = Run.of(arguments.toArray(String[]::new));
        assertEquals(0, run.exitCode(), run::toString);
        return run.json();
    }

    private static double at(JsonNode json, String key, double nm) {
        for (int i = 0; i < json.get("wavelength_nm").size(); i++) {
            if (json.get("wavelength_nm").get(i).asDouble() == nm) {
                return json.get(key).get(i).asDouble();
            }
        }
        throw new AssertionError("no " + nm + " nm");
    }

    /**
     * Second implementation: another program's evaluation of Gregg and Carder's (1990) equations, divided by their mean
     * extraterrestrial irradiance (their Table 1) on 21 March, so that the solar spectra play no part.
     */
    @ParameterizedTest
    @CsvSource({
        "443, 1.957, 0.350867, 0.355862",
        "490, 1.938, 0.411701, 0.341042",
        "555, 1.896, 0.447048, 0.312634",
        "670, 1.531, 0.421754, 0.249534"
    })
    void skyAgreesWithASecondImplementation(double nm, double sun, double direct, double diffuse) {
        JsonNode json = json("sky --sun-zenith 60 --ozone-du 300 --water-vapour-cm 1.5 --air-mass-type 1 --humidity 80"
                + " --wind 4 --visibility-km 15 --pressure-hpa 1013.25 --line-width-nm 0.5");
        double orbit = 1 + 0.0167 * Math.cos(2 * Math.PI * 77 / 365.0);
        double there = sun * orbit * orbit;
        double here = at(json, "extraterrestrial", nm);
        assertEquals(direct / there, at(json, "direct", nm) / here, 0.005 * direct / there);
        assertEquals(diffuse / there, at(json, "diffuse", nm) / here, 0.005 * diffuse / there);
        assertEquals((direct + diffuse) / there, at(json, "total", nm) / here, 0.005 * (direct + diffuse) / there);
    }

    /** Worked case of Bird and Riordan (1986), an independent clear-sky model: 440 nm, global 1033.21 of 1856.83. */
    @Test
    void skyIsNearAnIndependentModel() {
        double visibility = 3.91 / (0.1 * Math.pow(550 / 500.0, -1.14));
        JsonNode json = json("sky --sun-zenith 47.91209 --ozone-du 344 --water-vapour-cm 1.42 --pressure-hpa 1013"
                + " --air-mass-type 4.3 --humidity 70 --wind 3 --visibility-km " + visibility);
        double published = 1033.21 / 1856.83;
        assertEquals(published, at(json, "total", 440) / at(json, "extraterrestrial", 440), 0.05 * published);
    }

    /** Reda and Andreas (2004), worked example; the site is higher and delta T smaller there. */
    @Test
    void skyTakesTheSunFromTimeAndPlace() {
        JsonNode json = json("sky --time 2003-10-17T19:30:30Z --lat 39.742476 --lon -105.1786");
        assertEquals(50.12795, json.get("sun_zenith_deg").asDouble(), 2e-4);
        assertEquals(194.34024, json.get("sun_azimuth_deg").asDouble(), 2e-4);
        // Their R; the distance here is a short series, stated good to 1e-4 au, which is 0.02 percent of irradiance.
        assertEquals(0.9965423, json.get("sun_distance_au").asDouble(), 1e-4);
    }

    /** What enters is less than what arrives, by a share that the answer states (energy is kept). */
    @Test
    void belowIsAboveLessReflection() {
        JsonNode json = json("sky --sun-zenith 65 --wind 8");
        for (int i = 0; i < json.get("wavelength_nm").size(); i++) {
            double direct = json.get("direct").get(i).asDouble();
            double diffuse = json.get("diffuse").get(i).asDouble();
            double below = direct * (1 - json.get("surface_reflectance_direct").asDouble())
                    + diffuse * (1 - json.get("surface_reflectance_diffuse").asDouble());
            assertEquals(below, json.get("total_below").get(i).asDouble(), 1e-12);
        }
    }

    /** Gordon et al. (1988, J. Geophys. Res. 93, 10909): rrs = 0.0949 u + 0.0794 u^2, within 10 percent. */
    @ParameterizedTest
    @ValueSource(strings = {"0.03", "0.3", "3"})
    void reflectanceFollowsItsPublishedForm(String chlorophyll) {
        JsonNode json =
                json("water --no-raman --no-fluorescence --temperature 20 --salinity 35 --from-nm 400 --to-nm 700"
                        + " --step-nm 10 --chlorophyll " + chlorophyll);
        for (int i = 0; i < json.get("wavelength_nm").size(); i++) {
            double back = json.get("backscatter").get(i).asDouble();
            double u = back / (back + json.get("absorption").get(i).asDouble());
            double published = (0.0949 + 0.0794 * u) * u;
            assertEquals(published, json.get("rrs").get(i).asDouble(), 0.1 * published);
        }
    }

    /** Morel and Maritorena (2001, J. Geophys. Res. 106, 7163, Table 2): Kd(490) = 0.01660 + 0.07242 Chl^0.68955. */
    @ParameterizedTest
    @ValueSource(doubles = {0.03, 0.1, 0.3, 1})
    void attenuationFollowsPublishedStatistics(double chlorophyll) {
        JsonNode json = json(
                "water --dissolved-share 1.1 --sun-zenith 20 --from-nm 490 --to-nm 490 --chlorophyll " + chlorophyll);
        double published = 0.01660 + 0.07242 * Math.pow(chlorophyll, 0.68955);
        assertEquals(published, at(json, "kd", 490), 0.1 * published);
    }

    /** Light from within the sea: Raman and fluorescence only ever add radiance, and the red falls off more slowly. */
    @Test
    void inelasticLightCanBeLeftOut() {
        String sea =
                "water --dissolved-share 1.1 --chlorophyll 1 --sun-zenith 30 --from-nm 500 --to-nm 700 --step-nm 1";
        JsonNode all = json(sea);
        JsonNode elastic = json(sea + " --no-raman --no-fluorescence");
        for (int i = 0; i < 201; i++) {
            assertTrue(
                    all.get("lu0").get(i).asDouble() > elastic.get("lu0").get(i).asDouble());
        }
        assertTrue(at(all, "k_lu", 685) < at(elastic, "k_lu", 685));
        assertEquals(at(all, "absorption", 600), at(elastic, "absorption", 600));
    }

    @Test
    void absorptionAndAttenuationAreToldAtTheirDepth() {
        JsonNode deep = json("water --depth-m 110 --from-nm 440 --to-nm 440");
        assertEquals(0.42, deep.get("chlorophyll_mg_per_m3").asDouble(), 1e-9);
        JsonNode top = json("water --from-nm 440 --to-nm 440");
        assertTrue(at(deep, "absorption", 440) > at(top, "absorption", 440));
        assertEquals(at(top, "lu0", 440), at(deep, "lu0", 440));
    }

    /**
     * Published: absorption of pure water at 350 nm, per m, by Mason, Cone and Fry (2016) 0.00089 and the IOCCG's protocol (2018)
     * 0.0071; the rest of the absorption is that of almost no matter, the same in both.
     */
    @Test
    void theUltravioletTableIsAChoiceThatIsTold() {
        String water =
                "water --chlorophyll 0.001 --dissolved-share 0 --temperature 20 --salinity 0 --from-nm 350 --to-nm 440"
                        + " --step-nm 90 --pure-water-table ";
        JsonNode clearest = json(water + "MASON_2016");
        JsonNode consensus = json(water + "CONSENSUS_2018");
        assertEquals(0.0071 - 0.00089, at(consensus, "absorption", 350) - at(clearest, "absorption", 350), 1e-9);
        assertEquals(at(consensus, "absorption", 440), at(clearest, "absorption", 440));
        assertEquals("CONSENSUS_2018", consensus.get("pure_water_table").asText());
        assertEquals("SOURCE_INTEGRAL", consensus.get("light_model").asText());
    }

    @Test
    void aProfileFileAndTheOtherLightModelAreUsedAndTold() throws Exception {
        Path file = folder.resolve("chlorophyll <1>.csv");
        Files.writeString(file, "depth_m,chlorophyll_mg_per_m3\n0,0.1\n20,0.5\n");
        Path picture = folder.resolve("water.svg");
        Run run = Run.of(
                "water",
                "--chlorophyll-profile",
                file.toString(),
                "--light-model",
                "THREE_STREAMS",
                "--depth-m",
                "10",
                "--step-nm",
                "20",
                "--json",
                "--picture",
                picture.toString());
        assertEquals(0, run.exitCode(), run::toString);
        assertEquals(0.3, run.json().get("chlorophyll_mg_per_m3").asDouble(), 1e-12);
        assertEquals(0.1, run.json().get("surface_chlorophyll_mg_per_m3").asDouble(), 1e-12);
        assertEquals(file.toString(), run.json().get("chlorophyll_profile").asText());
        assertEquals("THREE_STREAMS", run.json().get("light_model").asText());
        var drawn = DocumentBuilderFactory.newInstance().newDocumentBuilder().parse(picture.toFile());
        assertTrue(drawn.getDocumentElement().getTextContent().contains("light model: THREE_STREAMS"));
        JsonNode usual = json("water --chlorophyll 0.1 --step-nm 20");
        assertTrue(Math.abs(at(run.json(), "rrs", 440) / at(usual, "rrs", 440) - 1) > 0.02);
        Files.writeString(file, "depth_m,chlorophyll_mg_per_m3\n0,0.1\n0,x\n");
        Run.of("water", "--chlorophyll-profile", file.toString()).failedWith(2, "line 3", "not a number");
    }

    /** A named scene stands behind what is not given: its sun, its air, its water. */
    @Test
    void aSceneOfTheLibraryCanBeAskedFor() {
        JsonNode green = json("water --scene coastal-green --step-nm 50");
        JsonNode usual = json("water --step-nm 50");
        assertTrue(green.get("surface_chlorophyll_mg_per_m3").asDouble()
                > 10 * usual.get("surface_chlorophyll_mg_per_m3").asDouble());
        assertTrue(at(green, "kd", 420) > 5 * at(usual, "kd", 420));
    }

    @ParameterizedTest
    @ValueSource(strings = {"sky --sun-zenith 30", "water --chlorophyll 0.2 --sun-zenith 30"})
    void csvAndPictureHoldWhatJsonHolds(String command) throws Exception {
        Path picture = folder.resolve("spectra.svg");
        JsonNode json = json(command + " --step-nm 30");
        Run run = Run.of((command + " --step-nm 30 --csv --picture " + picture).split(" ", -1));
        assertEquals(0, run.exitCode(), run::toString);
        List<String> lines =
                run.out().lines().filter(line -> !line.startsWith("#")).toList();
        assertEquals(1 + json.get("wavelength_nm").size(), lines.size());
        String[] header = lines.get(0).split(",", -1);
        String[] first = lines.get(1).split(",", -1);
        assertEquals("wavelength_nm", header[0]);
        int column = 0;
        for (var keys = json.get("units").fieldNames(); keys.hasNext(); ) {
            String key = keys.next();
            column++;
            assertTrue(header[column].startsWith(key + "_"), header[column]);
            assertEquals(json.get(key).get(0).asDouble(), Double.parseDouble(first[column]));
        }
        assertEquals(header.length, column + 1);
        var drawn = DocumentBuilderFactory.newInstance().newDocumentBuilder().parse(picture.toFile());
        assertEquals("svg", drawn.getDocumentElement().getTagName());
        assertNotNull(drawn.getElementsByTagName("title").item(0));
        assertFalse(Files.readString(picture).contains("NaN"));
        Run again = Run.of((command + " --picture " + picture).split(" ", -1));
        again.failedWith(2, "--picture", "exists already");
    }

    @Test
    void tableIsShortAndSaysSo() {
        Run run = Run.of("sky", "--sun-zenith", "30");
        assertEquals(0, run.exitCode());
        assertTrue(run.out().lines().count() < 90);
        assertTrue(run.out().contains("not a measurement"));
        assertTrue(run.out().contains("--csv and --json have all 541"));
    }

    @Test
    void twilightIsWarnedOf() {
        Run run = Run.of("sky", "--time", "2026-12-15T15:00:00Z", "--lat", "11", "--lon", "142", "--json");
        assertEquals(0, run.exitCode());
        assertEquals(1, run.json().get("warnings").size());
        assertTrue(run.err().contains("twilight"));
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "sky | --time, --lat and --lon",
                "sky --sun-zenith 30 --lat 3 | stands instead of",
                "sky --sun-zenith 91 | --sun-zenith: 91 is outside 0 to 90",
                "sky --sun-zenith 30 --ozone-du 20 | --ozone-du: 20 is outside 100 to 600",
                "sky --sun-zenith 30 --humidity 100 | --humidity: 100 is outside 0 to 99",
                "sky --sun-zenith NaN | --sun-zenith: NaN",
                "sky --sun-zenith 30 --csv --json | exclude each other",
                "sky --sun-zenith 30 --step-nm 0.01 --line-width-nm 1 | more than 6000",
                "sky --sun-zenith 30 --from-nm 500 --to-nm 400 | exchange",
                "sky --time today --lat 3 --lon 4 | not a time",
                "sky --time 2026-12-15T02:27:00Z --lat 91 --lon 4 | --lat: 91",
                "water --chlorophyll 0 | --chlorophyll: 0 is outside 0.001 to 100",
                "water --chlorophyll x | chlorophyll",
                "water --temperature 20 | --salinity",
                "water --depth-m 251 | --depth-m: 251 is outside 0 to 250",
                "water --to-nm 900 | --to-nm: 900 is outside 310 to 870",
                "water --line-width-nm 0 | --line-width-nm",
                "water --pure-water-table mine | is not one of MASON_2016, CONSENSUS_2018, SMITH_BAKER_1981",
                "water --pure-water-table PURE_WATER_TABLE_UNSPECIFIED | is not one of",
                "water --light-model THREE | SOURCE_INTEGRAL, THREE_STREAMS",
                "water --chlorophyll 1 --chlorophyll-profile here.csv | exclude each other",
                "water --chlorophyll-profile nowhere.csv | no such profile file",
                "water --cast nowhere.csv | no such cast file",
                "water --cast 1 --temperature 3 --salinity 35 | stands instead of",
                "water --scene moon | neither a scene nor a file"
            })
    void whatCannotBeUsedGetsOneSentence(String command, String words) {
        Run run = Run.of(command.split(" ", -1));
        run.failedWith(2, words);
    }
}
