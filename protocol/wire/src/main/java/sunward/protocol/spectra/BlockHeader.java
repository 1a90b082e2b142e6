package sunward.protocol.spectra;

/**
 * What opens the body of a spectral block: everything that decoding it to counts needs beside the tables. Mutable and
 * reused.
 */
public final class BlockHeader {
    /** Codec number, 1 to 15. */
    public int codec;

    /** Head of all bins of the block, 0 to 3. */
    public int head;

    /** Samples per bin, 1 to 1024. */
    public int samples;

    /** Channels averaged into each sample, 1 to 64; the last sample may hold fewer. */
    public int channelsPerSample;

    /** Electrons per count, in sixteenths, 1 to 16383. */
    public int gainSixteenths;

    /**
     * Noise of one scan without light (of bins: readout and the dark's shot noise, the least of the message's; else the plan's
     * read noise), in quarters of a count, 0 to 4095.
     */
    public int readNoiseQuarters;

    /** First four bytes of the calibration digest. */
    public int calibrationTag;

    /** First four bytes of the plan digest. */
    public int planTag;

    /** Copies every field of another header. */
    public void copyFrom(BlockHeader other) {
        codec = other.codec;
        head = other.head;
        samples = other.samples;
        channelsPerSample = other.channelsPerSample;
        gainSixteenths = other.gainSixteenths;
        readNoiseQuarters = other.readNoiseQuarters;
        calibrationTag = other.calibrationTag;
        planTag = other.planTag;
    }
}
