package sunward.planning;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import sunward.profiles.ProductFiles;
import sunward.profiles.ProfileBin;

class DiveReportTest {
    /** The page keeps six digits. */
    private static final double DIGITS = 1e-5;

    @TempDir
    static Path place;

    private static RehearsedDive dive;
    private static JsonNode page;

    @BeforeAll
    static void fly() throws Exception {
        dive = ThinDive.fly();
        page = ReportTest.dataOf(Report.page(dive.report().data()));
    }

    private static void same(double expected, JsonNode found, String where) {
        assertNotNull(found, where);
        assertEquals(expected, found.asDouble(), Math.abs(expected) * DIGITS, where);
    }

    private static int place(JsonNode wavelengths, double nm) {
        int best = 0;
        for (int k = 0; k < wavelengths.size(); k++) {
            if (Math.abs(wavelengths.get(k).asDouble() - nm)
                    < Math.abs(wavelengths.get(best).asDouble() - nm)) {
                best = k;
            }
        }
        return best;
    }

    /** Twelve named points of the surface spectra, read from radiance.csv and from the page. */
    @Test
    void spectraEqualTheProductAtNamedPoints() throws Exception {
        Path csv = place.resolve("radiance.csv");
        ProductFiles.writeRadiance(dive.product(), csv);
        List<Map<String, String>> rows = rows(csv);
        JsonNode spectra = page.get("spectra");
        for (double nm : new double[] {386, 412, 443, 490, 555, 670}) {
            int k = place(spectra.get("wavelengthNm"), nm);
            Map<String, String> row = rows.get(k);
            assertEquals(nm, Double.parseDouble(row.get("wavelength_nm")), 0.5);
            String where = nm + " nm";
            same(
                    Double.parseDouble(row.get("lw_w_per_m2_nm_sr")),
                    spectra.get("lw").get(k),
                    "lw at " + where);
            same(
                    Double.parseDouble(row.get("lw_low_95_w_per_m2_nm_sr")),
                    spectra.get("lwLow95").get(k),
                    "low at " + where);
            same(Double.parseDouble(row.get("k_lu_per_m")), spectra.get("kLu").get(k), "K at " + where);
        }
        int k = place(spectra.get("wavelengthNm"), 443);
        double truth = dive.result().truth().lw()[k];
        same(truth, spectra.get("lwTrue").get(k), "truth at 443 nm");
        double error = 100 * (Double.parseDouble(rows.get(k).get("lw_w_per_m2_nm_sr")) / truth - 1);
        assertEquals(error, spectra.get("errorPercent").get(k).asDouble(), 1e-3, "error at 443 nm, percent");
    }

    /** Eight named cells of the picture, where one head alone filled the bin. */
    @Test
    void pictureEqualsTheProductAtNamedPoints() {
        JsonNode picture = page.get("picture");
        List<ProfileBin> clear = dive.product().profile().bins().stream()
                .filter(b -> b.pass() == 0 && !b.shaded() && b.used() > 0 && b.radiance() != null)
                .toList();
        List<ProfileBin> alone = clear.stream()
                .filter(b -> clear.stream().filter(o -> o.bin() == b.bin()).count() == 1)
                .toList();
        assertTrue(alone.size() >= 4, "the dive has too few bins of one head for this test");
        for (int i = 0; i < 4; i++) {
            ProfileBin bin = alone.get(i * (alone.size() - 1) / 3);
            for (double nm : new double[] {443, 490}) {
                int k = place(picture.get("wavelengthNm"), nm);
                same(
                        bin.radiance().at(k),
                        picture.get("lu").get(bin.bin()).get(k),
                        "bin " + bin.bin() + " at " + nm + " nm");
                assertTrue(
                        picture.get("topM").get(bin.bin()).asDouble() < bin.depthM() + 0.3
                                && bin.depthM() - 0.3
                                        < picture.get("bottomM").get(bin.bin()).asDouble(),
                        "bin " + bin.bin() + " lies at its depth, tare and lever arm aside");
            }
        }
    }

    @Test
    void emptyRowsNameTheirCause() {
        JsonNode picture = page.get("picture");
        for (int row = 0; row < picture.get("lu").size(); row++) {
            boolean empty = picture.get("lu").get(row).get(0).isNull();
            assertEquals(empty, picture.get("heads").get(row).asText().isEmpty(), "row " + row);
            assertEquals(empty, !picture.get("cause").get(row).asText().isEmpty(), "row " + row);
        }
    }

    @Test
    void everyMessageIsThere() {
        JsonNode bars = page.get("messages");
        assertEquals(dive.result().sent().size(), bars.size());
        long received = dive.log().count("received");
        long drawn = 0;
        for (int i = 0; i < bars.size(); i++) {
            assertEquals(
                    dive.result().sent().get(i).length, bars.get(i).get("bytes").asInt(), "message " + i);
            drawn += bars.get(i).get("state").asText().equals("received") ? 1 : 0;
        }
        assertEquals(received, drawn);
    }

    @Test
    void budgetAddsUpToTheUncertainty() {
        JsonNode budget = page.get("budget");
        int k = place(budget.get("wavelengthNm"), 490);
        double sum = 0;
        for (JsonNode contributor : budget.get("contributors")) {
            sum = Math.hypot(sum, contributor.get("percent").get(k).asDouble());
        }
        assertEquals(budget.get("totalPercent").get(k).asDouble(), sum, 1e-3 * sum);
        assertEquals(100 * dive.product().surface().lwRelative().at(k), sum, 1e-3 * sum);
    }

    private static List<Map<String, String>> rows(Path csv) throws Exception {
        List<String> lines = Files.readAllLines(csv, StandardCharsets.UTF_8).stream()
                .filter(l -> !l.startsWith("#"))
                .toList();
        List<String> header = List.of(lines.get(0).split(",", -1));
        List<Map<String, String>> rows = new ArrayList<>();
        for (String line : lines.subList(1, lines.size())) {
            // Quoted text comes after the numbers that are read here.
            String[] cells = line.split(",", -1);
            Map<String, String> row = new HashMap<>();
            for (int c = 0; c < header.size() && c < cells.length; c++) {
                row.put(header.get(c), cells[c]);
            }
            rows.add(row);
        }
        return rows;
    }

    /** The scene on the page is the truth's: sun and sky add up, chlorophyll is the plan's, its light falls with depth. */
    @Test
    void sceneShowsTheDayAndTheSea() {
        JsonNode scene = page.get("scene");
        for (int k = 0; k < scene.get("es").size(); k++) {
            double parts = scene.get("direct").get(k).asDouble()
                    + scene.get("diffuse").get(k).asDouble();
            same(parts, scene.get("es").get(k), "channel " + k);
        }
        var water = dive.file().getScene().getWater();
        int maximum = place(scene.get("depthM"), water.getMaximumDepthM());
        same(
                water.getSurfaceChlorophyllMgPerM3() + water.getMaximumChlorophyllMgPerM3(),
                scene.get("chlorophyll").get(maximum),
                "the deep maximum lies on a level");
        assertTrue(scene.get("readChlorophyll").size() > 20, "the float's own readings arrived");
        JsonNode light = scene.get("lightDepthM");
        assertTrue(light.get(0).asDouble() < light.get(1).asDouble());
        assertTrue(light.get(1).asDouble() < light.get(2).asDouble());
        assertEquals(0, scene.get("changes").size(), "the default scene");
        int last = scene.get("brightnessPercent").size() - 1;
        assertEquals(100, scene.get("brightnessPercent").get(last).asDouble(), 0.5, "clear sky at surfacing");
        assertEquals(page.get("geometry").get("timeS").size(), last + 1);
    }

    @Test
    void changesOfASceneAreNamedByPlanField() {
        var scene = dive.file().getScene().toBuilder();
        scene.getCloudBuilder().setCoverPercent(40);
        scene.getInstrumentBuilder().setFouledHead("A");
        var data = new ScenePicture(scene.build(), dive.result().truth()).data(List.of(), 0);
        assertEquals(
                List.of(
                        new ReportData.Fact("scene.cloud.cover_percent", "40", "0"),
                        new ReportData.Fact("scene.instrument.fouled_head", "A", "")),
                data.changes());
        ReportData.Fact own = data.facts().get(data.facts().size() - 1);
        assertEquals("instrument.fouled head A", own.note(), "the float's own apart from the day's");
    }
}
