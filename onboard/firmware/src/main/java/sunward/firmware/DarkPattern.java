package sunward.firmware;

import java.util.Arrays;
import sunward.protocol.spectra.BinRecord;

/**
 * How each channel's dark stands out from the mean of all channels: a straight line, by least squares, against that mean, over
 * all darks of a head in the dive; and how much a channel's readings scatter about that line, which is the noise of a scan
 * without light.
 *
 * <p>What a channel has beside the others is its offset and its share of the thermal signal, and the mean tells how much
 * thermal signal there is, be it from exposure or warmth. Against the few darks near a moment, a hundred and more quieten the
 * dark so far that bins carry next to no noise but their own.
 */
final class DarkPattern {
    /** Fewer darks draw no line. */
    private static final int FEWEST = 12;

    /** What a line takes from the freedom of a channel's darks. */
    private static final int LINE = 2;

    /** Rounds of leaving out what lies so many deviations off: a hot channel, which no line follows, is not noise. */
    private static final int ROUNDS = 3;

    private static final double FAR = 5;

    private final ScanStore scans;
    private final float[] middle; // counts over the mean of channels
    private final float[] slope; // counts per count of that mean
    private int head = -1;
    private int darks;
    private double meanLevel;
    private double restVariance; // counts^2

    DarkPattern(ScanStore scans, int maxChannels) {
        this.scans = scans;
        middle = new float[maxChannels];
        slope = new float[maxChannels];
    }

    int ramBytes() {
        return 4 * (middle.length + slope.length);
    }

    /** Forgets everything: the store has changed. */
    void clear() {
        head = -1;
    }

    /** Takes the darks of a head, if it is not the one they were taken of. */
    void learn(int ofHead, int channels) {
        if (ofHead == head) {
            return;
        }
        head = ofHead;
        darks = 0;
        double levels = 0;
        for (int i = 0; i < scans.size(); i++) {
            if (isDark(i)) {
                scans.load(i, 0);
                levels += scans.sum() / (double) channels;
                darks++;
            }
        }
        Arrays.fill(middle, 0);
        Arrays.fill(slope, 0);
        meanLevel = darks == 0 ? 0 : levels / darks;
        double squares = 0;
        for (int i = 0; i < scans.size(); i++) {
            if (isDark(i)) {
                scans.load(i, channels);
                double level = scans.sum() / (double) channels;
                double off = level - meanLevel;
                squares += off * off;
                for (int c = 0; c < channels; c++) {
                    double out = scans.count(c) - level;
                    middle[c] += (float) out;
                    slope[c] += (float) (off * out);
                }
            }
        }
        for (int c = 0; c < channels; c++) {
            middle[c] /= Math.max(1, darks);
            slope[c] = squares < darks ? 0 : (float) (slope[c] / squares);
        }
        restVariance = Double.POSITIVE_INFINITY;
        for (int round = 0; round < ROUNDS && known(); round++) {
            restVariance = scatter(FAR * FAR * restVariance, channels) * darks / (darks - LINE);
        }
    }

    /** Mean square of the darks' channels about their lines, counts^2, without squares beyond a limit. */
    private double scatter(double limit, int channels) {
        double sum = 0;
        int taken = 0;
        for (int i = 0; i < scans.size(); i++) {
            if (isDark(i)) {
                scans.load(i, channels);
                double level = scans.sum() / (double) channels;
                for (int c = 0; c < channels; c++) {
                    double left = scans.count(c) - level - middle[c] - slope[c] * (level - meanLevel);
                    boolean near = left * left <= limit;
                    sum += near ? left * left : 0;
                    taken += near ? 1 : 0;
                }
            }
        }
        return sum / Math.max(1, taken);
    }

    /**
     * Variance of a channel's reading without light where the mean of channels is {@code level} counts: what the darks scatter
     * by at their mean level, and shot noise for what the level differs from that.
     *
     * @param electronsPerCount gain of the head
     * @return counts^2; 0 when there were too few darks to tell
     */
    double variance(double level, double electronsPerCount) {
        return known() ? Math.max(0, restVariance + (level - meanLevel) / electronsPerCount) : 0;
    }

    private boolean isDark(int scan) {
        return scans.dark(scan) && scans.head(scan) == head;
    }

    /** True when there were enough darks. */
    boolean known() {
        return darks >= FEWEST;
    }

    /** A channel's dark over the mean of channels where that mean is {@code level}; both in 1/64 count. */
    int over(int channel, double level) {
        double off = level / (1 << BinRecord.FRACTION_BITS) - meanLevel;
        return (int) Math.floor((middle[channel] + slope[channel] * off) * (1 << BinRecord.FRACTION_BITS) + 0.5);
    }
}
