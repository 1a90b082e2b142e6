package sunward.watch.trouble;

import java.util.Arrays;

/**
 * A steady change along a series: the slope by Theil (1950) and Sen (1968), the median of the slopes of all pairs, and how
 * often a series without any order would look as ordered, by the exact distribution of Kendall's S (Mann 1945, Kendall 1938).
 *
 * @param slope change of the value for each step of the place
 * @param chance two-sided probability of an S at least as large without any trend
 */
record Trend(double slope, double chance) {
    /** Fewer values show nothing. */
    static final int FEWEST = 5;

    /**
     * The trend of values at increasing places.
     *
     * @throws IllegalArgumentException when there are fewer than {@value #FEWEST}
     */
    static Trend of(double[] place, double[] value) {
        int n = value.length;
        if (n < FEWEST) {
            throw new IllegalArgumentException("values=" + n);
        }
        double[] slopes = new double[n * (n - 1) / 2];
        int pairs = 0;
        int s = 0;
        for (int i = 0; i < n; i++) {
            for (int j = i + 1; j < n; j++) {
                slopes[pairs++] = (value[j] - value[i]) / (place[j] - place[i]);
                s += (int) Math.signum(value[j] - value[i]);
            }
        }
        Arrays.sort(slopes);
        double middle = (slopes[(pairs - 1) / 2] + slopes[pairs / 2]) / 2;
        return new Trend(middle, chance(n, Math.abs(s)));
    }

    /** Of all orders of n values, the share whose |S| is at least {@code s}: S = n(n-1)/2 - 2 inversions. */
    private static double chance(int n, int s) {
        int most = n * (n - 1) / 2;
        // share[k]: of all orders of the values so far, those with k inversions.
        double[] share = new double[most + 1];
        share[0] = 1;
        for (int size = 2; size <= n; size++) {
            double[] next = new double[most + 1];
            for (int k = 0; k <= most; k++) {
                for (int more = 0; more < size && more <= k; more++) {
                    next[k] += share[k - more] / size;
                }
            }
            share = next;
        }
        double tail = 0;
        for (int k = 0; most - 2 * k >= s && k <= most; k++) {
            tail += share[k];
        }
        return s == 0 ? 1 : Math.min(1, 2 * tail);
    }
}
