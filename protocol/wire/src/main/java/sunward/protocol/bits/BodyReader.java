package sunward.protocol.bits;

/**
 * Reads the Protocol Buffers wire format (encoding page of the published Protocol Buffers documentation) from a caller's
 * array without allocating: {@link #next} steps from field to field, the value is read between. Never reads outside the
 * range given; bytes that are no whole field end the reading and are reported by {@link #spoilt()}.
 */
public final class BodyReader {
    /** Wire type of integers. */
    public static final int VARINT = 0;

    /** Wire type of eight bytes. */
    public static final int FIXED64 = 1;

    /** Wire type of bytes, texts, nested messages and packed fields. */
    public static final int LENGTH = 2;

    /** Wire type of four bytes. */
    public static final int FIXED32 = 5;

    private static final int MAX_VARINT_BYTES = 10;

    private byte[] buffer = new byte[0];
    private int at;
    private int limit;
    private boolean spoilt;
    private int field;
    private int type;
    private long value;
    private int start;

    /** Starts at {@code body[offset]}; {@code end} is the first byte not to read. */
    public void begin(byte[] body, int offset, int end) {
        buffer = body;
        at = offset;
        limit = end;
        spoilt = false;
        field = 0;
    }

    /** Starts inside the bytes field that another reader stands at. */
    public void begin(BodyReader outer) {
        begin(outer.buffer, outer.start, outer.start + outer.length());
    }

    /** Steps to the next field; false at the end or when the bytes are spoilt. */
    public boolean next() {
        if (spoilt || at >= limit) {
            return false;
        }
        long tag = rawVarint();
        type = (int) (tag & 7);
        field = (int) (tag >>> 3);
        if (spoilt || tag >>> 32 != 0 || field == 0) {
            return fail();
        }
        switch (type) {
            case VARINT -> value = rawVarint();
            case FIXED64 -> value = littleEndian(8);
            case FIXED32 -> value = littleEndian(4);
            case LENGTH -> {
                value = rawVarint();
                if (value < 0 || value > limit - at) {
                    return fail();
                }
                start = at;
                at += (int) value;
            }
            default -> {
                return fail();
            }
        }
        return !spoilt;
    }

    /** Steps to the next element of a packed varint field; false at the end or when the bytes are spoilt. */
    public boolean nextPacked() {
        if (spoilt || at >= limit) {
            return false;
        }
        value = rawVarint();
        return !spoilt;
    }

    private boolean fail() {
        spoilt = true;
        return false;
    }

    private long rawVarint() {
        long read = 0;
        for (int i = 0; i < MAX_VARINT_BYTES; i++) {
            if (at >= limit) {
                break;
            }
            int b = buffer[at++];
            read |= (long) (b & 0x7f) << (7 * i);
            if (b >= 0) {
                return read;
            }
        }
        spoilt = true;
        return 0;
    }

    private long littleEndian(int bytes) {
        if (limit - at < bytes) {
            spoilt = true;
            return 0;
        }
        long read = 0;
        for (int i = 0; i < bytes; i++) {
            read |= (buffer[at++] & 0xffL) << (8 * i);
        }
        return read;
    }

    /** Number of the field stood at, 1 to 2^29 - 1. */
    public int field() {
        return field;
    }

    /** Wire type of the field stood at. */
    public int type() {
        return type;
    }

    /** Value of an integer field or packed element, as its 64 bits. */
    public long varint() {
        return value;
    }

    /** Value of a sint field or packed sint element. */
    public long sint() {
        return value >>> 1 ^ -(value & 1);
    }

    /** Where a bytes field starts in the array. */
    public int start() {
        return start;
    }

    /** Length of a bytes field. */
    public int length() {
        return type == LENGTH ? (int) value : 0;
    }

    /** True when what was read so far does not follow the format. */
    public boolean spoilt() {
        return spoilt;
    }
}
