package sunward.protocol.spectra;

import sunward.protocol.bits.BitModels;
import sunward.protocol.bits.RangeDecoder;
import sunward.protocol.bits.RangeEncoder;

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

    private static final int MORE = BinFields.MODELS;
    private static final int RESIDUALS = MORE + 1;
    private static final int MODELS = RESIDUALS + SpectrumCoder.MODELS;

    DeltaCodec() {}

    @Override
    public int number() {
        return NUMBER;
    }

    @Override
    public Encoder encoder(int maxSamples) {
        return new DeltaEncoder(maxSamples);
    }

    @Override
    public Decoder decoder(int maxSamples) {
        return new DeltaDecoder(maxSamples);
    }

    /**
     * Half a step, {@code 2^(stepCode/2 - 3)}, and the rounding of levels, which shows only where more than some
     * thousand readings stand behind a sample.
     */
    @Override
    public double errorBoundSigma(int stepCode) {
        return Math.sqrt(1 << stepCode) / 8;
    }

    /** What both ends keep between bins. */
    private static class State {
        final BitModels models = new BitModels(MODELS);
        final BinFields fields = new BinFields();
        final SpectrumCoder spectrum;
        final int maxSamples;
        int bins;

        State(int maxSamples) {
            if (maxSamples < 1 || maxSamples > WavelengthGrid.MAX_CHANNELS) {
                throw new IllegalArgumentException("samples " + maxSamples + " must be 1 to 1024");
            }
            this.maxSamples = maxSamples;
            spectrum = new SpectrumCoder(maxSamples);
        }

        void reset(BlockHeader header, int baseTime) {
            bins = 0;
            fields.reset(models, baseTime);
            models.set(MORE, BitModels.ONE / 8, BitModels.FROZEN);
            spectrum.reset(models, RESIDUALS, header);
        }

        void advance(boolean withSpectrum) {
            if (withSpectrum) {
                spectrum.advance(fields);
            }
            fields.advance(models, bins == 0);
            bins++;
        }
    }

    private static final class DeltaEncoder extends State implements Encoder {
        private final RangeEncoder coder = new RangeEncoder();
        private final RangeEncoder savedCoder = new RangeEncoder();
        private final RangeEncoder ending = new RangeEncoder();
        private final BitModels savedModels = new BitModels(MODELS);
        private final BlockHeader header = new BlockHeader();
        private byte[] body = new byte[0];
        private int offset;
        private int cost;

        DeltaEncoder(int maxSamples) {
            super(maxSamples);
        }

        @Override
        public void begin(byte[] bytes, int start, int limit, BlockHeader blockHeader) {
            if (limit - start < HEADER_BYTES) {
                throw new IllegalArgumentException(
                        "a body of " + (limit - start) + " bytes has no room for its header");
            }
            BlockHeaderBytes.check(blockHeader, maxSamples);
            body = bytes;
            offset = start;
            header.copyFrom(blockHeader);
            BlockHeaderBytes.write(header, 0, body, offset);
            coder.begin(body, offset + HEADER_BYTES, limit);
            reset(header, 0);
            cost = HEADER_BYTES + endedLength();
        }

        @Override
        public boolean add(BinRecord bin, int stepCode) {
            if (bin.samples != 0 && bin.samples != header.samples || bin.head != header.head) {
                throw new IllegalArgumentException("a bin of head " + bin.head + " with " + bin.samples
                        + " samples is not of the body of head " + header.head + " with " + header.samples);
            }
            if (bins == MAX_BINS) {
                return false;
            }
            fields.take(bin, stepCode);
            if (bins == 0) {
                BlockHeaderBytes.write(header, fields.get(BinFields.TIME), body, offset);
                fields.reset(models, fields.get(BinFields.TIME));
            }
            savedCoder.copyFrom(coder);
            savedModels.copyFrom(models);
            coder.bit(models, MORE, 1);
            fields.code(coder, models);
            if (bin.samples > 0) {
                spectrum.code(coder, models, RESIDUALS, fields, bin.counts, false);
            }
            return settle(bin.samples > 0);
        }

        /** Keeps the bin if a body that ends after it fits, else goes back to where it began. */
        private boolean settle(boolean withSpectrum) {
            int ended = endedLength();
            if (ended < 0) {
                coder.copyFrom(savedCoder);
                models.copyFrom(savedModels);
                return false;
            }
            cost = HEADER_BYTES + ended;
            advance(withSpectrum);
            return true;
        }

        /** Length of the stream if it ended here, or -1 when that does not fit; the state of the stream stays. */
        private int endedLength() {
            ending.copyFrom(coder);
            ending.bit(models, MORE, 0);
            ending.finish();
            return ending.fits() ? ending.length() : -1;
        }

        @Override
        public int costBytes() {
            return cost;
        }

        @Override
        public int finish() {
            endedLength();
            return cost;
        }
    }

    private static final class DeltaDecoder extends State implements Decoder {
        private final RangeDecoder coder = new RangeDecoder();
        private final BlockHeader header = new BlockHeader();
        private int streamOffset;
        private int state = SPOILT;

        DeltaDecoder(int maxSamples) {
            super(maxSamples);
        }

        @Override
        public int begin(byte[] body, int offset, int length, BlockHeader blockHeader) {
            state = SPOILT;
            boolean sound = length >= HEADER_BYTES && BlockHeaderBytes.read(body, offset, header, maxSamples);
            streamOffset = offset + HEADER_BYTES;
            if (sound && coder.begin(body, streamOffset, length - HEADER_BYTES)) {
                blockHeader.copyFrom(header);
                reset(header, BlockHeaderBytes.baseTime(body, offset));
                state = BIN;
            }
            return state == BIN ? END : SPOILT;
        }

        @Override
        public int next(BinRecord into) {
            if (state == BIN) {
                state = read(into);
            }
            return state;
        }

        private int read(BinRecord into) {
            if (coder.bit(models, MORE, 0) == 0) {
                return coder.endsHere(streamOffset) ? END : SPOILT;
            }
            if (bins == MAX_BINS || !fields.code(coder, models)) {
                return SPOILT;
            }
            boolean withSpectrum = fields.get(BinFields.SPECTRUM) == 1;
            if (withSpectrum && !spectrum.code(coder, models, RESIDUALS, fields, into.counts, true)) {
                return SPOILT;
            }
            fields.give(into);
            into.head = header.head;
            into.samples = withSpectrum ? header.samples : 0;
            advance(withSpectrum);
            return BIN;
        }

        @Override
        public int stepCode() {
            return fields.before(BinFields.STEP_CODE);
        }
    }
}
