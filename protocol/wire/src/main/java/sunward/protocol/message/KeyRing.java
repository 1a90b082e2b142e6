package sunward.protocol.message;

import java.util.HashMap;
import java.util.Map;

/** The keys of the floats that this end knows, by float number. Immutable; never prints a key. */
public final class KeyRing {
    private static final KeyRing NONE = new KeyRing(Map.of());

    private final Map<Integer, byte[]> keys = new HashMap<>();

    private KeyRing(Map<Integer, byte[]> keys) {
        keys.forEach((floatNumber, key) -> this.keys.put(floatNumber, key.clone()));
    }

    /** A ring without keys: unsealed messages only. */
    public static KeyRing none() {
        return NONE;
    }

    /** A ring of keys by float number; the keys are copied. */
    public static KeyRing of(Map<Integer, byte[]> keys) {
        return new KeyRing(keys);
    }

    /** The key of a float, or null: for this package's eyes, never handed on. */
    byte[] key(int floatNumber) {
        return keys.get(floatNumber);
    }

    @Override
    public String toString() {
        return "key";
    }
}
