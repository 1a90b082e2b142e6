package sunward.protocol.seal;

import java.nio.charset.StandardCharsets;

/**
 * The two seals of one float, made from its key: one for what it sends to shore, one for orders to it, so that nothing
 * heard in one direction can be played back in the other. A key of a direction is HMAC-SHA-256 under the float's key of
 * the direction's name in ASCII (key derivation by a pseudo-random function over a label, as in NIST SP 800-108).
 */
public final class DirectionKeys {
    private static final byte[] TO_SHORE = "float to shore".getBytes(StandardCharsets.US_ASCII);
    private static final byte[] TO_FLOAT = "shore to float".getBytes(StandardCharsets.US_ASCII);

    private final byte[] toShore;
    private final byte[] toFloat;

    /** Derives both from a float's key, of which no copy is kept. */
    public DirectionKeys(byte[] floatKey) {
        toShore = derived(floatKey, TO_SHORE);
        toFloat = derived(floatKey, TO_FLOAT);
    }

    private static byte[] derived(byte[] floatKey, byte[] label) {
        HmacSha256 hmac = new HmacSha256(floatKey);
        hmac.update(label, 0, label.length);
        byte[] key = new byte[Sha256.DIGEST_BYTES];
        hmac.finish(key, 0, key.length);
        return key;
    }

    /** A seal for messages from the float to shore. */
    public HmacSha256 toShore() {
        return new HmacSha256(toShore);
    }

    /** A seal for messages from shore to the float. */
    public HmacSha256 toFloat() {
        return new HmacSha256(toFloat);
    }

    @Override
    public String toString() {
        return "key";
    }
}
