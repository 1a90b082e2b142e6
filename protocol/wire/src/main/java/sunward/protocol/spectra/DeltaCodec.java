package sunward.protocol.spectra;

/**
 * Codec number 1: a header of {@value #HEADER_BYTES} bytes, then one range-coded stream of bins, each after a bit that
 * says that there is one. Bins without samples carry their fields alone. State starts afresh with each body.
 *
 * <p>Fields come back as they went in, held to the ranges of WIRE.md; scatter comes back to an eighth of itself. Samples
 * come back within {@link #errorBoundSigma} times the sample's standard deviation (at the larger of the two counts)
 * plus 1/64 count.
 */
public final class DeltaCodec implements BlockCodec {
    /** Number on the wire. */
    public static final int NUMBER = 1;

    /** Bytes before the stream of bins. */
    public static final int HEADER_BYTES = 18;

    /** Most bins in a body. */
    public static final int MAX_BINS = 1024;

    DeltaCodec() {}

    @Override
    public int number() {
        return NUMBER;
    }

    @Override
    public boolean carries(int samples, int channelsPerSample) {
        return true;
    }

    @Override
    public Encoder encoder(int maxSamples, Workspace work) {
        return new BinStream.Writer(NUMBER, maxSamples, new SpectrumCoder(maxSamples, work), work);
    }

    @Override
    public Decoder decoder(int maxSamples) {
        Workspace work = new Workspace();
        return new BinStream.Reader(NUMBER, maxSamples, new SpectrumCoder(maxSamples, work), work);
    }

    /**
     * Half a step, {@code 2^(stepCode/2 - 3)}, and the rounding of levels, which shows only where more than some
     * thousand readings stand behind a sample.
     */
    @Override
    public double errorBoundSigma(int stepCode) {
        return Math.sqrt(1 << stepCode) / 8;
    }
}
