package sunward.protocol.spectra;

/**
 * The wavelengths of a head's channels, evenly spaced, and of the samples that groups of channels are averaged into.
 *
 * @param firstNm centre of channel 0, nm, in air
 * @param stepNm distance between channels, nm, positive
 * @param channels how many, 16 to 1024
 * @param channelsPerSample neighbours averaged into a sample, 1 to 64; the last sample may hold fewer
 */
public record WavelengthGrid(double firstNm, double stepNm, int channels, int channelsPerSample) {
    /** Fewest and most channels. */
    public static final int MIN_CHANNELS = 16;

    /** See {@link #MIN_CHANNELS}. */
    public static final int MAX_CHANNELS = 1024;

    /** Most channels averaged into one sample. */
    public static final int MAX_CHANNELS_PER_SAMPLE = 64;

    /** Checks the values; an {@link IllegalArgumentException} names the one at fault. */
    public WavelengthGrid {
        if (!(firstNm > 0) || !(stepNm > 0)) {
            throw new IllegalArgumentException("first " + firstNm + " nm and step " + stepNm + " nm must be positive");
        }
        if (channels < MIN_CHANNELS || channels > MAX_CHANNELS) {
            throw new IllegalArgumentException("channels " + channels + " must be 16 to 1024");
        }
        if (channelsPerSample < 1 || channelsPerSample > MAX_CHANNELS_PER_SAMPLE) {
            throw new IllegalArgumentException("channels per sample " + channelsPerSample + " must be 1 to 64");
        }
    }

    /** Samples of a spectrum. */
    public int samples() {
        return samples(channels, channelsPerSample);
    }

    /** Samples that this many channels make in groups of this many. */
    public static int samples(int channels, int channelsPerSample) {
        return (channels + channelsPerSample - 1) / channelsPerSample;
    }

    /** First channel of a sample. */
    public int firstChannel(int sample) {
        return sample * channelsPerSample;
    }

    /** One after the last channel of a sample. */
    public int endChannel(int sample) {
        return Math.min(channels, firstChannel(sample) + channelsPerSample);
    }

    /** Centre of a sample: the mean of its channels' centres, nm. */
    public double sampleNm(int sample) {
        return firstNm + stepNm * (firstChannel(sample) + endChannel(sample) - 1) / 2;
    }
}
