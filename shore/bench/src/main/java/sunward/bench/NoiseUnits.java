package sunward.bench;

/**
 * Counts in standard deviations of one scan's noise, by the variance-stabilising square root (Anscombe 1948, with the
 * noise of a scan without light): what every comparison coder quantises with one step. Written for the benchmark, apart from the codec's own.
 */
final class NoiseUnits {
    private final double gain;
    private final double floor;

    /**
     * For a head.
     *
     * @param gain electrons per count
     * @param readNoise counts
     */
    NoiseUnits(double gain, double readNoise) {
        this(gain, readNoise, 0);
    }

    /**
     * For a bin of a head.
     *
     * @param thermalCounts what the dark current adds up to in an exposure, counts: its shot noise is noise of the bin
     */
    NoiseUnits(double gain, double readNoise, double thermalCounts) {
        this.gain = gain;
        floor = readNoise * readNoise + Math.max(0, thermalCounts) / gain + 1.0 / 12;
    }

    /** Variance of one reading, counts^2. */
    double variance(double counts) {
        return Math.max(0, counts) / gain + floor;
    }

    /** On the scale where one reading's noise is 1; zero counts are 0. */
    double of(double counts) {
        double zero = 2 * gain * Math.sqrt(floor);
        return counts >= 0 ? 2 * gain * Math.sqrt(variance(counts)) - zero : counts / Math.sqrt(floor);
    }

    /** Back to counts. */
    double counts(double units) {
        if (units < 0) {
            return units * Math.sqrt(floor);
        }
        double root = units / (2 * gain) + Math.sqrt(floor);
        return (root * root - floor) * gain;
    }
}
