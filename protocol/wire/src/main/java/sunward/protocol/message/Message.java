package sunward.protocol.message;

import java.util.Arrays;

/**
 * One message, verified and taken apart. Immutable: {@link #body()} and {@link #bytes()} hand out copies.
 *
 * <p>{@code repaired} marks a message that shore derived from repair symbols: it is never filed as received. A repair
 * message names its group and a samples part its base message, in the first bytes of their bodies.
 */
public final class Message {
    /** No base: the message decodes alone. */
    public static final int NO_BASE = -1;

    private final byte[] bytes;
    private final int bodyEnd;
    private final boolean repaired;

    Message(byte[] bytes, int sealBytes, boolean repaired) {
        this.bytes = bytes.clone();
        this.bodyEnd = bytes.length - sealBytes;
        this.repaired = repaired;
    }

    /**
     * A message that shore derived from repair symbols: it stands in for one that was not received, has no seal of its own,
     * and says so by {@link #repaired()}.
     *
     * @param sibling a message of the same dive: version, marks, float and dive are its
     * @param kindNumber 0 to 15
     * @param blockAndPart as on the wire: block in the upper four bits, part in the lower twelve
     */
    public static Message restored(Message sibling, int position, int kindNumber, int blockAndPart, byte[] body) {
        byte[] bytes = Arrays.copyOf(sibling.bytes, MessageLayout.HEADER_BYTES + body.length);
        bytes[0] = (byte) (bytes[0] & 0xf0 | kindNumber);
        bytes[4] = (byte) (bytes[4] & 0xf0 | position >>> 8);
        bytes[5] = (byte) position;
        bytes[6] = (byte) (blockAndPart >>> 8);
        bytes[7] = (byte) blockAndPart;
        System.arraycopy(body, 0, bytes, MessageLayout.HEADER_BYTES, body.length);
        return new Message(bytes, 0, true);
    }

    /** Wire version, 0 to 15. */
    public int version() {
        return (bytes[0] & 0xff) >>> 4;
    }

    /** What the message is for. */
    public Kind kind() {
        return Kind.ofNumber(bytes[0] & 0x0f);
    }

    /** True when a simulator made it. */
    public boolean simulated() {
        return (bytes[1] & MessageLayout.SIMULATED) != 0;
    }

    /** True when nothing but a checksum protects it. */
    public boolean unsealed() {
        return (bytes[1] & MessageLayout.UNSEALED) != 0;
    }

    /** Float number, 1 to {@link MessageLayout#MAX_FLOAT}. */
    public int floatNumber() {
        return (bytes[1] & 0x3f) << 8 | (bytes[2] & 0xff);
    }

    /** Dive number, 0 to {@link MessageLayout#MAX_DIVE}. */
    public int dive() {
        return (bytes[3] & 0xff) << 4 | (bytes[4] & 0xff) >>> 4;
    }

    /** Place in the dive's sending order, from 0. */
    public int position() {
        return (bytes[4] & 0x0f) << 8 | (bytes[5] & 0xff);
    }

    /** Block number; {@link BlockType} names those of kind DIVE. */
    public int block() {
        return (bytes[6] & 0xff) >>> 4;
    }

    /** Part of the block, from 0. */
    public int part() {
        return (bytes[6] & 0x0f) << 8 | (bytes[7] & 0xff);
    }

    /** True when shore derived it from repair symbols. */
    public boolean repaired() {
        return repaired;
    }

    /** Position of the base message that this samples part refines, or {@link #NO_BASE}. */
    public int base() {
        boolean samples = kind() == Kind.DIVE && block() == BlockType.SAMPLES.number();
        return samples && bodyLength() >= 2 ? bodyShort() & MessageLayout.MAX_POSITION : NO_BASE;
    }

    /** The messages that this repair message helps to restore, or null when it is not one or names none. */
    public RepairGroup group() {
        if (kind() != Kind.REPAIR || bodyLength() < 3) {
            return null;
        }
        int messages = bytes[MessageLayout.HEADER_BYTES + 2] & 0xff;
        return messages == 0 ? null : new RepairGroup(bodyShort() & MessageLayout.MAX_POSITION, messages);
    }

    private int bodyShort() {
        return (bytes[MessageLayout.HEADER_BYTES] & 0xff) << 8 | (bytes[MessageLayout.HEADER_BYTES + 1] & 0xff);
    }

    /** Length of the body, bytes. */
    public int bodyLength() {
        return bodyEnd - MessageLayout.HEADER_BYTES;
    }

    /** A copy of the body. */
    public byte[] body() {
        return Arrays.copyOfRange(bytes, MessageLayout.HEADER_BYTES, bodyEnd);
    }

    /** A copy of the whole message as received. */
    public byte[] bytes() {
        return bytes.clone();
    }
}
