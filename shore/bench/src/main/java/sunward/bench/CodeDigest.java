package sunward.bench;

import java.io.IOException;
import java.net.URISyntaxException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.List;
import java.util.stream.Stream;
import sunward.firmware.FloatComputer;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.plan.PlanReader;
import sunward.simulator.Dive;

/** SHA-256 of files, and of all classes and tables that a result of the benchmark rests on. */
final class CodeDigest {
    private static final List<Class<?>> ONE_OF_EACH =
            List.of(MessageWriter.class, PlanReader.class, FloatComputer.class, Dive.class, CodecBench.class);

    private CodeDigest() {}

    static String of(Path file) throws IOException {
        return HexFormat.of().formatHex(sha256().digest(Files.readAllBytes(file)));
    }

    static String ofCode() throws IOException {
        MessageDigest digest = sha256();
        for (Class<?> one : ONE_OF_EACH) {
            try (Stream<Path> files = Files.walk(Path.of(
                    one.getProtectionDomain().getCodeSource().getLocation().toURI()))) {
                for (Path file : files.filter(Files::isRegularFile).sorted().toList()) {
                    digest.update(Files.readAllBytes(file));
                }
            } catch (URISyntaxException e) {
                throw new IOException(e);
            }
        }
        return HexFormat.of().formatHex(digest.digest());
    }

    private static MessageDigest sha256() {
        try {
            return MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException(e);
        }
    }
}
