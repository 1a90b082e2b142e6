package sunward.protocol.spectra;

/**
 * One way of writing bins into message bodies. A codec is found by its number in {@link Codecs}; adding one is adding it
 * there. Neither side allocates after construction, and both agree to the bit: all arithmetic that feeds back is
 * integer.
 */
public interface BlockCodec {
    /** The codec's number on the wire, 1 to 15. */
    int number();

    /** A new encoder for bins of at most this many samples, 16 to 1024. */
    default Encoder encoder(int maxSamples) {
        return encoder(maxSamples, new Workspace());
    }

    /** The same, in memory that it may share with others that are not at work between its {@code begin} and {@code finish}. */
    Encoder encoder(int maxSamples, Workspace work);

    /** A new decoder for bins of at most this many samples, 16 to 1024. */
    Decoder decoder(int maxSamples);

    /** True for spectra that it can write: so many samples, each of so many channels. */
    boolean carries(int samples, int channelsPerSample);

    /**
     * The largest error that a step can cause in a sample, in standard deviations of the bin's own noise (shot and
     * read); of a {@link #bandwise} codec sqrt(3) times the error of bands, rms, in standard deviations of theirs. Either way
     * a third of its square is the variance to expect.
     *
     * @param stepCode precision, 0 (finest) to 15
     */
    double errorBoundSigma(int stepCode);

    /** True when the codec is held to bands of 10 nm, and leaves out what they do not see. */
    default boolean bandwise() {
        return false;
    }

    /** Writes bins, one after another, into one body; state is reset by {@link #begin}. */
    interface Encoder {
        /** Starts a body in {@code body[offset .. limit)}; the caller keeps the array. */
        void begin(byte[] body, int offset, int limit, BlockHeader header);

        /**
         * Adds a bin if it fits.
         *
         * @param stepCode precision, 0 (finest) to 15
         * @return false when it does not fit: the body then stands as before the call
         */
        boolean add(BinRecord bin, int stepCode);

        /** Bytes that the body takes if it were finished now: the exact cost. */
        int costBytes();

        /** Ends the body and returns its length in bytes. */
        int finish();
    }

    /** Reads what an encoder wrote; hostile bytes end in {@link #SPOILT}, never in an exception or an endless loop. */
    interface Decoder {
        /** A bin was read. */
        int BIN = 1;

        /** The block ended well. */
        int END = 0;

        /** The bytes are not what an encoder of this number writes. */
        int SPOILT = -1;

        /**
         * Starts on a body.
         *
         * @return {@link #END} when the header is sound (it may hold no bins), else {@link #SPOILT}
         */
        int begin(byte[] body, int offset, int length, BlockHeader header);

        /**
         * Reads the next bin. Samples come out as 1/64 counts; {@code stepCode} of the bin is {@link #stepCode()}.
         *
         * @return {@link #BIN}, {@link #END} or {@link #SPOILT}
         */
        int next(BinRecord into);

        /** Precision code of the bin last read. */
        int stepCode();
    }
}
