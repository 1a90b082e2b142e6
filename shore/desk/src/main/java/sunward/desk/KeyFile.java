package sunward.desk;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFileAttributeView;
import java.nio.file.attribute.PosixFilePermission;
import java.util.HashMap;
import java.util.HexFormat;
import java.util.Map;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.MessageLayout;

/**
 * Files of float keys: a line each of float number and key in hexadecimal, 16 to 64 bytes; blank lines and lines that
 * start with # are passed over. No sentence ever repeats what a line holds.
 */
final class KeyFile {
    private static final Pattern LINE = Pattern.compile("(\\d{1,5})\\s+((?:[0-9a-fA-F]{2}){16,64})");

    private KeyFile() {}

    /** The keys of a file, or none when no file is named. */
    static KeyRing read(Path path) throws IOException {
        return path == null ? KeyRing.none() : KeyRing.of(keys(path));
    }

    /** The key of one float, which the file must hold, or null when no file is named. */
    static byte[] keyOf(Path path, int floatNumber) throws IOException {
        byte[] key = path == null ? null : keys(path).get(floatNumber);
        if (path != null && key == null) {
            throw new BadInput(path + ": holds no key of float " + floatNumber + "; add its line or leave --key out");
        }
        return key;
    }

    private static Map<Integer, byte[]> keys(Path path) throws IOException {
        String text = InputFiles.text(path, "key file");
        refuseIfOthersCanRead(path);
        Map<Integer, byte[]> keys = new HashMap<>();
        int number = 0;
        for (String line : text.lines().toList()) {
            number++;
            String stripped = line.strip();
            if (stripped.isEmpty() || stripped.startsWith("#")) {
                continue;
            }
            Matcher matcher = LINE.matcher(stripped);
            int floatNumber = matcher.matches() ? Integer.parseInt(matcher.group(1)) : 0;
            if (floatNumber < 1 || floatNumber > MessageLayout.MAX_FLOAT) {
                throw new BadInput(path + ", line " + number + ": expected a float number (1 to "
                        + MessageLayout.MAX_FLOAT + ") and its key of 32 to 128 hexadecimal digits; correct the line");
            }
            if (keys.put(floatNumber, HexFormat.of().parseHex(matcher.group(2))) != null) {
                throw new BadInput(path + ", line " + number + ": float " + floatNumber
                        + " has a second key; delete one of the two");
            }
        }
        return keys;
    }

    private static void refuseIfOthersCanRead(Path path) throws IOException {
        PosixFileAttributeView view = Files.getFileAttributeView(path, PosixFileAttributeView.class);
        if (view == null) {
            return;
        }
        Set<PosixFilePermission> granted = view.readAttributes().permissions();
        if (granted.contains(PosixFilePermission.GROUP_READ) || granted.contains(PosixFilePermission.OTHERS_READ)) {
            throw new BadInput(path + ": others can read this key file, so it is not used; run: chmod 600 " + path);
        }
    }
}
