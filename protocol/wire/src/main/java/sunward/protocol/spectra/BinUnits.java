package sunward.protocol.spectra;

/** Levels ({@link NoiseScale}) of one bin above the dark level, in 1/64 of the bin's own noise. */
final class BinUnits {
    /** Noise of a bin. */
    static final int NOISE = 64;

    private static final int LARGEST = 1 << 30;

    private final NoiseScale scale = new NoiseScale();
    private long zeroLevel;
    private long root;

    /** Takes gain and read noise of a head. */
    void set(BlockHeader header) {
        scale.set(header.gainSixteenths, header.readNoiseQuarters);
        zeroLevel = scale.level(0);
    }

    /** Takes the scans of a bin. */
    void set(int scans) {
        root = NoiseScale.root((long) Math.max(1, scans) << 16);
    }

    /** Root of the scans, 1/256. */
    long root() {
        return root;
    }

    static int hold(long value) {
        return (int) Math.max(-LARGEST, Math.min(LARGEST, value));
    }

    /** Units of fine counts. */
    int of(int fine) {
        return hold((scale.level(fine) - zeroLevel) * root >> 14);
    }

    /** Units of counts, 1/64. */
    int ofCounts(int counts) {
        return of(NoiseScale.hold((long) counts * NoiseScale.FINE_PER_UNIT));
    }

    /** Fine counts of units. */
    int fine(long units) {
        return scale.fine(zeroLevel + (units << 14) / root);
    }

    /** Change of the units when positive counts grow by their own amount. */
    int perOwnAmount(int fine) {
        return (int) (scale.sensitivity(fine, scale.level(fine)) * root >> 8);
    }

    /** Change of the units, 1/64, when counts grow by one. */
    int perCount(int fine) {
        return (int) (scale.perCount(scale.level(fine)) * root >> 8);
    }
}
