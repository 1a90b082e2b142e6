package sunward.firmware;

import java.io.ByteArrayOutputStream;
import java.lang.reflect.Array;
import java.lang.reflect.Field;
import java.lang.reflect.Modifier;
import java.nio.charset.StandardCharsets;
import java.util.IdentityHashMap;
import java.util.Random;
import java.util.zip.CRC32C;
import sunward.firmware.port.Modem;

/** Every array and number that objects of the firmware hold, apart from the desk on which orders are read. */
final class FloatState {
    private final IdentityHashMap<Object, Boolean> seen = new IdentityHashMap<>();
    private final ByteArrayOutputStream out = new ByteArrayOutputStream();

    private FloatState() {}

    static byte[] of(Object... roots) {
        FloatState state = new FloatState();
        for (Object root : roots) {
            state.gather(root);
        }
        return state.out.toByteArray();
    }

    private void gather(Object object) {
        boolean desk = object instanceof OrderBody || object instanceof Modem || object instanceof Random;
        if (object == null || desk || seen.put(object, true) != null) {
            return;
        }
        Class<?> type = object.getClass();
        if (object instanceof byte[] bytes) {
            CRC32C crc = new CRC32C();
            crc.update(bytes);
            text(Long.toHexString(crc.getValue()));
        } else if (type.isArray()) {
            for (int i = 0; i < Array.getLength(object); i++) {
                value(type.getComponentType(), Array.get(object, i));
            }
        } else if (type.getName().startsWith("sunward.firmware.")) {
            for (Field field : type.getDeclaredFields()) {
                boolean ear = field.getName().equals("heard");
                if (!Modifier.isStatic(field.getModifiers()) && !ear) {
                    field.setAccessible(true);
                    try {
                        value(field.getType(), field.get(object));
                    } catch (IllegalAccessException e) {
                        throw new AssertionError(e);
                    }
                }
            }
        }
    }

    private void value(Class<?> type, Object value) {
        if (type.isPrimitive()) {
            text(value + ",");
        } else {
            gather(value);
        }
    }

    private void text(String text) {
        out.writeBytes(text.getBytes(StandardCharsets.US_ASCII));
    }
}
