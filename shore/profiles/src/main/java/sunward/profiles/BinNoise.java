package sunward.profiles;

import sunward.protocol.spectra.BinRecord;

/**
 * Random noise of a bin's counts per second c, as variance = fixed + perCount * c: shot and read noise of the scans and
 * the darks (sensor model of the block header), and rounding on the wire (uniform within the codec's bound, so a third of
 * its square, and so for the 1/64 count of the wire). The part of rounding stands apart so that a budget can name it.
 *
 * @param fixed variance that does not depend on the signal, (counts/s)^2
 * @param perCount variance per count/s of signal, counts/s
 * @param roundingFixed of that, rounding on the wire
 * @param roundingPerCount of that, rounding on the wire
 */
public record BinNoise(double fixed, double perCount, double roundingFixed, double roundingPerCount) {
    /**
     * From the sensor model.
     *
     * @param gain electrons per count
     * @param readCounts noise of a scan without light (readout and the dark's shot noise), counts
     * @param channelsPerSample channels averaged into a sample
     * @param used scans averaged
     * @param darkScans dark scans averaged; 0 counts as one
     * @param boundSigma largest rounding error in units of the bin's own noise
     * @param exposureS exposure, s
     */
    static BinNoise of(
            double gain,
            double readCounts,
            int channelsPerSample,
            int used,
            int darkScans,
            double boundSigma,
            double exposureS) {
        double scans = (double) Math.max(1, used) * channelsPerSample;
        double darks = (double) Math.max(1, darkScans) * channelsPerSample;
        double rounding = boundSigma * boundSigma / (3 * Math.max(1, used));
        double read = readCounts * readCounts;
        double perSecond2 = exposureS * exposureS;
        double grid = 1.0 / (1 << BinRecord.FRACTION_BITS) / (1 << BinRecord.FRACTION_BITS) / 3;
        return new BinNoise(
                (read * (1 / scans + 1 / darks + rounding) + grid) / perSecond2,
                (1 / scans + rounding) / gain / exposureS,
                (read * rounding + grid) / perSecond2,
                rounding / gain / exposureS);
    }

    /** Variance at this many counts per second. */
    double variance(double countsPerSecond) {
        return fixed + perCount * Math.max(0, countsPerSecond);
    }

    /** Variance of the rounding alone. */
    double roundingVariance(double countsPerSecond) {
        return roundingFixed + roundingPerCount * Math.max(0, countsPerSecond);
    }
}
