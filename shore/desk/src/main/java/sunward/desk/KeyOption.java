package sunward.desk;

import java.io.IOException;
import java.nio.file.Path;
import picocli.CommandLine.Option;
import sunward.protocol.message.KeyRing;

/** The keys of floats, for every command that opens or seals messages. */
final class KeyOption {
    @Option(
            names = "--key",
            paramLabel = "FILE",
            description = "Key file: a float number and its key in hexadecimal a line; for its owner's eyes only.")
    private Path file;

    /** The file, or null. */
    Path file() {
        return file;
    }

    /** All keys; none without a file. */
    KeyRing ring() throws IOException {
        return KeyFile.read(file);
    }

    /** The key of a float; null without a file. */
    byte[] of(int floatNumber) throws IOException {
        return KeyFile.keyOf(file, floatNumber);
    }
}
