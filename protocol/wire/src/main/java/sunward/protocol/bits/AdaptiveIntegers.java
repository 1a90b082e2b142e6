package sunward.protocol.bits;

/**
 * Signed integers by adaptive bits. A source of integers owns {@link #MODELS} bits of a {@link BitModels}: an integer
 * is its size class (0 for 0, else the number of binary digits of its magnitude) in unary, then the digit below the
 * leading one by a bit of its class, the other digits plainly, then the sign (in the manner of P. Elias's gamma code,
 * 1975, with learned bits).
 */
public final class AdaptiveIntegers {
    /** Bits that one source owns. */
    public static final int MODELS = 25;

    private static final int CLASS_BITS = 16;
    private static final int SIGN = CLASS_BITS;
    private static final int DIGIT = SIGN + 1;
    private static final int DIGIT_BITS = MODELS - DIGIT;
    private static final int LARGEST_CLASS = 32;

    /** Probability, 2^-16, that a class is the right one when the typical class is two or more above, one above, it ... */
    private static final int[] STOP = {2600, 9800, 29500, 39300, 52400, 61000};

    private static final int PRIOR_AGE = 3;

    private AdaptiveIntegers() {}

    /**
     * Sets a source's bits to what is typical of it.
     *
     * @param typical the size class to expect; -3 for a source that is nearly always 0
     */
    public static void prepare(BitModels models, int base, int typical) {
        for (int size = 0; size < CLASS_BITS; size++) {
            int beyond = Math.max(-2, Math.min(STOP.length - 3, size - typical));
            models.set(base + size, STOP[beyond + 2], PRIOR_AGE);
        }
        models.set(base + SIGN, BitModels.ONE / 2, PRIOR_AGE);
        for (int i = 0; i < DIGIT_BITS; i++) {
            models.set(base + DIGIT + i, BitModels.ONE / 2, PRIOR_AGE);
        }
    }

    /**
     * Sets a source's bits to given chances.
     *
     * @param stop for each size class from 0 up, the chance in 256 that it is the one when no smaller is; larger classes
     *     than given stop with a chance of 154 in 256
     * @param age how many integers that belief is worth
     */
    public static void prepare(BitModels models, int base, int[] stop, int age) {
        prepare(models, base, 0);
        for (int size = 0; size < CLASS_BITS; size++) {
            models.set(base + size, (size < stop.length ? stop[size] : 154) << 8, age);
        }
    }

    /** Codes an integer, any int, by the source whose bits start at {@code base}; returns it. */
    public static int code(BitCoder coder, BitModels models, int base, int value) {
        int size = size(coder, models, base, value);
        if (size == 0) {
            return 0;
        }
        int magnitude = Math.abs(value);
        int coded = 1;
        if (size >= 2) {
            int digitModel = base + DIGIT + Math.min(size - 2, DIGIT_BITS - 1);
            coded = 2 | coder.bit(models, digitModel, (magnitude >>> (size - 2)) & 1);
            int rest = size - 2;
            coded = (coded << rest) | coder.plain(rest, magnitude);
        }
        int negative = coder.bit(models, base + SIGN, value < 0 ? 1 : 0);
        return negative == 1 ? -coded : coded;
    }

    private static int size(BitCoder coder, BitModels models, int base, int value) {
        int actual = Integer.SIZE - Integer.numberOfLeadingZeros(Math.abs(value));
        int size = 0;
        while (size < LARGEST_CLASS) {
            int more = coder.bit(models, base + Math.min(size, CLASS_BITS - 1), actual > size ? 1 : 0);
            if (more == 0) {
                return size;
            }
            size++;
        }
        return size;
    }
}
