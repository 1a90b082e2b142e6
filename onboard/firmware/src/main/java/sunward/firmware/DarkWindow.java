package sunward.firmware;

import java.util.Arrays;
import sunward.protocol.spectra.BinRecord;

/**
 * The mean dark of a head at an exposure near one moment: an exact sum over the darks nearest to it, moved along by
 * adding the darks that enter and taking off those that leave; then carried to the temperature of that moment.
 *
 * <p>Next to a change of exposure all darks lie on one side of the moment, in warmer or colder water, so their mean alone
 * would be off by the drift in between. The drift is taken as common to all channels: the straight line, by least squares,
 * of each dark's mean over its channels against the head's temperature. That mean is quieter than a channel by the root
 * of their number, so the line adds next to no noise, even at its ends.
 *
 * <p>Where a channel stands beside the others is told by {@link DarkPattern} from all darks of the head, unless the window says
 * clearly otherwise: then by the window.
 */
final class DarkWindow {
    /** Darks in the mean where so many exist: their noise is then small beside that of a bin. */
    private static final int WANTED = 16;

    /** Fewer darks, or darks within a smaller span of temperature (0.01 degC), draw no line. */
    private static final int FEWEST_FOR_DRIFT = 4;

    private static final int SMALLEST_SPAN_CDEG = 20;

    /** Counts, over the root of the window's darks, by which a channel may differ from its pattern: five times a usual read noise. */
    private static final int DOUBT_COUNTS = 40;

    private final ScanStore scans;
    private final DarkPattern pattern;
    private final int[] sums;
    private int head = -1;
    private int exposureCode = -1;
    private int low;
    private int high = -1;
    private int count;
    private int drift; // 1/64 count
    private double level; // mean over channels of the window, 1/64 count
    private int doubt; // 1/64 count

    DarkWindow(ScanStore scans, int maxChannels) {
        this.scans = scans;
        sums = new int[maxChannels];
        pattern = new DarkPattern(scans, maxChannels);
    }

    int ramBytes() {
        return 4 * sums.length + pattern.ramBytes();
    }

    /** Forgets everything: the store has changed. */
    void clear() {
        head = -1;
        pattern.clear();
    }

    /**
     * Moves to the darks nearest to a scan (in order of arrival).
     *
     * @return how many darks there are in the mean, 0 when the head has none at this exposure
     */
    int move(int toHead, int toExposureCode, int scan, int channels) {
        int left = scan - 1;
        int right = scan;
        int found = 0;
        int newLow = scan;
        int newHigh = scan - 1;
        while (found < WANTED && (left >= 0 || right < scans.size())) {
            if (left >= 0) {
                if (scans.darkOf(left, toHead, toExposureCode)) {
                    newLow = left;
                    found++;
                }
                left--;
            }
            if (right < scans.size() && found < WANTED) {
                if (scans.darkOf(right, toHead, toExposureCode)) {
                    newHigh = right;
                    found++;
                }
                right++;
            }
        }
        if (toHead != head || toExposureCode != exposureCode) {
            head = toHead;
            exposureCode = toExposureCode;
            Arrays.fill(sums, 0);
            low = 0;
            high = -1;
        }
        for (int i = low; i <= high; i++) {
            if ((i < newLow || i > newHigh) && scans.darkOf(i, head, exposureCode)) {
                add(i, channels, -1);
            }
        }
        for (int i = newLow; i <= newHigh; i++) {
            if ((i < low || i > high) && scans.darkOf(i, head, exposureCode)) {
                add(i, channels, 1);
            }
        }
        low = newLow;
        high = newHigh;
        count = found;
        drift = 0;
        settle(channels);
        return found;
    }

    /** What {@link #mean} compares pattern and window by. */
    private void settle(int channels) {
        pattern.learn(head, channels);
        long sum = 0;
        for (int c = 0; c < channels; c++) {
            sum += sums[c];
        }
        double darks = Math.max(1, count);
        level = (sum << BinRecord.FRACTION_BITS) / (darks * channels);
        doubt = (int) (DOUBT_COUNTS * (1 << BinRecord.FRACTION_BITS) / Math.sqrt(darks));
    }

    /**
     * Carries the mean of the window to a temperature of the head, 0.01 degC; holds until the next move. Nothing is carried
     * when a temperature is missing, and never further than the darks' own span beyond them: one wild reading stays harmless.
     */
    void carryTo(int cdeg, int channels) {
        drift = 0;
        int coldest = Integer.MAX_VALUE;
        int warmest = Integer.MIN_VALUE;
        long sumT = 0;
        long sumL = 0;
        for (int i = low; i <= high; i++) {
            if (scans.darkOf(i, head, exposureCode)) {
                scans.load(i, 0);
                coldest = Math.min(coldest, scans.temperatureCdeg());
                warmest = Math.max(warmest, scans.temperatureCdeg());
                sumT += scans.temperatureCdeg();
                sumL += scans.sum();
            }
        }
        int span = warmest - coldest;
        boolean missing = cdeg == ScanStore.NO_TEMPERATURE || coldest == ScanStore.NO_TEMPERATURE;
        if (missing || count < FEWEST_FOR_DRIFT || span < SMALLEST_SPAN_CDEG) {
            return;
        }
        int to = Math.max(coldest - span, Math.min(warmest + span, cdeg));
        double meanT = sumT / (double) count;
        double meanL = sumL / (double) count;
        double squares = 0;
        double products = 0;
        for (int i = low; i <= high; i++) {
            if (scans.darkOf(i, head, exposureCode)) {
                scans.load(i, 0);
                double t = scans.temperatureCdeg() - meanT;
                squares += t * t;
                products += t * (scans.sum() - meanL);
            }
        }
        double counts = products / squares * (to - meanT) / channels;
        drift = (int) Math.floor(counts * (1 << BinRecord.FRACTION_BITS) + 0.5);
    }

    /** Variance of a channel's reading without light in the window, counts^2, as carried; 0 when not known. */
    double variance(double electronsPerCount) {
        return pattern.variance((level + drift) / (1 << BinRecord.FRACTION_BITS), electronsPerCount);
    }

    private void add(int scan, int channels, int sign) {
        scans.load(scan, channels);
        for (int c = 0; c < channels; c++) {
            sums[c] += sign * scans.count(c);
        }
    }

    /** Dark of a channel, 1/64 count, rounded; the window must not be empty. */
    int mean(int channel) {
        int bits = BinRecord.FRACTION_BITS;
        int here = (int) ((((long) sums[channel] << (bits + 1)) / count + 1) >> 1);
        int common = (int) Math.floor(level + 0.5);
        boolean told = pattern.known() && Math.abs(common + pattern.over(channel, level) - here) <= doubt;
        return drift + (told ? common + pattern.over(channel, level + drift) : here);
    }
}
