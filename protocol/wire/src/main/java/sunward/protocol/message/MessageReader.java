package sunward.protocol.message;

import java.util.Locale;
import sunward.protocol.message.Verdict.Accepted;
import sunward.protocol.message.Verdict.Reason;
import sunward.protocol.message.Verdict.Rejected;
import sunward.protocol.seal.Crc32c;
import sunward.protocol.seal.HmacSha256;

/** Tells messages from other bytes. Whatever the bytes, the answer is a verdict, never an exception. */
public final class MessageReader {
    /** Oldest version that this code reads. */
    static final int MIN_VERSION = 0;

    private MessageReader() {}

    /**
     * Judges some bytes.
     *
     * <p>A float whose key is in the ring must seal its messages; a sealed message needs the key. What is read of a
     * message before its check value fits is only used to say what is wrong with it.
     */
    public static Verdict read(byte[] bytes, KeyRing keys) {
        if (bytes == null || bytes.length < MessageLayout.MIN_MESSAGE_BYTES) {
            return rejected(
                    Reason.TOO_SHORT,
                    "%d bytes are fewer than the %d of the shortest message: fetch the message again, whole",
                    bytes == null ? 0 : bytes.length,
                    MessageLayout.MIN_MESSAGE_BYTES);
        }
        if (bytes.length > MessageLayout.MAX_MESSAGE_BYTES) {
            return rejected(
                    Reason.TOO_LONG,
                    "%d bytes are more than the %d of the longest message: this is some other file",
                    bytes.length,
                    MessageLayout.MAX_MESSAGE_BYTES);
        }
        int version = (bytes[0] & 0xff) >>> 4;
        Rejected wrongVersion = versionVerdict(version, MIN_VERSION, MessageLayout.VERSION);
        if (wrongVersion != null) {
            return wrongVersion;
        }
        boolean unsealed = (bytes[1] & MessageLayout.UNSEALED) != 0;
        int floatNumber = (bytes[1] & 0x3f) << 8 | (bytes[2] & 0xff);
        Rejected broken = unsealed ? checksum(bytes, floatNumber, keys) : seal(bytes, floatNumber, keys);
        return broken != null ? broken : content(bytes, floatNumber, unsealed);
    }

    /** What a version deserves when this code reads {@code min} to {@code max}; null when it is one of them. */
    static Rejected versionVerdict(int version, int min, int max) {
        if (version < min) {
            return rejected(
                    Reason.VERSION_TOO_OLD,
                    "the message has wire version %d, older than version %d, the oldest read here: decode it with an"
                            + " earlier Sunward",
                    version,
                    min);
        }
        if (version > max) {
            return rejected(
                    Reason.VERSION_TOO_NEW,
                    "not a Sunward message, or one of a later wire version (%d; the newest read here is %d): a later Sunward"
                            + " may decode it",
                    version,
                    max);
        }
        return null;
    }

    private static Rejected checksum(byte[] bytes, int floatNumber, KeyRing keys) {
        int end = bytes.length - MessageLayout.UNSEALED_BYTES;
        int found = 0;
        for (int i = end; i < bytes.length; i++) {
            found = found << 8 | (bytes[i] & 0xff);
        }
        int expected = Crc32c.of(bytes, 0, end);
        if (found != expected) {
            return rejected(
                    Reason.DAMAGED,
                    "the checksum is %08x where the bytes give %08x: the message was damaged on its way, or this is"
                            + " some other file",
                    found,
                    expected);
        }
        if (keys.has(floatNumber)) {
            return rejected(
                    Reason.UNSEALED_BUT_KEYED,
                    "the message is unsealed although float %d has a key: anyone may have made it, so it is not used",
                    floatNumber);
        }
        return null;
    }

    private static Rejected seal(byte[] bytes, int floatNumber, KeyRing keys) {
        int end = bytes.length - MessageLayout.SEALED_BYTES;
        if (end < MessageLayout.HEADER_BYTES) {
            return rejected(
                    Reason.TOO_SHORT,
                    "%d bytes are fewer than the %d of the shortest sealed message: fetch the message again, whole",
                    bytes.length,
                    MessageLayout.HEADER_BYTES + MessageLayout.SEALED_BYTES);
        }
        HmacSha256 hmac = keys.seal(floatNumber, (bytes[0] & 0x0f) == Kind.ORDER.number());
        if (hmac == null) {
            return rejected(
                    Reason.NO_KEY,
                    "the message is sealed and no key of float %d is at hand: give the key of that float",
                    floatNumber);
        }
        byte[] expected = new byte[MessageLayout.SEALED_BYTES];
        hmac.update(bytes, 0, end);
        hmac.finish(expected, 0, expected.length);
        if (!HmacSha256.same(expected, 0, bytes, end, expected.length)) {
            return rejected(
                    Reason.SEAL_BROKEN,
                    "the seal does not fit the bytes and the key of float %d: the message is damaged, forged, or of"
                            + " another key",
                    floatNumber);
        }
        return null;
    }

    private static Verdict content(byte[] bytes, int floatNumber, boolean unsealed) {
        if (floatNumber == 0) {
            return rejected(Reason.FLOAT_ZERO, "the message names float 0, which no float has: its sender is at fault");
        }
        int kind = bytes[0] & 0x0f;
        if (Kind.ofNumber(kind) == null) {
            return rejected(
                    Reason.UNKNOWN_KIND,
                    "the message is of kind %d, which wire version %d does not know: decode it with a later Sunward",
                    kind,
                    MessageLayout.VERSION);
        }
        int sealBytes = unsealed ? MessageLayout.UNSEALED_BYTES : MessageLayout.SEALED_BYTES;
        return new Accepted(new Message(bytes, sealBytes, false));
    }

    private static Rejected rejected(Reason reason, String sentence, Object... values) {
        return new Rejected(reason, String.format(Locale.ROOT, sentence, values));
    }
}
