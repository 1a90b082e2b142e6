package sunward.firmware;

import java.util.Arrays;

/**
 * The mean dark of a head at an exposure near one moment: an exact sum over the darks nearest to it, moved along by
 * adding the darks that enter and taking off those that leave.
 */
final class DarkWindow {
    /** Darks in the mean where so many exist: their noise is then small beside that of a bin. */
    private static final int WANTED = 16;

    private final ScanStore scans;
    private final int[] sums;
    private int head = -1;
    private int exposureCode = -1;
    private int low;
    private int high = -1;
    private int count;

    DarkWindow(ScanStore scans, int maxChannels) {
        this.scans = scans;
        sums = new int[maxChannels];
    }

    int ramBytes() {
        return 4 * sums.length;
    }

    /** Forgets everything: the store has changed. */
    void clear() {
        head = -1;
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
        return found;
    }

    private void add(int scan, int channels, int sign) {
        scans.load(scan, channels);
        for (int c = 0; c < channels; c++) {
            sums[c] += sign * scans.count(c);
        }
    }

    /** Mean dark of a channel, in units of 2^-{@code bits} count, rounded; the window must not be empty. */
    int mean(int channel, int bits) {
        return (int) ((((long) sums[channel] << (bits + 1)) / count + 1) >> 1);
    }
}
