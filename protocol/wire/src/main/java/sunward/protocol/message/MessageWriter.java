package sunward.protocol.message;

import sunward.protocol.seal.Crc32c;
import sunward.protocol.seal.DirectionKeys;
import sunward.protocol.seal.HmacSha256;

/**
 * Writes messages one after another into its own buffer, without allocation after construction: {@link #begin}, then
 * the body into {@link #buffer()} from {@link #bodyOffset()} up to {@link #bodyLimit()}, then {@link #finish}.
 */
public final class MessageWriter {
    private final byte[] buffer;
    private final HmacSha256 toShore;
    private final HmacSha256 toFloat;
    private final int sealBytes;

    /**
     * Makes a writer.
     *
     * @param sealKey key of the float, from which the key of each direction is derived, or null: messages go
     *     unsealed, with a checksum only
     * @param messageBytes longest message of the link, {@link MessageLayout#MIN_MESSAGE_BYTES} + 4 to {@link
     *     MessageLayout#MAX_MESSAGE_BYTES}
     */
    public MessageWriter(byte[] sealKey, int messageBytes) {
        this(messageBytes, sealKey == null ? null : new DirectionKeys(sealKey));
    }

    /** A writer under keys already derived, or null for none; {@link KeyRing#writer} makes it. */
    MessageWriter(int messageBytes, DirectionKeys keys) {
        toShore = keys == null ? null : keys.toShore();
        toFloat = keys == null ? null : keys.toFloat();
        sealBytes = keys == null ? MessageLayout.UNSEALED_BYTES : MessageLayout.SEALED_BYTES;
        hold("message bytes", messageBytes, MessageLayout.HEADER_BYTES + sealBytes, MessageLayout.MAX_MESSAGE_BYTES);
        buffer = new byte[messageBytes];
    }

    /**
     * Writes the header.
     *
     * @param block for kind DIVE a {@link BlockType#number()}, 0 to 15
     * @throws IllegalArgumentException when a number does not fit its field
     */
    public void begin(Kind kind, boolean simulated, int floatNumber, int dive, int position, int block, int part) {
        hold("float number", floatNumber, 1, MessageLayout.MAX_FLOAT);
        hold("dive", dive, 0, MessageLayout.MAX_DIVE);
        hold("position", position, 0, MessageLayout.MAX_POSITION);
        hold("block", block, 0, 15);
        hold("part", part, 0, MessageLayout.MAX_PART);
        int marks = (simulated ? MessageLayout.SIMULATED : 0) | (toShore == null ? MessageLayout.UNSEALED : 0);
        buffer[0] = (byte) (MessageLayout.VERSION << 4 | kind.number());
        buffer[1] = (byte) (marks | floatNumber >>> 8);
        buffer[2] = (byte) floatNumber;
        buffer[3] = (byte) (dive >>> 4);
        buffer[4] = (byte) (dive << 4 | position >>> 8);
        buffer[5] = (byte) position;
        buffer[6] = (byte) (block << 4 | part >>> 8);
        buffer[7] = (byte) part;
    }

    private static void hold(String name, int value, int min, int max) {
        if (value < min || value > max) {
            throw new IllegalArgumentException(name + " " + value + " is not within " + min + " to " + max);
        }
    }

    /** The bytes of the message being written. */
    public byte[] buffer() {
        return buffer;
    }

    /** Where the body starts in {@link #buffer()}. */
    public int bodyOffset() {
        return MessageLayout.HEADER_BYTES;
    }

    /** Where the body must end at the latest. */
    public int bodyLimit() {
        return buffer.length - sealBytes;
    }

    /**
     * Seals the message.
     *
     * @param bodyLength bytes written from {@link #bodyOffset()} on
     * @return length of the whole message in {@link #buffer()}
     */
    public int finish(int bodyLength) {
        hold("body length", bodyLength, 0, bodyLimit() - bodyOffset());
        int end = bodyOffset() + bodyLength;
        HmacSha256 seal = (buffer[0] & 0x0f) == Kind.ORDER.number() ? toFloat : toShore;
        if (seal != null) {
            seal.update(buffer, 0, end);
            seal.finish(buffer, end, sealBytes);
        } else {
            int crc = Crc32c.of(buffer, 0, end);
            for (int i = 0; i < sealBytes; i++) {
                buffer[end + i] = (byte) (crc >>> (24 - 8 * i));
            }
        }
        return end + sealBytes;
    }
}
