package sunward.bench;

/**
 * The judge's bands: Gaussians of 10 nm full width at half maximum, every 2.5 nm from 400 to 700 nm, each normalised to
 * unit sum over the channels of a head.
 */
final class Bands {
    static final double FIRST_NM = 400;
    static final double STEP_NM = 2.5;
    static final int COUNT = 121;
    private static final double SIGMA_NM = 10 / 2.3548200450309493;
    private static final double REACH = 4;

    private final double sigmaNm;
    private final int[] from = new int[COUNT];
    private final double[][] weight = new double[COUNT][];

    /**
     * For a head.
     *
     * @param channelNm centres of its channels, ascending, reaching beyond the bands
     */
    Bands(double[] channelNm) {
        this(channelNm, 0);
    }

    /**
     * For spectra that are smoothed already: narrower by so much that the whole keeps its width.
     *
     * @param smoothedNm2 variance of the smoothing, nm^2
     */
    Bands(double[] channelNm, double smoothedNm2) {
        sigmaNm = Math.sqrt(SIGMA_NM * SIGMA_NM - smoothedNm2);
        for (int b = 0; b < COUNT; b++) {
            double centre = nm(b);
            int first = 0;
            while (channelNm[first] < centre - REACH * SIGMA_NM) {
                first++;
            }
            int end = first;
            double sum = 0;
            while (end < channelNm.length && channelNm[end] <= centre + REACH * SIGMA_NM) {
                sum += shape(channelNm[end++] - centre);
            }
            from[b] = first;
            weight[b] = new double[end - first];
            for (int i = 0; i < weight[b].length; i++) {
                weight[b][i] = shape(channelNm[first + i] - centre) / sum;
            }
        }
    }

    private double shape(double offNm) {
        return Math.exp(-0.5 * offNm * offNm / (sigmaNm * sigmaNm));
    }

    /** Centre of a band. */
    static double nm(int band) {
        return FIRST_NM + band * STEP_NM;
    }

    /** A band of a spectrum. */
    double of(double[] spectrum, int band) {
        double sum = 0;
        for (int i = 0; i < weight[band].length; i++) {
            sum += weight[band][i] * spectrum[from[band] + i];
        }
        return sum;
    }

    /** Variance of a band from those of the channels. */
    double variance(double[] variances, int band) {
        double sum = 0;
        for (int i = 0; i < weight[band].length; i++) {
            sum += weight[band][i] * weight[band][i] * variances[from[band] + i];
        }
        return sum;
    }

    /** Weight of a channel in a band. */
    double weight(int band, int channel) {
        int i = channel - from[band];
        return i >= 0 && i < weight[band].length ? weight[band][i] : 0;
    }
}
