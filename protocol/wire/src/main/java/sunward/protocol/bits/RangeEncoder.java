package sunward.protocol.bits;

/**
 * Adaptive binary range encoder, 32 bits wide, with delayed carries: a byte once written is final, so that
 * {@link #copyFrom} of an earlier state undoes everything since. Bytes beyond the limit are counted, not written.
 *
 * <p>The stream is a binary fraction; its interval shrinks with each bit (range coding: G. N. N. Martin 1979). At the
 * end the fraction of the interval with the most trailing zero bits is written, without its trailing zero bytes; the
 * decoder reads zeros beyond the end.
 */
public final class RangeEncoder implements BitCoder {
    static final long BOTTOM = 1L << 24;
    static final long FULL = 0xFFFFFFFFL;
    static final long CARRY = 1L << 32;
    private static final int NONE = -1;

    private byte[] buffer = new byte[0];
    private int start;
    private int limit;
    private int at;
    private int lastNonZero;
    private long low;
    private long range;
    private int cached;
    private int pending;

    /** Starts a stream in {@code bytes[offset .. end)}. */
    public void begin(byte[] bytes, int offset, int end) {
        buffer = bytes;
        start = offset;
        limit = end;
        at = offset;
        lastNonZero = offset;
        low = 0;
        range = FULL;
        cached = NONE;
        pending = 0;
    }

    /** Takes the state of another encoder: goes on, or back, to where that one stands in the same array. */
    public void copyFrom(RangeEncoder other) {
        buffer = other.buffer;
        start = other.start;
        limit = other.limit;
        at = other.at;
        lastNonZero = other.lastNonZero;
        low = other.low;
        range = other.range;
        cached = other.cached;
        pending = other.pending;
    }

    @Override
    public int bit(BitModels models, int index, int bit) {
        long bound = (range >>> 16) * models.zero(index);
        models.learn(index, bit);
        narrow(bound, bit);
        return bit;
    }

    @Override
    public int plain(int count, int value) {
        for (int i = count - 1; i >= 0; i--) {
            narrow(range >>> 1, value >>> i & 1);
        }
        return value & (1 << count) - 1;
    }

    private void narrow(long bound, int bit) {
        if (bit == 0) {
            range = bound;
        } else {
            low += bound;
            range -= bound;
        }
        while (range < BOTTOM) {
            shift();
            range <<= 8;
        }
    }

    /** Moves the top byte of {@code low} out; a run of 0xff waits until no carry can change it. */
    private void shift() {
        if (low < 0xFF000000L || low >= CARRY) {
            int carry = (int) (low >>> 32);
            if (cached != NONE) {
                put(cached + carry);
            }
            for (; pending > 0; pending--) {
                put(0xff + carry);
            }
            cached = (int) (low >>> 24) & 0xff;
        } else if (cached == NONE) {
            cached = 0xff;
        } else {
            pending++;
        }
        low = (low & 0x00FFFFFFL) << 8;
    }

    private void put(int value) {
        int octet = value & 0xff;
        if (at < limit) {
            buffer[at] = (byte) octet;
        }
        at++;
        if (octet != 0) {
            lastNonZero = at;
        }
    }

    /** Ends the stream; {@link #length()} and {@link #fits()} then hold for the whole of it. */
    public void finish() {
        low = roundest(low, range);
        for (int i = 0; i < 5; i++) {
            shift();
        }
    }

    /** The number in [low, low + range) with the most trailing zero bits. */
    static long roundest(long low, long range) {
        long best = low;
        for (int zeros = 1; zeros <= 32; zeros++) {
            long mask = (1L << zeros) - 1;
            long candidate = low + mask & ~mask;
            if (candidate - low < range) {
                best = candidate;
            }
        }
        return best;
    }

    /** Bytes of the stream, trailing zero bytes left out; exact after {@link #finish()}. */
    public int length() {
        return lastNonZero - start;
    }

    /** True when all of {@link #length()} lies within the limit. */
    public boolean fits() {
        return lastNonZero <= limit;
    }
}
