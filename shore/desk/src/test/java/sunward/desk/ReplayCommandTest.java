package sunward.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A dive recorded, and flown again from its files. */
class ReplayCommandTest {
    private static final String CHANNELS =
            "  fly_wavelengths_nm: [350, 380, 412, 443, 470, 490, 510, 530, 555, 580, 600, 620, 645, 670, 700, 750]\n";

    @TempDir
    Path folder;

    private String plan(String name, String more) throws IOException {
        return Files.writeString(folder.resolve(name), "plan:\n" + CHANNELS + more)
                .toString();
    }

    private String at(String name) {
        return folder.resolve(name).toString();
    }

    private Set<String> messages(String directory) throws IOException {
        Set<String> all = new HashSet<>();
        try (Stream<Path> files = Files.list(folder.resolve(directory).resolve("messages"))) {
            for (Path file :
                    files.filter(f -> !f.toString().contains("unverified")).toList()) {
                all.add(HexFormat.of().formatHex(Files.readAllBytes(file)));
            }
        }
        return all;
    }

    @Test
    void aRecordingGivesTheVerySameMessagesAndAnotherPlanOthers() throws IOException {
        String thin = plan("thin.yaml", "");
        JsonNode flown = Run.of("rehearse", "--json", "--record", "--plan", thin, "--out", at("first"))
                .json();
        Run again = Run.of("rehearse", "--recording", at("first/recording"), "--plan", thin, "--out", at("again"));
        assertEquals(0, again.exitCode(), again::toString);
        Set<String> made = messages("again");
        assertEquals(flown.get("link").get("sent").asInt(), made.size());
        assertTrue(made.containsAll(messages("first")), "what shore accepted is among what the replay made");
        assertTrue(Files.exists(folder.resolve("again/radiance.csv")));
        assertFalse(Files.exists(folder.resolve("again/truth.nc")));

        String few = plan("few.yaml", "  packing: {data_messages: 6, parity_messages: 0}\n");
        JsonNode other = Run.of(
                        "rehearse", "--json", "--recording", at("first/recording"), "--plan", few, "--out", at("few"))
                .json();
        assertEquals(6, other.get("messages").asInt());
        assertFalse(other.has("seed"));
        for (String bad : List.of("missing", "first")) {
            Run.of("rehearse", "--recording", at(bad), "--plan", thin, "--out", at("bad"))
                    .failedWith(2, "events.csv");
        }
        Run.of("rehearse", "--recording", at("first/recording"), "--out", at("bad"))
                .failedWith(2, "16 channels", "720");
        Run.of("rehearse", "--recording", at("first/recording"), "--record").failedWith(2, "cannot go together");
        assertFalse(Files.exists(folder.resolve("bad")), "a refused run leaves nothing");
    }
}
