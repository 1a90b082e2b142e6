package sunward.protocol.message;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.util.HexFormat;
import java.util.Map;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import sunward.protocol.order.Answer;

/** What WIRE.md says of the envelope, its numbers and the tables beside it, held to the code and the files. */
class WireDocumentTest {
    private static final Path FOLDER = Path.of("..");
    private static final Pattern HASHED =
            Pattern.compile("\\]\\(tables/([A-Za-z0-9.-]+)\\) \\(SHA-256 `([0-9a-f]{64})`");

    private final String text = read();

    private static String read() {
        try {
            return Files.readString(FOLDER.resolve("WIRE.md"), StandardCharsets.UTF_8);
        } catch (IOException e) {
            throw new java.io.UncheckedIOException(e);
        }
    }

    /** The meaning of a field in section 1's table. */
    private String field(String name, int bits) {
        String start = "| " + name + " | " + bits + " | ";
        int at = text.indexOf(start);
        assertTrue(at >= 0, "WIRE.md has no line that starts with " + start);
        return text.substring(at + start.length(), text.indexOf(" |\n", at));
    }

    /** "1 words, 2 words ..." as a map. */
    private static Map<Integer, String> numbered(String list) {
        Map<Integer, String> map = new TreeMap<>();
        for (MatchResult item :
                Pattern.compile("(\\d+) ([^,;0-9(]+)").matcher(list).results().toList()) {
            map.put(Integer.parseInt(item.group(1)), item.group(2).strip());
        }
        return map;
    }

    @Test
    void fieldWidthsAndLimitsAreTheLayouts() {
        assertTrue(field("V", 4).contains("wire version, " + MessageLayout.VERSION), "version");
        assertTrue(text.startsWith("# Sunward on the wire, version " + MessageLayout.VERSION));
        field("S", 1);
        field("U", 1);
        assertTrue(field("float", 14).contains("1 to " + MessageLayout.MAX_FLOAT));
        field("dive", Integer.bitCount(MessageLayout.MAX_DIVE));
        field("position", Integer.bitCount(MessageLayout.MAX_POSITION));
        field("part", Integer.bitCount(MessageLayout.MAX_PART));
        assertEquals(8 * MessageLayout.HEADER_BYTES, 4 + 4 + 1 + 1 + 14 + 12 + 12 + 4 + 12);
        assertTrue(text.contains("| seal | U = 0: " + 8 * MessageLayout.SEALED_BYTES + ", U = 1: "
                + 8 * MessageLayout.UNSEALED_BYTES + " |"));
        assertTrue(text.contains("A message has " + MessageLayout.MIN_MESSAGE_BYTES + " to "
                + MessageLayout.MAX_MESSAGE_BYTES + " bytes."));
    }

    @Test
    void kindsAndBlocksAreTheRegistries() {
        Map<Integer, String> kinds = numbered(field("K", 4));
        assertEquals(Stream.of(Kind.values()).map(Kind::number).collect(Collectors.toSet()), kinds.keySet());
        assertTrue(kinds.get(Kind.DIVE.number()).contains("dive"));
        assertTrue(kinds.get(Kind.REPAIR.number()).contains("repair"));
        assertTrue(kinds.get(Kind.ORDER.number()).contains("order"));
        assertTrue(kinds.get(Kind.RECEIPT.number()).contains("receipt"));
        String blocks = field("block", 4);
        Map<Integer, String> described =
                numbered(blocks.substring(blocks.indexOf(':') + 1).replaceAll("\\([^)]*\\)", ""));
        Map<Integer, String> registry = new TreeMap<>();
        for (BlockType block : BlockType.values()) {
            registry.put(
                    block.number(),
                    block.name().toLowerCase(java.util.Locale.ROOT).replace('_', ' '));
        }
        assertEquals(registry, described);
    }

    @Test
    void everyReasonToRejectAndEveryAnswerIsThere() {
        for (Verdict.Reason reason : Verdict.Reason.values()) {
            assertTrue(text.contains(reason.name()), reason.name());
        }
        String list = text.substring(text.indexOf("\nAnswers: "), text.indexOf("A receipt that does not come"));
        for (Answer answer : Answer.values()) {
            assertTrue(list.contains(" " + answer.number() + " " + answer.words()), answer + " in " + list);
        }
    }

    @Test
    void theWorkedExampleIsTheVectorThatItNames() throws IOException {
        int start = text.indexOf("```", text.indexOf("## 5.")) + 4;
        StringBuilder hex = new StringBuilder();
        for (String line : text.substring(start, text.indexOf("```", start)).split("\n", -1)) {
            hex.append(line.split(" {3,}", -1)[0].replace(" ", ""));
        }
        Path vector = Path.of("..", "..", "test-vectors", "messages", "v0", "bins-one-small.txt");
        assertTrue(Files.readString(vector, StandardCharsets.UTF_8).contains("bytes = " + hex + "\n"), hex.toString());
    }

    /** A table counts as described when WIRE.md links to it as [`tables/NAME`](tables/NAME) (SHA-256 `...`). */
    @Test
    void everyTableStandsInWireMdWithItsHash() throws Exception {
        Map<String, String> described = new TreeMap<>();
        HASHED.matcher(text).results().forEach(link -> described.put(link.group(1), link.group(2)));
        try (Stream<Path> files = Files.list(FOLDER.resolve("tables"))) {
            for (Path file : files.toList()) {
                byte[] digest = MessageDigest.getInstance("SHA-256").digest(Files.readAllBytes(file));
                String name = file.getFileName().toString();
                assertEquals(HexFormat.of().formatHex(digest), described.remove(name), name);
            }
        }
        assertEquals(new TreeSet<>(), described.keySet(), "tables that WIRE.md names and that are not there");
    }
}
