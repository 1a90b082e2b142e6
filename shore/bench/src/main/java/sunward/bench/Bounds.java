package sunward.bench;

import java.util.Arrays;
import org.hipparchus.linear.EigenDecompositionSymmetric;
import org.hipparchus.linear.MatrixUtils;

/**
 * What coding the noise alone must cost, were everything else known (C. E. Shannon 1959; reverse water-filling: T. M. Cover
 * and J. A. Thomas, Elements of Information Theory, 1991, section 10.3); with what the signal
 * adds: {@link JointBound}.
 */
final class Bounds {
    /** Differential entropy of a unit Gaussian, bit. */
    private static final double GAUSSIAN_BITS = 0.5 * Math.log(2 * Math.PI * Math.E) / Math.log(2);

    private Bounds() {}

    /** Bytes for an error of at most one standard deviation in every sample: h(N) - log2(2). */
    static double samplesBytes(DiveBins dive) {
        return dive.samples() * (GAUSSIAN_BITS - 1) / 8;
    }

    /** Bytes for a mean squared error of 0.09 in the bands' own variances, over all bins. */
    static double binsBytes(DiveBins dive) {
        double[] eigen = correlation(dive.bands(), dive.channelNm().size()).getEigenvalues();
        double level = level(eigen);
        double bits = Arrays.stream(eigen)
                .filter(v -> v > level)
                .map(v -> 0.5 * Math.log(v / level) / Math.log(2))
                .sum();
        return dive.bins().size() * bits / 8;
    }

    /** How the noise of the bands hangs together, channels being independent. */
    static EigenDecompositionSymmetric correlation(Bands bands, int channels) {
        double[][] covariance = new double[Bands.COUNT][Bands.COUNT];
        double[] ones = new double[channels];
        Arrays.fill(ones, 1);
        for (int a = 0; a < Bands.COUNT; a++) {
            for (int b = 0; b < Bands.COUNT; b++) {
                double sum = 0;
                for (int c = 0; c < channels; c++) {
                    sum += bands.weight(a, c) * bands.weight(b, c);
                }
                covariance[a][b] = sum / Math.sqrt(bands.variance(ones, a) * bands.variance(ones, b));
            }
        }
        return new EigenDecompositionSymmetric(MatrixUtils.createRealMatrix(covariance));
    }

    /** The level of water at which a mean squared error of 0.09 is left. */
    static double level(double[] eigen) {
        double allowed = 0.09 * Bands.COUNT;
        double low = 0;
        double high = 1;
        for (int i = 0; i < 100; i++) {
            double level = (low + high) / 2;
            double left = Arrays.stream(eigen)
                    .map(v -> Math.min(level, Math.max(0, v)))
                    .sum();
            if (left > allowed) {
                high = level;
            } else {
                low = level;
            }
        }
        return low;
    }
}
