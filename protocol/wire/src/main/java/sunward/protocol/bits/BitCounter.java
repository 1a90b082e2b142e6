package sunward.protocol.bits;

/** Writes nothing: counts how often each adaptive bit came out as 0 and as 1, for the tables that models start from. */
public final class BitCounter implements BitCoder {
    private final long[][] seen;

    /** For sets of this many bits. */
    public BitCounter(int size) {
        seen = new long[size][2];
    }

    @Override
    public int bit(BitModels models, int index, int bit) {
        seen[index][bit]++;
        models.learn(index, bit);
        return bit;
    }

    @Override
    public int plain(int count, int value) {
        return value & (1 << count) - 1;
    }

    /** How often a bit came out so. */
    public long seen(int index, int bit) {
        return seen[index][bit];
    }
}
