package sunward.desk;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import sunward.protocol.message.BlockType;

class DecodeCommandTest {
    private static final byte[] IMAGE = {(byte) 0x89, 'P', 'N', 'G', 13, 10, 26, 10, 0, 0, 0, 13, 'I', 'H', 'D', 'R'};

    @TempDir
    Path folder;

    private Path messages;

    @BeforeEach
    void write() throws IOException {
        messages = Files.createDirectory(folder.resolve("messages"));
        byte[] ledger = MadeUpMessages.ledger().toByteArray();
        Files.write(messages.resolve("a.msg"), MadeUpMessages.message(null, 0, BlockType.LEDGER, 0, ledger));
        Files.write(
                messages.resolve("b.msg"), MadeUpMessages.message(null, 1, BlockType.BINS, 0, MadeUpMessages.oneBin()));
    }

    private Run decode(Path input, String... more) {
        String[] arguments = new String[2 + more.length];
        arguments[0] = "decode";
        arguments[1] = input.toString();
        System.arraycopy(more, 0, arguments, 2, more.length);
        return Run.of(arguments);
    }

    private String out(String name) {
        return folder.resolve(name).toString();
    }

    @Test
    void messagesBecomeAProfileAndARecord() throws IOException {
        Run run = decode(messages, "--out", out("one"), "--json");
        assertEquals(0, run.exitCode(), run.toString());
        JsonNode json = run.json();
        assertEquals(2, json.get("accepted").asInt());
        JsonNode dive = json.get("dives").get(0);
        assertEquals(7, dive.get("float_number").asInt());
        assertTrue(dive.get("simulated").asBoolean());
        String reasons = dive.get("reasons").toString();
        assertTrue(reasons.contains("messages missing: 50 of 52"), reasons);
        assertTrue(reasons.contains("other plan"), reasons);
        assertFalse(dive.has("surface"), "the plan of another float gives counts only, never radiance");
        for (String file : new String[] {"profile.nc", "radiance.csv", "plan.yaml", "run.json"}) {
            assertTrue(Files.size(folder.resolve("one").resolve(file)) > 0, file);
        }
        assertEquals(64, json.get("files_sha256").get("profile.nc").asText().length());
    }

    @Test
    void doublesAndForeignFilesChangeNoProduct() throws IOException {
        assertEquals(0, decode(messages, "--out", out("one")).exitCode());
        Path mixed = Files.createDirectories(folder.resolve("mixed/below"));
        Files.copy(messages.resolve("b.msg"), mixed.resolve("0.msg"));
        Files.copy(messages.resolve("b.msg"), mixed.resolve("1.msg"));
        Files.copy(messages.resolve("a.msg"), mixed.resolve("2.msg"));
        Files.write(mixed.resolve("photo.png"), IMAGE);
        Files.createFile(mixed.resolve("empty"));
        Run run = decode(folder.resolve("mixed"), "--out", out("two"));
        assertEquals(0, run.exitCode(), run.toString());
        assertTrue(run.err().contains("photo.png") && run.err().contains("empty"), run.err());
        for (String file : new String[] {"profile.nc", "radiance.csv"}) {
            assertArrayEquals(
                    Files.readAllBytes(folder.resolve("one").resolve(file)),
                    Files.readAllBytes(folder.resolve("two").resolve(file)),
                    file);
        }
    }

    @Test
    void nothingDecodableIsExitCodeThree() throws IOException {
        Path images = Files.createDirectory(folder.resolve("images"));
        Files.write(images.resolve("1.png"), IMAGE);
        Run run = decode(images, "--out", out("none"));
        assertEquals(3, run.exitCode(), run.toString());
        assertTrue(run.err().contains("none of 1 files"), run.err());
        assertFalse(Files.exists(folder.resolve("none")), "a run that made nothing leaves nothing");
        Run json = decode(images, "--out", out("none"), "--json");
        assertEquals(3, json.jsonError().get("exit_code").asInt());
        decode(Files.createDirectory(folder.resolve("bare"))).failedWith(3, "no file was found");
    }

    @Test
    void badInputIsExitCodeTwo() throws IOException {
        decode(folder.resolve("nowhere")).failedWith(2, "nowhere", "no such file or directory");
        Run.of("decode").failedWith(2, "FILE|DIR", "sunward decode --help");
        Path plan = Files.writeString(folder.resolve("plan.yaml"), "plan:\n  ascent:\n    start_m: 100\n");
        decode(messages, "--plan", plan.toString()).failedWith(2, "plan.yaml, line 3", "start_dbar");
    }

    @Test
    void outputIsNewOrEmptyOrForced() throws IOException {
        Path full = Files.createDirectory(folder.resolve("full"));
        Files.writeString(full.resolve("mine.txt"), "mine");
        decode(messages, "--out", full.toString()).failedWith(2, "not empty", "--force");
        decode(messages, "--out", full.toString(), "--force").failedWith(2, "will not be replaced");
        assertEquals("mine", Files.readString(full.resolve("mine.txt")));
        assertEquals(0, decode(messages, "--out", out("again")).exitCode());
        decode(messages, "--out", out("again")).failedWith(2, "not empty");
        assertEquals(0, decode(messages, "--out", out("again"), "--force").exitCode());
        decode(messages, "--out", messages.resolve("a.msg").toString()).failedWith(2, "a file");
    }
}
