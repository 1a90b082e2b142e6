package sunward.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.List;
import java.util.stream.Stream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Messages held against the card of the recovered float, by the command line. */
class CardCommandTest {
    private static final String PLAN =
            "plan:\n  fly_wavelengths_nm: [350, 380, 412, 443, 470, 490, 510, 530, 555, 580, 600, 620, 645, 670, 700, 750]\n";
    private static final String KEY = "1 000102030405060708090a0b0c0d0e0f101112131415161718191a1b1c1d1e1f\n";

    @TempDir
    static Path folder;

    private static String plan;
    private static String key;
    private static String card;

    @BeforeAll
    static void dives() throws IOException {
        plan = Files.writeString(folder.resolve("plan.yaml"), PLAN).toString();
        key = Files.writeString(folder.resolve("keys"), KEY).toString();
        Files.setPosixFilePermissions(Path.of(key), PosixFilePermissions.fromString("rw-------"));
        for (String seed : List.of("1", "2")) {
            Run run = Run.of(
                    "rehearse", "--plan", plan, "--seed", seed, "--key", key, "--record", "--out", at("dive" + seed));
            assertEquals(0, run.exitCode(), run::toString);
        }
        card = at("card.zip");
        try (ZipOutputStream zip = new ZipOutputStream(Files.newOutputStream(Path.of(card)))) {
            for (String name : List.of("events.csv", "scans.bin")) {
                zip.putNextEntry(new ZipEntry("recording/" + name));
                zip.write(Files.readAllBytes(folder.resolve("dive1/recording/" + name)));
            }
        }
    }

    private static String at(String name) {
        return folder.resolve(name).toString();
    }

    @Test
    void aCardConfirmsItsDiveAndSaysWhatTelemetryLeftOut() throws IOException {
        JsonNode json = Run.of(
                        "decode",
                        at("dive1/messages"),
                        "--card",
                        card,
                        "--plan",
                        plan,
                        "--key",
                        key,
                        "--json",
                        "--out",
                        at("proof"))
                .json();
        JsonNode proof = json.get("card");
        assertTrue(proof.get("confirms").asBoolean(), proof::toString);
        assertEquals(0, proof.get("messages_differing").asInt());
        assertEquals(0, proof.get("scans_exposed_otherwise").asInt());
        assertEquals(
                proof.get("messages_made").asInt(),
                proof.get("messages_confirmed").asInt()
                        + proof.get("messages_not_received").asInt());
        assertEquals(proof.get("bins_made").asInt(), proof.get("bins_received").asInt());
        assertEquals(16, proof.get("channels").asInt());
        assertEquals(1, proof.get("channels_per_sample").asInt());
        double rms = proof.get("misfit_rms_sigma").asDouble();
        assertTrue(rms > 0 && rms < 1 && rms < proof.get("misfit_worst_sigma").asDouble(), proof::toString);
        assertEquals(7, proof.get("surface").size());
        for (JsonNode row : proof.get("surface")) {
            double u = Math.hypot(
                    row.get("u_received_percent").asDouble(),
                    row.get("u_card_percent").asDouble());
            assertTrue(Math.abs(row.get("difference_percent").asDouble()) < u, row::toString);
        }
        for (String name : List.of("profile.nc", "radiance.csv", "card/profile.nc", "card/radiance.csv", "run.json")) {
            assertTrue(Files.size(folder.resolve("proof").resolve(name)) > 100, name);
        }
        assertTrue(
                Run.of("decode", at("dive1/messages"), "--card", card, "--plan", plan, "--key", key, "--out", at("p2"))
                        .out()
                        .contains("The card confirms the dive"));
    }

    @Test
    void anotherDivesCardContradictsEveryMessage() {
        Run run = Run.of(
                "decode",
                at("dive2/messages"),
                "--card",
                card,
                "--plan",
                plan,
                "--key",
                key,
                "--json",
                "--out",
                at("other"));
        assertEquals(4, run.exitCode(), run::toString);
        JsonNode proof = run.json().get("card");
        assertFalse(proof.get("confirms").asBoolean());
        assertEquals(0, proof.get("messages_confirmed").asInt());
        assertTrue(Files.exists(folder.resolve("other/profile.nc")), "products are written all the same");
    }

    /** One message of the other dive among the right ones, sealed by the same float: found out by its position. */
    @Test
    void oneForeignMessageIsFoundOut() throws IOException {
        Path mixed = Files.createDirectory(folder.resolve("mixed"));
        try (Stream<Path> right = Files.list(folder.resolve("dive1/messages"))) {
            for (Path file : right.filter(f -> !f.toString().contains("p0003")).toList()) {
                Files.copy(file, mixed.resolve(file.getFileName()));
            }
        }
        try (Stream<Path> other = Files.list(folder.resolve("dive2/messages"))) {
            Files.copy(
                    other.filter(f -> f.toString().contains("p0003"))
                            .findFirst()
                            .orElseThrow(),
                    mixed.resolve("odd.msg"));
        }
        Run run = Run.of(
                "decode", mixed.toString(), "--card", card, "--plan", plan, "--key", key, "--out", at("mixed-out"));
        assertEquals(4, run.exitCode(), run::toString);
        assertTrue(run.out().contains("positions that differ: 3\n"), run::out);
    }

    @Test
    void badCardsGetOneSentence() {
        Run.of(
                        "decode",
                        at("dive1/messages"),
                        "--card",
                        at("none.zip"),
                        "--plan",
                        plan,
                        "--key",
                        key,
                        "--out",
                        at("bad"))
                .failedWith(2, "none.zip");
        Run.of("decode", at("dive1/messages"), "--card", plan, "--plan", plan, "--key", key, "--out", at("bad"))
                .failedWith(2, "is no archive");
        Run.of("decode", at("dive1/messages"), "--card", card, "--key", key, "--out", at("bad"))
                .failedWith(2, "16 channels", "720");
        assertFalse(Files.exists(folder.resolve("bad")), "a refused run leaves nothing");
    }
}
