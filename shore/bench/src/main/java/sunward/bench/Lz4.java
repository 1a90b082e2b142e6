package sunward.bench;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.util.Arrays;
import java.util.List;

/** LZ4 by its program {@code lz4}: the writer of Commons Compress takes a minute for a dive and saves nothing. */
record Lz4() implements Peer {
    static final String NAME = "lz4";

    @Override
    public String name() {
        return "lz4 -9";
    }

    @Override
    public int arrangements() {
        return 2;
    }

    @Override
    public int bytes(Picture picture) {
        return Peer.arranged(picture).stream().mapToInt(Lz4::size).min().orElseThrow();
    }

    private static int size(byte[] plain) {
        try (CommandLine shell = new CommandLine()) {
            Files.write(shell.file("plain"), plain);
            shell.run(List.of(NAME, "-9", "-q", "plain", "coded"));
            shell.run(List.of(NAME, "-d", "-q", "coded", "again"));
            if (!Arrays.equals(Files.readAllBytes(shell.file("again")), plain)) {
                throw new IllegalStateException("LZ4 gave back other bytes");
            }
            return (int) Files.size(shell.file("coded"));
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
