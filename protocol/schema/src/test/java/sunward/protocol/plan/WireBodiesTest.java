package sunward.protocol.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.protobuf.Descriptors.Descriptor;
import com.google.protobuf.Descriptors.FieldDescriptor;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import sunward.protocol.schema.AncillaryProfile;
import sunward.protocol.schema.Ledger;
import sunward.protocol.schema.Order;
import sunward.protocol.schema.Receipt;

/** The Protocol Buffers bodies in WIRE.md, field by field, held to the schemas: numbers, types, names, nested fields. */
class WireBodiesTest {
    private static final String START = "| no. | type | name |";

    /** Bodies in the order in which WIRE.md describes them. */
    private static final List<Descriptor> BODIES = List.of(
            Ledger.getDescriptor(), AncillaryProfile.getDescriptor(), Order.getDescriptor(), Receipt.getDescriptor());

    private static List<List<String[]>> tables() throws IOException {
        List<List<String[]>> tables = new ArrayList<>();
        List<String[]> open = null;
        for (String line : Files.readAllLines(Path.of("..", "WIRE.md"), StandardCharsets.UTF_8)) {
            if (line.startsWith(START)) {
                open = new ArrayList<>();
                tables.add(open);
            } else if (!line.startsWith("|")) {
                open = null;
            } else if (open != null && !line.startsWith("| ---")) {
                open.add(Arrays.stream(line.split("\\|", -1))
                        .skip(1)
                        .map(String::strip)
                        .toArray(String[]::new));
            }
        }
        return tables;
    }

    private static String type(FieldDescriptor field) {
        String base = field.getJavaType() == FieldDescriptor.JavaType.MESSAGE
                ? "message"
                : field.getType().name().toLowerCase(java.util.Locale.ROOT);
        return field.isRepeated()
                ? (base.equals("message") ? "repeated " : "packed ") + base
                : field.hasPresence() && !base.equals("message") ? "optional " + base : base;
    }

    /** A line may hold several fields: as many numbers and names as fields, and one type or as many. */
    @Test
    void everyFieldStandsInWireMdAsInTheSchema() throws IOException {
        List<List<String[]>> tables = tables();
        assertEquals(BODIES.size(), tables.size(), "tables that start with " + START);
        for (int t = 0; t < BODIES.size(); t++) {
            Map<Integer, String> described = new TreeMap<>();
            for (String[] row : tables.get(t)) {
                String[] numbers = row[0].split(", ", -1);
                String[] types = row[1].split(", ", -1);
                String[] names = row[2].split(", ", -1);
                assertEquals(numbers.length, names.length, row[2]);
                for (int i = 0; i < numbers.length; i++) {
                    int number = Integer.parseInt(numbers[i]);
                    described.put(number, types[types.length == 1 ? 0 : i] + " " + names[i]);
                    nested(BODIES.get(t).findFieldByNumber(number), row[3]);
                }
            }
            Map<Integer, String> schema = new TreeMap<>();
            for (FieldDescriptor field : BODIES.get(t).getFields()) {
                schema.put(field.getNumber(), type(field) + " " + field.getName());
            }
            assertEquals(schema, described, BODIES.get(t).getName());
        }
    }

    /** The fields of a nested message stand in its meaning, as "number", perhaps a type, and "name". */
    private static void nested(FieldDescriptor field, String meaning) {
        if (field == null || field.getJavaType() != FieldDescriptor.JavaType.MESSAGE) {
            return;
        }
        for (FieldDescriptor inner : field.getMessageType().getFields()) {
            Pattern said = Pattern.compile(
                    "\\b" + inner.getNumber() + " ([a-z]+ )*([a-z0-9]+ or )?([a-z0-9]+ )?" + inner.getName() + "\\b");
            assertTrue(said.matcher(meaning).find(), inner.getFullName() + " in: " + meaning);
        }
    }
}
