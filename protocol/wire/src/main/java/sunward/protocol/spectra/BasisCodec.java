package sunward.protocol.spectra;

/**
 * Codec number 2: bins of the reference heads' 720 channels by a trained basis, as closely as 10-nm bands can tell. Header
 * and fields are those of codec 1.
 *
 * <p>Fields come back as they do there. Samples come back without the noise that bands of 10 nm do not see: at step code 8
 * the error of Gaussian bands of 10 nm from 400 to 700 nm is about 0.3 of the bands' own noise, a factor 2^(1/4) more or
 * less for each code; a single sample differs by about its own noise. What the basis cannot follow is coded cell by cell
 * or stated, see {@link BinRecord#misfit}.
 */
public final class BasisCodec implements BlockCodec {
    /** Number on the wire. */
    public static final int NUMBER = 2;

    /** Band error at step code 8, rms, in noise of the band. */
    private static final double BAND_ERROR = 0.3;

    BasisCodec() {}

    @Override
    public int number() {
        return NUMBER;
    }

    @Override
    public boolean carries(int samples, int channelsPerSample) {
        return samples == BasisTable.CHANNELS && channelsPerSample == 1;
    }

    @Override
    public Encoder encoder(int maxSamples, Workspace work) {
        return new BinStream.Writer(NUMBER, maxSamples, new BasisCoder(work), work);
    }

    @Override
    public Decoder decoder(int maxSamples) {
        Workspace work = new Workspace();
        return new BinStream.Reader(NUMBER, maxSamples, new BasisCoder(work), work);
    }

    /** From the error of bands to expect; of a sample there is no bound but {@link BinRecord#misfit}. */
    @Override
    public double errorBoundSigma(int stepCode) {
        return Math.sqrt(3) * BAND_ERROR * Math.sqrt(Math.sqrt(1 << stepCode)) / 4;
    }

    @Override
    public boolean bandwise() {
        return true;
    }
}
