package sunward.profiles;

/** Where the samples of a block lie: each is the mean of neighbouring channels. */
final class SampleGrid {
    private SampleGrid() {}

    /** Centre of each sample: the mean of its channels' centres; the last sample may hold fewer channels. */
    static double[] wavelengthsNm(double[] channelNm, int channelsPerSample) {
        double[] centres = new double[(channelNm.length + channelsPerSample - 1) / channelsPerSample];
        for (int k = 0; k < centres.length; k++) {
            int from = k * channelsPerSample;
            int to = Math.min(channelNm.length, from + channelsPerSample);
            for (int c = from; c < to; c++) {
                centres[k] += channelNm[c] / (to - from);
            }
        }
        return centres;
    }
}
