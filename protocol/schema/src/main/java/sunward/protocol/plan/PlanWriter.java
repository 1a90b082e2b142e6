package sunward.protocol.plan;

import com.google.protobuf.Descriptors.EnumValueDescriptor;
import com.google.protobuf.Descriptors.FieldDescriptor;
import com.google.protobuf.Message;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import sunward.protocol.schema.PlanFile;

/** Writes a resolved plan file, every field spelled out, so that it reads back equal. */
public final class PlanWriter {
    private static final String HEAD =
            "# Resolved plan: every field as it was used. The commented defaults: sunward plan\n";

    private PlanWriter() {}

    /** The plan file as YAML, ended by a line end. */
    public static String yaml(PlanFile file) {
        StringBuilder out = new StringBuilder(HEAD);
        fields(file, 0, out);
        return out.toString();
    }

    private static void fields(Message message, int depth, StringBuilder out) {
        String lead = "  ".repeat(depth);
        for (FieldDescriptor field : message.getDescriptorForType().getFields()) {
            out.append(lead).append(field.getName()).append(':');
            Object value = message.getField(field);
            if (field.isRepeated()) {
                list((List<?>) value, depth, out);
            } else if (value instanceof Message inner) {
                out.append('\n');
                fields(inner, depth + 1, out);
            } else {
                out.append(' ').append(scalar(value)).append('\n');
            }
        }
    }

    private static void list(List<?> values, int depth, StringBuilder out) {
        if (values.isEmpty() || !(values.get(0) instanceof Message)) {
            out.append(values.stream().map(PlanWriter::scalar).collect(Collectors.joining(", ", " [", "]\n")));
            return;
        }
        out.append('\n');
        for (Object value : values) {
            StringBuilder entry = new StringBuilder();
            fields((Message) value, depth + 2, entry);
            int dash = 2 * (depth + 1);
            entry.setCharAt(dash, '-');
            out.append(entry);
        }
    }

    private static String scalar(Object value) {
        if (value instanceof Double number) {
            return Decimals.plain(number);
        }
        if (value instanceof EnumValueDescriptor word) {
            return word.getName();
        }
        return value instanceof String text ? quoted(text) : value.toString();
    }

    /** A double-quoted YAML scalar; whatever is not plain printable text is escaped. */
    private static String quoted(String text) {
        StringBuilder out = new StringBuilder("\"");
        text.codePoints().forEach(point -> {
            if (point == '"' || point == '\\') {
                out.append('\\').appendCodePoint(point);
            } else if (point < 0x20 || point > 0x7e && !Character.isLetterOrDigit(point)) {
                out.append(String.format(Locale.ROOT, point > 0xffff ? "\\U%08x" : "\\u%04x", point));
            } else {
                out.appendCodePoint(point);
            }
        });
        return out.append('"').toString();
    }
}
