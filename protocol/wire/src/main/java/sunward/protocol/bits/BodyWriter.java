package sunward.protocol.bits;

/**
 * Writes the Protocol Buffers wire format (encoding page of the published Protocol Buffers documentation) into a
 * caller's array. What does not fit is left out whole bytes at a time and reported by {@link #overflowed()}: a body is
 * good only when that is false. Every call writes its field, zero or not; proto3 fields without presence may be left
 * out by not calling.
 */
public final class BodyWriter {
    private static final int VARINT = 0;
    private static final int FIXED64 = 1;
    private static final int LENGTH = 2;
    private static final int FIXED32 = 5;

    private byte[] buffer = new byte[0];
    private int start;
    private int at;
    private int limit;
    private boolean overflowed;

    /** Starts a body in {@code body[offset .. end)}. */
    public void begin(byte[] body, int offset, int end) {
        buffer = body;
        start = offset;
        at = offset;
        limit = end;
        overflowed = false;
    }

    /** An unsigned integer, bool or enum field; a negative value is written as its 64-bit two's complement. */
    public void varint(int field, long value) {
        tag(field, VARINT);
        rawVarint(value);
    }

    /** A sint32 or sint64 field. */
    public void sint(int field, long value) {
        varint(field, zigzag(value));
    }

    /** A fixed32, sfixed32 or (as raw bits) float field. */
    public void fixed32(int field, int value) {
        tag(field, FIXED32);
        littleEndian(value, 4);
    }

    /** A fixed64, sfixed64 or (as raw bits) double field. */
    public void fixed64(int field, long value) {
        tag(field, FIXED64);
        littleEndian(value, 8);
    }

    /** A bytes or (UTF-8) string field. */
    public void bytes(int field, byte[] value, int offset, int length) {
        tag(field, LENGTH);
        rawVarint(length);
        if (room(length)) {
            System.arraycopy(value, offset, buffer, at, length);
            at += length;
        }
    }

    /**
     * Opens a nested message or a packed field; write its content, then {@link #close}.
     *
     * @return the mark to hand to {@link #close}
     */
    public int open(int field) {
        tag(field, LENGTH);
        put(0);
        return at;
    }

    /** Ends what {@link #open} began: sets its length, moving the content up where the length needs more bytes. */
    public void close(int mark) {
        if (overflowed) {
            return;
        }
        int length = at - mark;
        int extra = varintBytes(length) - 1;
        if (!room(extra)) {
            return;
        }
        System.arraycopy(buffer, mark, buffer, mark + extra, length);
        int end = at + extra;
        at = mark - 1;
        rawVarint(length);
        at = end;
    }

    /** An unsigned element of an open packed field. */
    public void packedVarint(long value) {
        rawVarint(value);
    }

    /** A sint32 or sint64 element of an open packed field. */
    public void packedSint(long value) {
        rawVarint(zigzag(value));
    }

    /** Bytes written so far. */
    public int length() {
        return at - start;
    }

    /** True when something did not fit since {@link #begin}. */
    public boolean overflowed() {
        return overflowed;
    }

    private static long zigzag(long value) {
        return value << 1 ^ value >> 63;
    }

    private static int varintBytes(int value) {
        int bytes = 1;
        for (int rest = value >>> 7; rest != 0; rest >>>= 7) {
            bytes++;
        }
        return bytes;
    }

    private void tag(int field, int type) {
        rawVarint((long) field << 3 | type);
    }

    private void rawVarint(long value) {
        long rest = value;
        while ((rest & ~0x7fL) != 0) {
            put((int) ((rest & 0x7f) | 0x80));
            rest >>>= 7;
        }
        put((int) rest);
    }

    private void littleEndian(long value, int bytes) {
        for (int i = 0; i < bytes; i++) {
            put((int) (value >>> (8 * i)));
        }
    }

    private void put(int value) {
        if (room(1)) {
            buffer[at++] = (byte) value;
        }
    }

    /** Once something was left out nothing more is written, so that no later piece lands in its place. */
    private boolean room(int bytes) {
        overflowed |= limit - at < bytes;
        return !overflowed;
    }
}
