package sunward.desk;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The main job through the command line, on a dive thinned to a few channels and started at 60 dbar. */
class RehearseCommandTest {
    private static final String THINNED = """
            plan:
              ascent:
                start_dbar: 60
              fly_wavelengths_nm: [380, 400, 412, 425, 443, 460, 475, 490, 510, 530, 555, 580, 600, 620, 645, 670]
            """;

    @TempDir
    static Path folder;

    private static Path plan;
    private static Path first;
    private static Run run;

    @BeforeAll
    static void rehearse() throws IOException {
        plan = Files.writeString(folder.resolve("thinned.yaml"), THINNED);
        first = folder.resolve("first");
        run = Run.of("rehearse", "--plan", plan.toString(), "--seed", "3", "--out", first.toString(), "--json");
        assertEquals(0, run.exitCode(), run.toString());
    }

    @Test
    void everyFileIsThereAndTheRecordSaysHow() throws IOException {
        JsonNode json = run.json();
        assertEquals(first.toString(), json.get("directory").asText());
        assertEquals(3, json.get("seed").asLong());
        assertTrue(
                json.get("command").asText().startsWith("sunward rehearse --plan "),
                json.get("command").asText());
        assertEquals("", run.err());
        List<String> files = List.of("profile.nc", "radiance.csv", "truth.nc", "report.html", "plan.yaml", "run.json");
        for (String file : files) {
            assertTrue(Files.size(first.resolve(file)) > 0, file);
        }
        try (Stream<Path> messages = Files.list(first.resolve("messages"))) {
            assertTrue(messages.count() > 3);
        }
    }

    @Test
    void decodingItsMessagesGivesTheSameProducts() throws IOException {
        Path again = folder.resolve("again");
        String resolved = first.resolve("plan.yaml").toString();
        Run decoded = Run.of(
                "decode",
                first.resolve("messages").toString(),
                "--plan",
                resolved,
                "--out",
                again.toString(),
                "--json");
        assertEquals(0, decoded.exitCode(), decoded.toString());
        for (String file : List.of("profile.nc", "radiance.csv", "plan.yaml")) {
            assertArrayEquals(Files.readAllBytes(first.resolve(file)), Files.readAllBytes(again.resolve(file)), file);
        }
        JsonNode dive = decoded.json().get("dives").get(0);
        assertTrue(dive.get("simulated").asBoolean());
        assertEquals(7, dive.get("surface").size(), "radiance at all seven wavelengths shown");
        Run words = Run.of(
                "decode",
                first.resolve("messages").toString(),
                "--plan",
                resolved,
                "--out",
                folder.resolve("w").toString());
        assertTrue(words.out().contains("SIMULATED") && words.out().contains("Lw W m-2 nm-1 sr-1"), words.out());
    }

    @Test
    void everyDeliveredMessageCanBeShown() throws IOException {
        try (Stream<Path> messages = Files.list(first.resolve("messages"))) {
            for (Path message : messages.toList()) {
                Run shown = Run.of("show", message.toString(), "--json");
                boolean unverified = message.toString().contains("unverified");
                assertEquals(unverified ? 3 : 0, shown.exitCode(), shown.toString());
                assertFalse(shown.json().has("body_problem"), shown.out());
            }
        }
    }

    @Test
    void peopleReadTheStagesInOrder() {
        Path out = folder.resolve("words");
        Run words = Run.of("rehearse", "--plan", plan.toString(), "--seed", "3", "--out", out.toString());
        assertEquals(0, words.exitCode(), words.toString());
        int at = 0;
        for (String stage : List.of("SIMULATED", "  sea", "  float", "  wire", "  link", "  shore", "report.html")) {
            int next = words.out().indexOf(stage, at);
            assertTrue(next >= at, () -> stage + " in: " + words.out());
            at = next;
        }
        assertEquals("", words.err(), "the bar is silent when nobody watches");
    }

    @Test
    void badInputGetsOneSentence() throws IOException {
        Run.of("rehearse", "--seed", "-1").failedWith(2, "--seed", "-1");
        Run.of("rehearse", "--seed", "one").failedWith(2, "--seed", "sunward rehearse --help");
        Run.of("rehearse", "--plan", folder.resolve("none.yaml").toString()).failedWith(2, "none.yaml", "no such file");
        Run.of("rehearse", "--plan", plan.toString(), "--out", first.toString()).failedWith(2, "not empty", "--force");
        Path cast = Files.writeString(folder.resolve("cast.yaml"), "scene:\n  water:\n    cast: none.csv\n");
        Path out = folder.resolve("cast");
        Run.of("rehearse", "--plan", cast.toString(), "--out", out.toString())
                .failedWith(2, "none.csv", "no such cast");
        assertFalse(Files.exists(out));
    }

    @Test
    void theBarShowsStageShareAndTimeLeft() {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        PrintStream err = new PrintStream(bytes, true, StandardCharsets.UTF_8);
        long[] now = {0};
        try (ProgressBar bar = new ProgressBar(new Console(err, err, false, true), () -> now[0])) {
            bar.at("fly", 0);
            now[0] = 2000;
            bar.at("fly", 0.25);
        }
        String text = bytes.toString(StandardCharsets.UTF_8);
        assertTrue(text.contains("fly") && text.contains(" 25 %") && text.contains("6 s left"), text);
    }

    @Test
    void flyingIntoAWatchThatCannotBeIsSaidInOneSentence() {
        String[][] wrong = {
            {"--floats", "3", "give --live too"},
            {"--live", "127.0.0.1:7250", "--live needs --token"},
            {"--live", "127.0.0.1", "--token", "t", "expected a known host and a port"},
            {"--live", "127.0.0.1:1", "--token", "t", "there is no token file"},
            {"--live", "127.0.0.1:1", "--token", "t", "--floats", "0", "--floats 0: expected 1 to "},
            {"--live", "127.0.0.1:1", "--token", "t", "--speed", "-1", "--speed -1.0: expected 0 to"},
            {"--live", "127.0.0.1:1", "--token", "t", "--out", "x", "leave --out"},
        };
        for (String[] one : wrong) {
            List<String> arguments = new ArrayList<>(List.of(one));
            String sentence = arguments.remove(arguments.size() - 1);
            arguments.add(0, "rehearse");
            Run run = Run.of(arguments.toArray(new String[0]));
            assertEquals(2, run.exitCode(), run.toString());
            assertTrue(run.err().contains(sentence), run.toString());
        }
    }
}
