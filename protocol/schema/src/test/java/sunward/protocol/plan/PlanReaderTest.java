package sunward.protocol.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.protobuf.Descriptors.Descriptor;
import com.google.protobuf.Descriptors.FieldDescriptor;
import com.google.protobuf.Descriptors.FieldDescriptor.JavaType;
import java.util.List;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;
import sunward.protocol.schema.HeadKind;
import sunward.protocol.schema.Limits;
import sunward.protocol.schema.LimitsOuterClass;
import sunward.protocol.schema.PlanFile;

class PlanReaderTest {
    @Test
    void defaultPlanIsTheReferenceFloat() {
        PlanFile file = PlanReader.defaults();
        assertEquals(2, file.getPlan().getHeadsCount());
        assertEquals(-0.95, file.getPlan().getHeads(1).getArmXM());
        assertEquals(340, file.getPlan().getLink().getMessageBytes());
        assertEquals(0.75, file.getCalibration().getHeads(0).getWavelengthStepNm());
        assertEquals("2026-12-15T02:27:00Z", file.getScene().getSurfacingUtc());
        assertEquals(file, PlanReader.read(PlanReader.defaultText(), "printed.yaml"));
    }

    @Test
    void everyNumberHasLimitsAndEverySectionIsReached() {
        assertTrue(checkLimits(PlanFile.getDescriptor()) > 100, "numbers found in the schema");
    }

    private static int checkLimits(Descriptor section) {
        int numbers = 0;
        for (FieldDescriptor field : section.getFields()) {
            Limits limits = field.getOptions().getExtension(LimitsOuterClass.limits);
            if (field.getJavaType() == JavaType.MESSAGE) {
                numbers += checkLimits(field.getMessageType());
            } else if (field.getJavaType() == JavaType.DOUBLE || field.getJavaType() == JavaType.INT) {
                assertTrue(limits.getMin() < limits.getMax(), field.getFullName() + " needs limits");
                numbers++;
            }
        }
        return numbers;
    }

    @Test
    void aFileHoldsOnlyWhatItChanges() {
        PlanFile file = PlanReader.read("\ufeffplan:\r\n  exposure:\r\n    dark_every: 10\r\n", "mine.yaml");
        PlanFile.Builder expected = PlanReader.defaults().toBuilder();
        expected.getPlanBuilder().getExposureBuilder().setDarkEvery(10);
        assertEquals(expected.build(), file);
    }

    @Test
    void listsAreReplacedWhole() {
        PlanFile file = PlanReader.read("plan: {bins: {zones: [{to_dbar: 300, width_dbar: 3}]}}", "mine.yaml");
        assertEquals(1, file.getPlan().getBins().getZonesCount());
        assertEquals(6, file.getPlan().getBins().getRejectSigma());
    }

    @Test
    void numbersMayBeWrittenInAnyPlainWay() {
        for (String text : List.of("4", "4.0", "4.", "0.4e1", "+4", "40E-1", "\"4\"")) {
            PlanFile file = PlanReader.read("plan: {exposure: {shortest_ms: " + text + "}}", "mine.yaml");
            assertEquals(PlanReader.defaults(), file, text);
        }
    }

    @Test
    void examplesReadAndTheSecondIsNoPair() {
        assertEquals(
                List.of("default", "three-arms"),
                List.copyOf(PlanReader.examples().keySet()));
        PlanFile file = PlanReader.read(PlanReader.examples().get("three-arms"), "three-arms");
        assertEquals(4, file.getPlan().getHeadsCount());
        assertEquals(HeadKind.DOWNWELLING_IRRADIANCE, file.getPlan().getHeads(3).getKind());
        for (int i = 0; i < 3; i++) {
            double azimuth = Math.toDegrees(Math.atan2(
                    file.getPlan().getHeads(i).getArmYM(),
                    file.getPlan().getHeads(i).getArmXM()));
            assertEquals(0, Math.IEEEremainder(azimuth - 120 * i, 360), 0.01, "arm " + i);
        }
    }

    static Stream<Arguments> badTexts() {
        String twoZones = "plan:\n  bins:\n    zones:\n      - {to_dbar: 100, width_dbar: 1}\n";
        return Stream.of(
                bad("", 0, "empty", "sunward plan"),
                bad("  \n", 0, "empty"),
                bad("# only a comment\n", 0, "plan, calibration or scene"),
                bad("just words", 1, "plan, calibration or scene"),
                bad("\u0000\u0001PNG", 0, "not a text file"),
                bad("plan:\n  exposure: [1\n", 3, "not YAML"),
                bad("plan:\n\texposure: 1\n", 2, "not YAML"),
                bad("plan: {}\n---\nplan: {}\n", 2, "not YAML"),
                bad(
                        "plan:\n  exposure:\n    exposure_min_s: 1\n",
                        3,
                        "plan.exposure.exposure_min_s",
                        "shortest_ms",
                        "milliseconds"),
                bad("plan:\n  exposure:\n    shortest_s: 0.004\n", 3, "unknown", "shortest_ms (milliseconds)"),
                bad("plan:\n  ascent:\n    start_m: 200\n", 3, "unknown", "start_dbar (decibars)", "unit"),
                bad("plan:\n  ascent:\n    strat_dbar: 200\n", 3, "unknown", "did you mean start_dbar"),
                bad("plan:\n  ascent:\n    qqqqqqqq: 200\n", 3, "unknown", "known here are park_dbar, start_dbar"),
                bad("ascent:\n  start_dbar: 200\n", 1, "ascent", "unknown", "plan.ascent"),
                bad("plan:\n  start_dbar: 200\n", 2, "plan.start_dbar", "plan.ascent.start_dbar"),
                bad("plan:\n  channels: 200\n", 2, "plan.heads[].channels"),
                bad(
                        "plan:\n  exposure:\n    shortest_ms: 4 s\n",
                        3,
                        "shortest_ms",
                        "\"4 s\"",
                        "milliseconds",
                        "without a unit"),
                bad("plan:\n  exposure:\n    shortest_ms: four\n", 3, "\"four\"", "a number in milliseconds"),
                bad("plan:\n  exposure:\n    shortest_ms: 4,5\n", 3, "\"4,5\"", "decimal point"),
                bad("plan:\n  exposure:\n    shortest_ms: .nan\n", 3, "\".nan\"", "a number"),
                bad("plan:\n  exposure:\n    shortest_ms: NaN\n", 3, "\"NaN\"", "a number"),
                bad("plan:\n  exposure:\n    shortest_ms: .inf\n", 3, "a number"),
                bad("plan:\n  exposure:\n    shortest_ms: 1e999\n", 3, "from 0.1 to 1000"),
                bad("plan:\n  exposure:\n    shortest_ms: 0\n", 3, "\"0\"", "from 0.1 to 1000"),
                bad("plan:\n  exposure:\n    shortest_ms:\n", 3, "no value"),
                bad("plan:\n  exposure:\n    shortest_ms: null\n", 3, "no value"),
                bad("plan:\n  exposure:\n    shortest_ms: [4]\n", 3, "expected a number"),
                bad("plan:\n  exposure:\n    octaves: 2.5\n", 3, "a whole number", "1 to 15"),
                bad("plan:\n  exposure: 4\n", 2, "plan.exposure is a section"),
                bad("plan:\n  exposure:\n    octaves: 9\n    octaves: 8\n", 4, "plan.exposure.octaves", "twice"),
                bad("plan: {}\nplan: {}\n", 2, "plan is given twice"),
                bad("plan:\n  heads: 2\n", 2, "plan.heads is a list"),
                bad("plan:\n  heads: [A]\n", 2, "plan.heads[0] is a list entry with fields"),
                bad("plan:\n  heads:\n    - name: A\n", 3, "plan.heads[0].kind is missing", "every field"),
                bad("plan:\n  [1]: 2\n", 2, "field's name"),
                bad("plan: &a {}\n", 1, "anchor"),
                bad("scene: {title: !!str x}\n", 1, "tag"),
                bad("scene: !mine {title: x}\n", 1, "tag"),
                bad("scene: {noise: yes}\n", 1, "scene.instrument.noise"),
                bad("scene: {instrument: {noise: yes}}\n", 1, "\"yes\"", "true or false"),
                bad("plan: {link: {profile: shortletter}}\n", 1, "short-letter or long-letter or open-line"),
                bad("plan: {link: {message_bytes: 341}}\n", 1, "plan.link.message_bytes", "340", "short-letter"),
                bad("plan: {link: {price_currency: euro}}\n", 1, "three-letter"),
                bad("scene:\n  latitude_deg: 95\n", 2, "scene.latitude_deg", "\"95\"", "-90 to 90"),
                bad("scene:\n  surfacing_utc: \"2026-12-15 02:27\"\n", 2, "2026-12-15T02:27:00Z"),
                bad("scene:\n  surfacing_utc: \"2026-02-30T02:27:00Z\"\n", 2, "expected a time"),
                bad("scene:\n  surfacing_utc: \"1999-02-20T02:27:00Z\"\n", 2, "2000 to 2135"),
                bad("calibration:\n  date: \"2026-13-01\"\n", 2, "calibration.date", "expected a date"),
                bad("plan:\n  declination:\n    date: soon\n", 3, "plan.declination.date", "\"soon\""),
                bad(twoZones, 3, "plan.bins.zones end at 100 dbar", "start_dbar (250)"),
                bad(twoZones + "      - {to_dbar: 50, width_dbar: 1}\n", 5, "zones[1].to_dbar", "deeper"),
                bad(twoZones + "      - {to_dbar: 250, width_dbar: 7}\n", 5, "zones[1].width_dbar", "whole bins"),
                bad(twoZones + "      - {to_dbar: 250, width_dbar: 0.1}\n", 3, "1600 bins", "1024"),
                bad("plan: {bins: {zones: []}}\n", 1, "no zone"),
                bad("plan: {heads: []}\n", 1, "one to four heads"),
                bad("plan: {ascent: {start_dbar: 250, park_dbar: 200}}\n", 1, "start_dbar is deeper than park_dbar"),
                bad("plan: {exposure: {raise_below_share: 0.46}}\n", 1, "twice raise_below_share"),
                bad("plan: {exposure: {octaves: 12}}\n", 1, "plan.exposure.octaves", "16384 ms"),
                bad("plan: {fly_wavelengths_nm: [300]}\n", 1, "fly_wavelengths_nm[0]", "320 to 859.25 nm"),
                bad("plan: {fly_wavelengths_nm: [500, 412]}\n", 1, "fly_wavelengths_nm[1]", "sort"),
                bad("calibration: {heads: []}\n", 1, "has 0 heads and plan.heads 2"));
    }

    private static Arguments bad(String text, int line, String... words) {
        return Arguments.of(text, line, List.of(words));
    }

    @ParameterizedTest
    @MethodSource("badTexts")
    void badTextsGetOneSentence(String text, int line, List<String> words) {
        PlanException e = assertThrows(PlanException.class, () -> PlanReader.read(text, "mine.yaml"));
        String sentence = e.getMessage();
        assertTrue(sentence.startsWith(line > 0 ? "mine.yaml, line " + line + ": " : "mine.yaml: "), sentence);
        assertFalse(sentence.contains("\n"), sentence);
        for (String word : words) {
            assertTrue(sentence.contains(word), () -> "expected \"" + word + "\" in: " + sentence);
        }
    }

    static Stream<Arguments> badEdits() {
        return Stream.of(
                Arguments.of("    - name: B\n      kind", "    - name: A\n      kind", "taken"),
                Arguments.of("    - name: B\n      kind", "    - name: Ä\n      kind", "letters"),
                Arguments.of("    - name: B\n      kind", "    - name: C\n      kind", "none named \"C\""),
                Arguments.of("kind: UPWELLING_RADIANCE ", "kind: DOWNWELLING_IRRADIANCE ", "boresight_z"),
                Arguments.of(
                        "kind: UPWELLING_RADIANCE ",
                        "kind: HEAD_KIND_UNKNOWN ",
                        "UPWELLING_RADIANCE or DOWNWELLING_IRRADIANCE"),
                Arguments.of("window_radius_m: 0.01", "window_radius_m: 0.1", "housing_radius_m"),
                Arguments.of("wavelength_step_nm: 0.75", "wavelength_step_nm: 2", "outside 200 to 1200 nm"),
                Arguments.of("wavelength_step_nm: 0.75", "wavelength_step_nm: 0.8", "knot_nm must reach"),
                Arguments.of("[320,    350,    380,", "[320,    380,    350,", "ascend"),
                Arguments.of("[320,    350,    380,", "[320,    350,", "for 12 in knot_nm"),
                Arguments.of("[2.5,    2.0,", "[2.5,", "responsivity_uncertainty_percent has 12 values for 13"));
    }

    @ParameterizedTest
    @MethodSource("badEdits")
    void badEditsOfTheDefaultAreRefusedWithALine(String from, String to, String word) {
        assertTrue(PlanReader.defaultText().contains(from), from);
        String text = PlanReader.defaultText().replaceFirst(Pattern.quote(from), to);
        String sentence = assertThrows(PlanException.class, () -> PlanReader.read(text, "edited.yaml"))
                .getMessage();
        assertTrue(sentence.startsWith("edited.yaml, line "), sentence);
        assertTrue(sentence.contains(word), sentence);
    }
}
