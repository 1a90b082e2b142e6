package sunward.watch.health;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.PosixFilePermission;
import java.nio.file.attribute.PosixFilePermissions;
import java.security.MessageDigest;
import java.security.SecureRandom;
import java.util.HexFormat;
import java.util.Set;

/** The secret that gateways show. It never shows itself: its text is {@code key}. */
public final class Token {
    private static final int MIN_LENGTH = 16;
    private static final int MAX_LENGTH = 512;

    private final byte[] secret;

    private Token(byte[] secret) {
        this.secret = secret;
    }

    /**
     * Reads the first line of a file.
     *
     * @throws IOException with one sentence when the file is missing, others than its owner may read it, or it holds no token
     */
    public static Token read(Path file) throws IOException {
        if (!Files.isRegularFile(file)) {
            throw new IOException(file + ": there is no token file; name one that holds a line of at least "
                    + MIN_LENGTH + " letters and digits.");
        }
        requirePrivate(file);
        if (Files.size(file) > MAX_LENGTH) {
            throw new IOException(file + ": a token file holds one line of " + MAX_LENGTH + " characters at most.");
        }
        String line = Files.readString(file, StandardCharsets.ISO_8859_1)
                .lines()
                .findFirst()
                .orElse("")
                .strip();
        if (!line.matches("[A-Za-z0-9._~+/=-]{" + MIN_LENGTH + "," + MAX_LENGTH + "}")) {
            throw new IOException(file + ": a token is one line of at least " + MIN_LENGTH
                    + " letters, digits or . _ ~ + / = - characters.");
        }
        return of(line);
    }

    /** Reads the file, or makes one with a fresh token that only its owner may read. */
    public static Token readOrMake(Path file) throws IOException {
        if (!Files.exists(file)) {
            Path folder = file.toAbsolutePath().getParent();
            if (!Files.isDirectory(folder)) {
                throw new IOException(file + ": there is no folder " + folder + " to make the token file in; name an"
                        + " existing token file or folder.");
            }
            byte[] random = new byte[24];
            new SecureRandom().nextBytes(random);
            byte[] line = (HexFormat.of().formatHex(random) + "\n").getBytes(StandardCharsets.US_ASCII);
            if (file.getFileSystem().supportedFileAttributeViews().contains("posix")) {
                Files.createFile(
                        file, PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rw-------")));
            }
            Files.write(file, line, StandardOpenOption.CREATE, StandardOpenOption.WRITE);
        }
        return read(file);
    }

    /** A token from its text. */
    public static Token of(String text) {
        return new Token(text.getBytes(StandardCharsets.ISO_8859_1));
    }

    /**
     * Refuses a file of secrets that others than its owner may read or write.
     *
     * @throws IOException with one sentence
     */
    public static void requirePrivate(Path file) throws IOException {
        if (!file.getFileSystem().supportedFileAttributeViews().contains("posix")) {
            return;
        }
        Set<PosixFilePermission> open = Files.getPosixFilePermissions(file);
        open.remove(PosixFilePermission.OWNER_READ);
        open.remove(PosixFilePermission.OWNER_WRITE);
        open.remove(PosixFilePermission.OWNER_EXECUTE);
        if (!open.isEmpty()) {
            throw new IOException(file + ": others than its owner may use this secret; run chmod 600 on it.");
        }
    }

    /** True when {@code shown} is this token. Takes as long for a wrong one as for the right one. */
    public boolean matches(String shown) {
        return MessageDigest.isEqual(secret, shown.getBytes(StandardCharsets.ISO_8859_1));
    }

    /** The text to show to a watch. */
    public String reveal() {
        return new String(secret, StandardCharsets.ISO_8859_1);
    }

    @Override
    public String toString() {
        return "key";
    }
}
