package sunward.profiles;

/**
 * The bins of one wavelength that a {@link SurfaceFit} looks at, as columns; and the bins that were sent and not received.
 * Everything but the radiances is known without them, so weights do not follow noise.
 */
final class FitBins {
    /** Number of each bin in its caller's own list. */
    final int[] source;

    /** Head of each bin, from 0. */
    final int[] head;

    /** Mean depth, m. */
    final double[] depthM;

    /** Variance of the depth within the bin, m^2. */
    final double[] depthVarianceM2;

    /** Relative standard deviation of the bin's mean that waves are expected to leave. */
    final double[] waves;

    /** Radiance, W m-2 nm-1 sr-1; any sign. */
    final double[] radiance;

    /** Variance that does not depend on the radiance. */
    final double[] fixed;

    /** Variance per radiance. */
    final double[] perRadiance;

    /** The part of {@link #fixed} that is rounding on the wire. */
    final double[] roundingFixed;

    /** The part of {@link #perRadiance} that is rounding on the wire. */
    final double[] roundingPerRadiance;

    /** Error that all bins may share, left by the codec, in standard deviations of the noise. */
    final double[] shared;

    /** How long before the surfacing each bin was read, s, not negative. */
    final double[] ageS;

    /** Variance of the logarithm of brightness per second, while clouds pass; 0: the light is steady. */
    double walkPerS;

    /** Depths of bins that may be missing, m, with the bin (of the columns above) whose noise they would have had. */
    double[] missingDepthM = new double[0];

    /** For each of them, a bin of the same head nearby. */
    int[] missingLike = new int[0];

    /** For each of them, the chance that it was sent and lost, 0 to 1. */
    double[] missingChance = new double[0];

    FitBins(int count) {
        source = new int[count];
        head = new int[count];
        depthM = new double[count];
        depthVarianceM2 = new double[count];
        waves = new double[count];
        radiance = new double[count];
        fixed = new double[count];
        perRadiance = new double[count];
        roundingFixed = new double[count];
        roundingPerRadiance = new double[count];
        shared = new double[count];
        ageS = new double[count];
    }

    int count() {
        return head.length;
    }
}
