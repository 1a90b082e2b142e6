package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.lang.reflect.Field;
import java.lang.reflect.Modifier;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;

/** The numbers that a ledger may hold are those that WIRE.md, section 2, gives a meaning. */
class WireNumbersTest {
    private static Set<Integer> listed(String start) throws IOException {
        String text = Files.readString(Path.of("..", "..", "protocol", "WIRE.md"), StandardCharsets.UTF_8);
        int from = text.indexOf(start) + start.length();
        return Arrays.stream(text.substring(from, text.indexOf('.', from)).split(", ", -1))
                .map(item -> Integer.parseInt(item.split(" ", -1)[0]))
                .collect(Collectors.toCollection(TreeSet::new));
    }

    /** Values of a class's constants that other classes see. */
    private static Set<Integer> constants(Class<?> of) throws IllegalAccessException {
        Set<Integer> values = new TreeSet<>();
        for (Field field : of.getDeclaredFields()) {
            int modifiers = field.getModifiers();
            if (Modifier.isStatic(modifiers) && !Modifier.isPrivate(modifiers) && field.getType() == int.class) {
                values.add(field.getInt(null));
            }
        }
        return values;
    }

    @Test
    void faultsFallbacksAndUnsentReasons() throws Exception {
        Set<Integer> faults = constants(Ledger.class);
        faults.add(Ledger.TILT_SENSOR_1 + 1);
        assertEquals(faults, listed(" Faults: "));
        Set<Integer> fallbacks = constants(HeadChooser.class);
        fallbacks.remove(HeadChooser.FALLBACKS);
        assertEquals(fallbacks, listed("Fallbacks of the head choice: "));
        assertEquals(Set.of(Packer.ALL_SENT, Packer.MESSAGE_BUDGET), listed(" Unsent reasons: "));
    }
}
