package sunward.planning;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.SerializationFeature;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.List;
import java.util.stream.Stream;

/**
 * {@code run.json}: how the files beside it came to be. Everything that must stay out of the products stands here: the
 * clock, the command, the seeds, what the link did, what was rejected.
 */
public final class RunRecord {
    private static final ObjectMapper JSON = new ObjectMapper().enable(SerializationFeature.INDENT_OUTPUT);

    private final ObjectNode root = JSON.createObjectNode();

    /** The tree, to be filled in the order in which it shall be read. */
    public ObjectNode root() {
        return root;
    }

    /**
     * Writes the record, with the SHA-256 of every other file of the directory at its end.
     *
     * @param directory where the files are
     */
    public void write(Path directory) throws IOException {
        ObjectNode files = root.putObject("files_sha256");
        List<Path> all;
        try (Stream<Path> walk = Files.walk(directory)) {
            all = walk.filter(Files::isRegularFile).sorted().toList();
        }
        for (Path file : all) {
            files.put(directory.relativize(file).toString().replace('\\', '/'), sha256(Files.readAllBytes(file)));
        }
        String text = JSON.writeValueAsString(root).replace(System.lineSeparator(), "\n") + "\n";
        Files.writeString(directory.resolve(OutputDirectory.RECORD), text, StandardCharsets.UTF_8);
    }

    static String sha256(byte[] bytes) {
        try {
            return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(bytes));
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java has SHA-256", e);
        }
    }
}
