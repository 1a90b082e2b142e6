package sunward.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFileAttributeView;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.HexFormat;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.OrderGate;

class OrderCommandTest {
    private static final String KEY = "000102030405060708090a0b0c0d0e0f";

    @TempDir
    private Path folder;

    private String keys;

    @BeforeEach
    void keyFile() throws IOException {
        Path file = Files.writeString(folder.resolve("keys.txt"), "7 " + KEY + "\n", StandardCharsets.UTF_8);
        PosixFileAttributeView view = Files.getFileAttributeView(file, PosixFileAttributeView.class);
        if (view != null) {
            view.setPermissions(PosixFilePermissions.fromString("rw-------"));
        }
        keys = file.toString();
    }

    private Run order(String... parts) {
        String[] all = new String[parts.length + 7];
        System.arraycopy(new String[] {"order", "--float", "7", "--number", "3", "--key", keys}, 0, all, 0, 7);
        System.arraycopy(parts, 0, all, 7, parts.length);
        return Run.of(all);
    }

    private Path file(String name, String text) throws IOException {
        return Files.writeString(folder.resolve(name), text, StandardCharsets.UTF_8);
    }

    @Test
    void anOrderIsSaidInWordsThenWrittenAndReadBack() throws IOException {
        Path out = folder.resolve("less");
        Run run = order("--set", "packing.data_messages=40", "--hold", "600", "--out", out.toString());
        assertEquals(0, run.exitCode(), run.toString());
        for (String expected : new String[] {
            "packing.data_messages: from 52 to 40", "stay at the surface for 600 s", "WARNING", "second person"
        }) {
            assertTrue(run.out().contains(expected), () -> expected + " in: " + run.out());
        }
        assertFalse(run.out().contains(KEY));
        byte[] bytes = Files.readAllBytes(folder.resolve("less.msg"));
        assertTrue(bytes.length <= 270);
        OrderGate gate = new OrderGate(7, false, HexFormat.of().parseHex(KEY));
        assertTrue(gate.admits(bytes, bytes.length), "a float at sea takes it");
        JsonNode shown = Run.of("show", "--json", "--key", keys, out + ".msg").json();
        assertEquals("order", shown.get("kind").asText());
        assertEquals(3, shown.get("order_number").asInt());
        assertEquals("40", shown.get("settings").get(0).get("value").asText());
        order("--dive-now", "--out", out.toString()).failedWith(2, "less.msg", "there already");
    }

    @Test
    void aWholePlanTravelsAsItsDifference() throws IOException {
        Path plan = file("new.yaml", "plan:\n  head_choice: {shaded_loss_percent: 0.3}\n");
        Run run = order("--plan", plan.toString());
        assertEquals(0, run.exitCode(), run.toString());
        assertTrue(run.out().contains("from 0.5 to 0.3"), run.out());
        assertTrue(run.out().contains("Nothing was written"), run.out());
        Path hull = file("hull.yaml", "plan:\n  hull: {radius_m: 0.1}\n");
        order("--plan", hull.toString()).failedWith(2, "plan.hull.radius_m", "cannot be changed at sea");
    }

    @Test
    void whatIsMissingIsAskedForAgain() throws IOException {
        Path received = Files.createDirectory(folder.resolve("received"));
        byte[] key = HexFormat.of().parseHex(KEY);
        Files.write(
                received.resolve("a.msg"), MadeUpMessages.message(key, 5, BlockType.BINS, 2, MadeUpMessages.oneBin()));
        Run run = order("--resend", received.toString());
        assertEquals(0, run.exitCode(), run.toString());
        assertTrue(run.out().contains("positions 0 to 4"), run.out());
        order("--resend", folder.resolve("keys.txt").toString()).failedWith(2, "no message of float 7");
    }

    @Test
    void whatCannotBeOrderedIsRefusedInOneSentence() {
        order().failedWith(2, "without any part");
        order("--set", "packing.data_messages=2").failedWith(2, "packing.data_messages", "3 to 4000");
        order("--set", "ascent.start_dbar=900").failedWith(2, "start_dbar");
        order("--set", "hull.radius_m=1").failedWith(2, "hull.radius_m", "not a setting");
        order("--set", "declination.degrees=3").failedWith(2, "together");
        order("--hold", "999999").failedWith(2, "604800");
        Run.of("order", "--float", "8", "--number", "1", "--key", keys, "--dive-now")
                .failedWith(2, "no key of this float");
    }
}
