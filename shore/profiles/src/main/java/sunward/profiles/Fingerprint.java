package sunward.profiles;

import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.Collection;

/** SHA-256 of what a product was made from. */
final class Fingerprint {
    private Fingerprint() {}

    static byte[] of(byte[] bytes) {
        return digest().digest(bytes);
    }

    /** Of several byte strings in the order given, each preceded by its length so that none can stand for two. */
    static byte[] of(Collection<byte[]> parts) {
        MessageDigest digest = digest();
        for (byte[] part : parts) {
            digest.update(new byte[] {
                (byte) (part.length >>> 24), (byte) (part.length >>> 16), (byte) (part.length >>> 8), (byte) part.length
            });
            digest.update(part);
        }
        return digest.digest();
    }

    private static MessageDigest digest() {
        try {
            return MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("Every Java platform has SHA-256; this one does not.", e);
        }
    }
}
