package sunward.protocol.plan;

import com.google.protobuf.Descriptors.EnumValueDescriptor;
import com.google.protobuf.Descriptors.FieldDescriptor;
import com.google.protobuf.Message;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/**
 * Digests of plans and calibrations: SHA-256 (FIPS 180-4) over a text of our own, so that any language can make them
 * and no serialiser's freedom shows.
 *
 * <p>The text holds one line {@code path=value} per field that holds a value, fields at their defaults included, sorted
 * by the path's characters, each line ended by {@code \n}, UTF-8. A path is the field names joined by dots, list
 * elements by {@code [index]} from 0; an empty list has no line. Numbers are plain decimals (see {@link Decimals});
 * truth values {@code true} or {@code false}; enumerations their words; in texts, backslash and line end are written
 * {@code \\} and {@code \n}.
 */
public final class Digests {
    private Digests() {}

    /** The digest of a message, 32 bytes. */
    public static byte[] of(Message message) {
        try {
            return MessageDigest.getInstance("SHA-256").digest(text(message).getBytes(StandardCharsets.UTF_8));
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("Every Java runtime must offer SHA-256", e);
        }
    }

    /** The text over which {@link #of} is taken. */
    public static String text(Message message) {
        Map<String, String> lines = new TreeMap<>();
        collect(message, "", lines);
        StringBuilder text = new StringBuilder();
        lines.forEach(
                (path, value) -> text.append(path).append('=').append(value).append('\n'));
        return text.toString();
    }

    /** Bytes as lower-case hexadecimal digits. */
    public static String hex(byte[] bytes) {
        return HexFormat.of().formatHex(bytes);
    }

    private static void collect(Message message, String prefix, Map<String, String> lines) {
        for (FieldDescriptor field : message.getDescriptorForType().getFields()) {
            String path = prefix + field.getName();
            if (field.isRepeated()) {
                List<?> values = (List<?>) message.getField(field);
                for (int i = 0; i < values.size(); i++) {
                    collectValue(values.get(i), path + '[' + i + ']', lines);
                }
            } else {
                collectValue(message.getField(field), path, lines);
            }
        }
    }

    private static void collectValue(Object value, String path, Map<String, String> lines) {
        if (value instanceof Message inner) {
            collect(inner, path + '.', lines);
        } else {
            lines.put(path, scalar(value));
        }
    }

    private static String scalar(Object value) {
        if (value instanceof Double number) {
            return Decimals.plain(number);
        }
        if (value instanceof EnumValueDescriptor word) {
            return word.getName();
        }
        return value.toString().replace("\\", "\\\\").replace("\n", "\\n");
    }
}
