package sunward.protocol.bits;

/**
 * Reads what {@link RangeEncoder} wrote. It never reads past its end: beyond it there are zeros, as many as asked for,
 * so whoever decodes bounds the work by the number of symbols.
 */
public final class RangeDecoder implements BitCoder {
    private byte[] buffer = new byte[0];
    private int at;
    private int end;
    private long low;
    private long range;
    private long code;

    /**
     * Starts on {@code bytes[offset .. offset + length)}.
     *
     * @return false when no encoder can have written the start of this stream
     */
    public boolean begin(byte[] bytes, int offset, int length) {
        buffer = bytes;
        at = offset;
        end = offset + length;
        low = 0;
        range = RangeEncoder.FULL;
        code = 0;
        for (int i = 0; i < 4; i++) {
            code = code << 8 | next();
        }
        boolean possible = code < range;
        if (!possible) {
            code = 0;
        }
        return possible;
    }

    @Override
    public int bit(BitModels models, int index, int ignored) {
        int bit = narrow((range >>> 16) * models.zero(index));
        models.learn(index, bit);
        return bit;
    }

    @Override
    public int plain(int count, int ignored) {
        int value = 0;
        for (int i = 0; i < count; i++) {
            value = value << 1 | narrow(range >>> 1);
        }
        return value;
    }

    private int narrow(long bound) {
        int bit;
        if (code < bound) {
            range = bound;
            bit = 0;
        } else {
            code -= bound;
            low += bound;
            range -= bound;
            bit = 1;
        }
        while (range < RangeEncoder.BOTTOM) {
            range <<= 8;
            code = code << 8 | next();
            low = low << 8 & RangeEncoder.FULL;
        }
        return bit;
    }

    private int next() {
        return at < end ? buffer[at++] & 0xff : 0;
    }

    /**
     * True when the bytes are the ones that an encoder ending here writes: every byte read, the roundest fraction
     * chosen, no zero byte at the end.
     */
    public boolean endsHere(int offset) {
        boolean trimmed = end == offset || buffer[end - 1] != 0;
        return at == end && trimmed && RangeEncoder.roundest(low, range) - low == code;
    }
}
