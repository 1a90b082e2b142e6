package sunward.protocol.spectra;

import sunward.protocol.bits.BitModels;
import sunward.protocol.bits.RangeDecoder;
import sunward.protocol.bits.RangeEncoder;
import sunward.protocol.spectra.BlockCodec.Decoder;
import sunward.protocol.spectra.BlockCodec.Encoder;

/** The stream of bins that the codecs share: a header, then bins, each after a bit that says that there is one. */
final class BinStream {
    private static final int HEADER_BYTES = DeltaCodec.HEADER_BYTES;
    private static final int MAX_BINS = DeltaCodec.MAX_BINS;
    private static final int MORE = BinFields.MODELS;
    private static final int SPECTRUM = MORE + 1;

    private BinStream() {}

    /** What both ends keep between bins. */
    private static class State {
        final int number;
        final BitModels models;
        final BinFields fields;
        final SpectrumModel spectrum;
        final int maxSamples;
        int bins;

        State(int number, int maxSamples, SpectrumModel spectrum, Workspace work) {
            if (maxSamples < 1 || maxSamples > WavelengthGrid.MAX_CHANNELS) {
                throw new IllegalArgumentException("samples " + maxSamples + " must be 1 to 1024");
            }
            this.maxSamples = maxSamples;
            this.number = number;
            this.spectrum = spectrum;
            fields = spectrum.fields();
            models = work.models(SPECTRUM + spectrum.models());
        }

        void reset(BlockHeader header, int baseTime) {
            bins = 0;
            fields.reset(models, baseTime);
            models.set(MORE, BitModels.ONE / 8, BitModels.FROZEN);
            spectrum.reset(models, SPECTRUM, header);
        }

        void advance(boolean withSpectrum) {
            if (withSpectrum) {
                spectrum.advance(fields);
            }
            fields.advance(models, bins == 0);
            bins++;
        }
    }

    static final class Writer extends State implements Encoder {
        private final RangeEncoder coder = new RangeEncoder();
        private final RangeEncoder savedCoder = new RangeEncoder();
        private final RangeEncoder ending = new RangeEncoder();
        private final BitModels savedModels;
        private final BlockHeader header = new BlockHeader();
        private byte[] body = new byte[0];
        private int offset;
        private int cost;

        Writer(int number, int maxSamples, SpectrumModel spectrum, Workspace work) {
            super(number, maxSamples, spectrum, work);
            savedModels = work.models(models.size());
        }

        @Override
        public void begin(byte[] bytes, int start, int limit, BlockHeader blockHeader) {
            if (limit - start < HEADER_BYTES) {
                throw new IllegalArgumentException(
                        "a body of " + (limit - start) + " bytes has no room for its header");
            }
            BlockHeaderBytes.check(blockHeader, number, maxSamples);
            if (!spectrum.carries(blockHeader.samples, blockHeader.channelsPerSample)) {
                throw new IllegalArgumentException("codec " + number + " does not carry " + blockHeader.samples
                        + " samples of " + blockHeader.channelsPerSample + " channels");
            }
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
            boolean taken = code(bin);
            while (!taken && bins == 0 && bin.samples > 0 && spectrum.spare()) {
                taken = code(bin);
            }
            return taken;
        }

        private boolean code(BinRecord bin) {
            coder.bit(models, MORE, 1);
            fields.code(coder, models);
            if (bin.samples > 0) {
                spectrum.code(coder, models, SPECTRUM, fields, bin.counts, bin.misfit, false);
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

    static final class Reader extends State implements Decoder {
        private final RangeDecoder coder = new RangeDecoder();
        private final BlockHeader header = new BlockHeader();
        private int streamOffset;
        private int state = SPOILT;

        Reader(int number, int maxSamples, SpectrumModel spectrum, Workspace work) {
            super(number, maxSamples, spectrum, work);
        }

        @Override
        public int begin(byte[] body, int offset, int length, BlockHeader blockHeader) {
            state = SPOILT;
            boolean sound = length >= HEADER_BYTES
                    && BlockHeaderBytes.read(body, offset, header, number, maxSamples)
                    && spectrum.carries(header.samples, header.channelsPerSample);
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
            if (withSpectrum && !spectrum.code(coder, models, SPECTRUM, fields, into.counts, into.misfit, true)) {
                return SPOILT;
            }
            if (!withSpectrum) {
                java.util.Arrays.fill(into.misfit, 0);
            }
            fields.give(into);
            into.head = header.head;
            into.darkNoise = header.readNoiseQuarters * BinRecord.DARK_NOISE_PER_QUARTER;
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
