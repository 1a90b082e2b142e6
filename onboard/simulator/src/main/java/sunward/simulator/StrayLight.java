package sunward.simulator;

import java.util.Arrays;

/**
 * Light that lands in the wrong channel: a share that falls evenly on all channels (rank one), and a share that falls on
 * the neighbourhood with weight exp(-distance / length). The neighbourhood's sums run over the whole grid by two
 * recursions, so that neither part is cut off: beside the full matrix the error is that of rounding. A channel keeps what it does not give
 * away. In a thinned flight each channel stands for its share of the wavelength range. Shapes invented.
 */
final class StrayLight {
    private static final double HALO_NM = 8;

    private final double even;
    private final double halo;
    private final double[] width;
    /** Of channel k to channel k - 1. */
    private final double[] fall;

    private final double widths;
    private final double[] neighbourhood;
    private final double[] near;

    /**
     * @param nm wavelengths, rising
     * @param even share of the even part, 0 to 1
     * @param halo share of the neighbourhood's part, 0 to 1
     */
    StrayLight(double[] nm, double even, double halo) {
        int n = nm.length;
        this.even = even;
        this.halo = halo;
        width = new double[n];
        fall = new double[n];
        near = new double[n];
        for (int k = 0; k < n; k++) {
            width[k] = n == 1 ? 1 : nm[Math.min(k + 1, n - 1)] - nm[Math.max(k - 1, 0)];
            fall[k] = k == 0 ? 0 : Math.exp(-(nm[k] - nm[k - 1]) / HALO_NM);
        }
        widths = Arrays.stream(width).sum();
        neighbourhood = new double[n];
        double[] ones = new double[n];
        Arrays.fill(ones, 1);
        around(ones, neighbourhood);
    }

    /** Sums of width times value over the neighbourhood of every channel. */
    private void around(double[] of, double[] into) {
        double sum = 0;
        for (int k = 0; k < of.length; k++) {
            sum = sum * fall[k] + width[k] * of[k];
            into[k] = sum;
        }
        sum = 0;
        for (int k = of.length - 1; k >= 0; k--) {
            into[k] += sum;
            sum = (sum + width[k] * of[k]) * fall[k];
        }
    }

    /** Spreads a signal, in place. Not for several threads at once. */
    void spread(double[] signal) {
        double mean = 0;
        for (int k = 0; k < width.length; k++) {
            mean += width[k] * signal[k] / widths;
        }
        around(signal, near);
        for (int k = 0; k < width.length; k++) {
            signal[k] = (1 - even - halo) * signal[k] + even * mean + halo * near[k] / neighbourhood[k];
        }
    }
}
