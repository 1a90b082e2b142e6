package sunward.protocol.bits;

/**
 * A set of adaptive bits: for each, the probability of a zero and how many bits it has seen. A young model moves fast
 * (as an average over what it saw), an old one at a fixed rate. WIRE.md gives the arithmetic; it is all integer.
 */
public final class BitModels {
    /** Probabilities are in units of 2^-16. */
    public static final int ONE = 1 << 16;

    /** A model's age stops here. */
    public static final int MAX_AGE = 60;

    /** Age of a model that never learns. */
    public static final int FROZEN = MAX_AGE + 1;

    private static final int MIN_PROBABILITY = 64;

    /** Share, 2^-16, that a model of each age moves towards the bit it sees: 1 / (age + 1.5); none when frozen. */
    private static final int[] RATE = rates();

    private final char[] zero;
    private final byte[] age;

    /** Makes a set of this many bits. */
    public BitModels(int size) {
        zero = new char[size];
        age = new byte[size];
    }

    /** Bits in the set. */
    public int size() {
        return zero.length;
    }

    private static int[] rates() {
        int[] rate = new int[FROZEN + 1];
        for (int n = 0; n <= MAX_AGE; n++) {
            rate[n] = 2 * ONE / (2 * n + 3);
        }
        return rate;
    }

    /**
     * Sets one bit's start.
     *
     * @param probabilityOfZero in 2^-16
     * @param seen how many bits that belief is worth, 0 to {@link #MAX_AGE}, or {@link #FROZEN}
     */
    public void set(int index, int probabilityOfZero, int seen) {
        zero[index] = held(probabilityOfZero);
        age[index] = (byte) seen;
    }

    private static char held(int probability) {
        return (char) Math.max(MIN_PROBABILITY, Math.min(ONE - MIN_PROBABILITY, probability));
    }

    /** Bytes of state. */
    public int ramBytes() {
        return (Character.BYTES + 1) * zero.length;
    }

    /** Copies all of another set of the same size. */
    public void copyFrom(BitModels other) {
        System.arraycopy(other.zero, 0, zero, 0, zero.length);
        System.arraycopy(other.age, 0, age, 0, age.length);
    }

    /** Probability that the bit is zero, 2^-16. */
    public int zero(int index) {
        return zero[index];
    }

    /** Learns from a bit. */
    void learn(int index, int bit) {
        int towards = bit == 0 ? ONE : 0;
        int step = (towards - zero[index]) * (RATE[age[index]] >> 1);
        zero[index] = held(zero[index] + (step >> 15));
        if (age[index] < MAX_AGE) {
            age[index]++;
        }
    }
}
