package sunward.watch;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.MessageLayout;
import sunward.watch.health.Token;

/** The floats' keys: files {@code float-NUMBER.key}, each one line of hexadecimal digits, for their owner's eyes only. */
final class FloatKeys {
    private static final Pattern NAME = Pattern.compile("float-([0-9]{1,5})\\.key");
    private static final Pattern LINE = Pattern.compile("([0-9a-fA-F]{2}){16,64}");

    private final KeyRing ring;
    private final String fingerprint;

    private FloatKeys(KeyRing ring, String fingerprint) {
        this.ring = ring;
        this.fingerprint = fingerprint;
    }

    /**
     * Reads every key of the folder; null: no keys.
     *
     * @throws IOException with one sentence for a file that is no key or that others may read
     */
    static FloatKeys read(Path folder) throws IOException {
        SortedMap<Integer, byte[]> keys = new TreeMap<>();
        if (folder != null) {
            if (!Files.isDirectory(folder)) {
                throw new IOException(folder + ": there is no such folder of keys.");
            }
            try (DirectoryStream<Path> files = Files.newDirectoryStream(folder, "*.key")) {
                for (Path file : files) {
                    readOne(file, keys);
                }
            }
        }
        return new FloatKeys(keys.isEmpty() ? KeyRing.none() : KeyRing.of(keys), fingerprint(keys));
    }

    private static void readOne(Path file, Map<Integer, byte[]> keys) throws IOException {
        Matcher name = NAME.matcher(file.getFileName().toString());
        int number = name.matches() ? Integer.parseInt(name.group(1)) : 0;
        if (number < 1 || number > MessageLayout.MAX_FLOAT) {
            throw new IOException(file + ": a key file is named float-NUMBER.key with the number of its float, 1 to "
                    + MessageLayout.MAX_FLOAT + ".");
        }
        Token.requirePrivate(file);
        String line = Files.readString(file, StandardCharsets.ISO_8859_1).strip();
        if (!LINE.matcher(line).matches()) {
            throw new IOException(file + ": a key is one line of 32 to 128 hexadecimal digits.");
        }
        keys.put(number, HexFormat.of().parseHex(line));
    }

    private static String fingerprint(SortedMap<Integer, byte[]> keys) {
        try {
            MessageDigest digest = MessageDigest.getInstance("SHA-256");
            keys.forEach((number, key) -> {
                digest.update((number + ":" + key.length + ":").getBytes(StandardCharsets.US_ASCII));
                digest.update(key);
            });
            return HexFormat.of().formatHex(digest.digest(), 0, 8);
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java platform has SHA-256", e);
        }
    }

    KeyRing ring() {
        return ring;
    }

    /** Changes whenever a key does, and tells none. */
    String fingerprint() {
        return fingerprint;
    }

    @Override
    public String toString() {
        return "key";
    }
}
