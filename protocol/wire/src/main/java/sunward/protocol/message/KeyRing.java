package sunward.protocol.message;

import java.util.HashMap;
import java.util.Map;
import sunward.protocol.seal.DirectionKeys;
import sunward.protocol.seal.HmacSha256;

/** The keys of the floats that this end knows, by float number. Immutable; never prints a key. */
public final class KeyRing {
    private static final KeyRing NONE = new KeyRing(Map.of());

    private final Map<Integer, DirectionKeys> keys = new HashMap<>();

    private KeyRing(Map<Integer, byte[]> keys) {
        keys.forEach((floatNumber, key) -> this.keys.put(floatNumber, new DirectionKeys(key)));
    }

    /** A ring without keys: unsealed messages only. */
    public static KeyRing none() {
        return NONE;
    }

    /** A ring of keys by float number; the keys of both directions are derived and nothing else is kept. */
    public static KeyRing of(Map<Integer, byte[]> keys) {
        return new KeyRing(keys);
    }

    /** True when the ring has a key of this float. */
    public boolean has(int floatNumber) {
        return keys.containsKey(floatNumber);
    }

    /** A writer of messages of a float, sealed when the ring has its key, of at most so many bytes. */
    public MessageWriter writer(int floatNumber, int messageBytes) {
        return new MessageWriter(messageBytes, keys.get(floatNumber));
    }

    /** The seal of a float's messages of this kind, or null when it has no key: for this package's eyes. */
    HmacSha256 seal(int floatNumber, boolean order) {
        DirectionKeys of = keys.get(floatNumber);
        return of == null ? null : order ? of.toFloat() : of.toShore();
    }

    @Override
    public String toString() {
        return "key";
    }
}
