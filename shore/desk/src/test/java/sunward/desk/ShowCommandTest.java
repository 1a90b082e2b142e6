package sunward.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.HexFormat;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import sunward.protocol.message.BlockType;
import sunward.protocol.schema.AncillaryProfile;

class ShowCommandTest {
    private static final byte[] KEY = HexFormat.of().parseHex("000102030405060708090a0b0c0d0e0f");

    @TempDir
    Path folder;

    private Path message(byte[] key, BlockType block, byte[] body) throws IOException {
        return Files.write(folder.resolve("one.msg"), MadeUpMessages.message(key, 5, block, 2, body));
    }

    private Path ledger() throws IOException {
        return message(null, BlockType.LEDGER, MadeUpMessages.ledger().toByteArray());
    }

    @Test
    void ledgersAreReadInWordsAndUnits() throws IOException {
        JsonNode json = Run.of("show", "--json", ledger().toString()).json();
        assertEquals("accepted", json.get("verdict").asText());
        assertEquals(7, json.get("float_number").asInt());
        assertEquals(3, json.get("dive").asInt());
        assertEquals(5, json.get("position").asInt());
        assertTrue(json.get("simulated").asBoolean());
        assertFalse(json.get("sealed").asBoolean());
        assertEquals(12, json.get("overhead_bytes").asInt());
        // 2000-01-01 plus 9845 days and 8175 s, by hand: 26 years with 7 leap days are 9497 days, and 348 more.
        assertEquals("2026-12-15T02:16:15Z", json.get("surfaced_utc").asText());
        assertTrue(json.get("tare_before_dbar").isNull(), "a tare that was not taken stays missing");
        assertEquals(-0.052, json.get("tare_after_dbar").asDouble(), 1e-12);
        assertEquals(-1.23, json.get("declination_deg").asDouble(), 1e-12);
        assertEquals("2026-12-01", json.get("declination_date").asText());
        assertEquals(11.00012, json.get("fixes").get(0).get("latitude_deg").asDouble(), 1e-9);
        assertEquals(-142, json.get("fixes").get(0).get("longitude_deg").asDouble(), 1e-9);
        assertEquals(
                "tilt in doubt", json.get("fallbacks").get(1).get("fallback").asText());
        assertEquals("scan late or missing", json.get("faults").get(0).asText());
        Run words = Run.of("show", ledger().toString());
        assertEquals(0, words.exitCode());
        for (String expected : new String[] {"SIMULATED", "UNSEALED", "missing", "-0.052 dbar", "message budget"}) {
            assertTrue(words.out().contains(expected), () -> expected + " in: " + words.out());
        }
    }

    @Test
    void ancillaryDifferencesAreSummed() throws IOException {
        AncillaryProfile profile = AncillaryProfile.newBuilder()
                .addPressureCdbar(100)
                .addPressureCdbar(150)
                .addTemperatureMdegc(28_500)
                .addTemperatureMdegc(-20)
                .addSalinityMpsu(34_000)
                .addSalinityMpsu(5)
                .addChlorophyllUgPerM3(70)
                .addChlorophyllUgPerM3(-70 - 32768)
                .addLayer(2)
                .addLayerReadings(40)
                .addTiltMeanDdeg(15)
                .addTiltSdDdeg(4)
                .addTiltMostDdeg(31)
                .addHeadingDeg(360)
                .addHeadingLengthPercent(0)
                .addTurnedDeg(-95)
                .addScansLayer(3)
                .addScanPairs(77)
                .addLowerCorrelationPercent(-12)
                .addMiddleCorrelationPercent(5)
                .addUpperCorrelationPercent(38)
                .build();
        Path file = message(null, BlockType.ANCILLARY, profile.toByteArray());
        JsonNode shown = Run.of("show", "--json", file.toString()).json();
        JsonNode level = shown.get("levels").get(1);
        assertEquals(2.5, level.get("pressure_dbar").asDouble(), 1e-12);
        assertEquals(28.48, level.get("temperature_degc").asDouble(), 1e-12);
        assertEquals(34.005, level.get("practical_salinity").asDouble(), 1e-12);
        assertEquals(
                0.07, shown.get("levels").get(0).get("chlorophyll_mg_per_m3").asDouble(), 1e-12);
        assertTrue(level.get("chlorophyll_mg_per_m3").isNull(), "its sensor gave nothing");
        assertTrue(level.get("backscatter_per_m").isNull(), "not measured");
        JsonNode layer = shown.get("layers").get(0);
        assertEquals(4, layer.get("from_dbar").asInt());
        assertEquals(3.1, layer.get("tilt_most_deg").asDouble(), 1e-12);
        assertTrue(layer.get("heading_mean_deg").isNull());
        assertEquals(-95, layer.get("turned_deg").asInt());
        JsonNode scans = shown.get("successions").get(0);
        assertEquals(8, scans.get("from_dbar").asInt());
        assertEquals(77, scans.get("pairs").asInt());
        assertEquals(-0.12, scans.get("correlation_lower").asDouble(), 1e-12);
        assertEquals(0.38, scans.get("correlation_upper").asDouble(), 1e-12);
    }

    @Test
    void binsAreDecoded() throws IOException {
        Path file = message(null, BlockType.BINS, MadeUpMessages.oneBin());
        JsonNode json = Run.of("show", "--json", file.toString()).json();
        assertEquals(20, json.get("samples").asInt());
        assertEquals("01020304", json.get("plan_tag").asText());
        assertEquals(3.8125, json.get("gain_electrons_per_count").asDouble());
        JsonNode row = json.get("bins").get(0);
        assertEquals(12, row.get("bin").asInt());
        assertEquals(2.345, row.get("port_pressure_dbar").asDouble(), 1e-9);
        assertEquals(-170, row.get("azimuth_from_antisun_deg").asInt());
        assertEquals(1000, row.get("counts").get(7).asDouble(), 10);
        assertTrue(Run.of("show", file.toString()).out().contains("2.345"));
    }

    @Test
    void rejectedMessagesGiveTheReason() throws IOException {
        Path file = ledger();
        byte[] bytes = Files.readAllBytes(file);
        bytes[20] ^= 1;
        Files.write(file, bytes);
        Run flipped = Run.of("show", file.toString(), "--json");
        assertEquals(3, flipped.exitCode());
        assertEquals("damaged", flipped.json().get("reason").asText());
        bytes[0] = (byte) (15 << 4 | 1);
        Files.write(file, bytes);
        Run newer = Run.of("show", file.toString());
        assertEquals(3, newer.exitCode());
        assertTrue(newer.out().contains("rejected") && newer.out().contains("version too new"), newer.out());
    }

    @Test
    void whatIsNoMessageFileGetsOneSentence() throws IOException {
        Run.of("show", folder.toString()).failedWith(2, "a directory", "message");
        Run.of("show", folder.resolve("none.msg").toString()).failedWith(2, "no such file");
        Run.of("show", Files.createFile(folder.resolve("empty.msg")).toString()).failedWith(2, "empty");
        Path large = Files.write(folder.resolve("image.png"), new byte[100_001]);
        Run.of("show", large.toString()).failedWith(2, "100001 bytes", "more than a message can have");
        Run.of("show").failedWith(2, "FILE", "sunward show --help");
    }

    @Test
    void sealedMessagesNeedTheirKeyAndKeysStaySecret() throws IOException {
        Path file = message(KEY, BlockType.ANCILLARY, new byte[0]);
        Run without = Run.of("show", file.toString(), "--json");
        assertEquals(3, without.exitCode());
        assertEquals("no key", without.json().get("reason").asText());
        String hex = HexFormat.of().formatHex(KEY);
        Path keys = Files.writeString(folder.resolve("keys"), "# keys\n\n7 " + hex + "\n");
        Files.setPosixFilePermissions(keys, PosixFilePermissions.fromString("rw-------"));
        Run with = Run.of("show", file.toString(), "--key", keys.toString(), "--json");
        assertEquals(0, with.exitCode(), with.toString());
        assertTrue(with.json().get("sealed").asBoolean());
        assertFalse(with.toString().contains(hex));
        Files.writeString(keys, "7 " + hex.substring(2) + "\n");
        Run bad = Run.of("show", file.toString(), "--key", keys.toString());
        bad.failedWith(2, "keys, line 1", "hexadecimal");
        assertFalse(bad.err().contains(hex.substring(2)));
        Files.writeString(keys, "7 " + hex + "\n7 " + hex + "\n");
        Run.of("show", file.toString(), "--key", keys.toString()).failedWith(2, "line 2", "second key");
        Files.setPosixFilePermissions(keys, PosixFilePermissions.fromString("rw-r--r--"));
        Run.of("show", file.toString(), "--key", keys.toString()).failedWith(2, "others can read", "chmod 600");
    }

    @Test
    void bodiesOfLaterVersionsAreShownRaw() throws IOException {
        Path file = message(null, BlockType.SAMPLES, new byte[] {1, 2, (byte) 255});
        assertEquals(
                "0102ff",
                Run.of("show", "--json", file.toString()).json().get("body_hex").asText());
        Path spoilt = message(null, BlockType.LEDGER, new byte[] {(byte) 255});
        assertTrue(Run.of("show", "--json", spoilt.toString())
                .json()
                .get("body_problem")
                .asText()
                .contains("ledger"));
    }

    @Test
    void aDirectorySaysWhatItsBytesAreSpentOn() throws IOException {
        byte[] ledger = MadeUpMessages.message(
                null, 0, BlockType.LEDGER, 0, MadeUpMessages.ledger().toByteArray());
        byte[] bins = MadeUpMessages.message(null, 1, BlockType.BINS, 0, MadeUpMessages.oneBin());
        Path dive = Files.createDirectory(folder.resolve("dive"));
        Files.write(dive.resolve("a.msg"), ledger);
        Files.write(dive.resolve("b.msg"), bins);
        Files.write(dive.resolve("copy.msg"), bins);
        Run run = Run.of("show", "--json", dive.toString());
        JsonNode rows = run.json().get("float_7_dive_3");
        assertEquals(1, run.json().get("copies").asInt());
        assertEquals(
                12, run.json().get("float_7_dive_3_overhead_bytes_per_message").asDouble());
        assertEquals(16, rows.get(0).get("bytes").asInt(), "two headers");
        assertEquals(8, rows.get(1).get("bytes").asInt(), "two checksums");
        assertEquals(ledger.length - 12, rows.get(2).get("bytes").asInt());
        assertEquals(bins.length - 12, rows.get(4).get("bytes").asInt());
        Run.of("show", Files.createDirectory(folder.resolve("empty")).toString())
                .failedWith(2, "no message of a dive");
    }
}
