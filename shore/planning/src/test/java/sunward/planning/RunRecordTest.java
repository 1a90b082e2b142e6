package sunward.planning;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class RunRecordTest {
    /** SHA-256 of "abc": FIPS 180-4, example of the SHA-256 appendix. */
    @Test
    void namesEveryFileWithItsHash(@TempDir Path directory) throws Exception {
        Files.createDirectory(directory.resolve("messages"));
        Files.writeString(directory.resolve("messages/0001.msg"), "abc");
        RunRecord record = new RunRecord();
        record.root().put("command", "sunward rehearse \u00e9");
        record.write(directory);
        String text = Files.readString(directory.resolve("run.json"));
        assertFalse(text.contains("\r"));
        JsonNode read = new ObjectMapper().readTree(text);
        assertEquals("sunward rehearse \u00e9", read.get("command").asText());
        assertEquals(
                "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
                read.get("files_sha256").get("messages/0001.msg").asText());
        assertEquals(1, read.get("files_sha256").size(), "the record does not name itself");
    }
}
