package sunward.protocol.spectra;

import sunward.protocol.bits.AdaptiveIntegers;
import sunward.protocol.bits.BitCoder;
import sunward.protocol.bits.BitModels;
import sunward.protocol.bits.RangeDecoder;
import sunward.protocol.bits.RangeEncoder;

/**
 * A {@link FirstLook} as one message body: a block header, then one range-coded stream, all integer. WIRE.md has the
 * layout. The first head's spectra are predicted from sample to sample, the other heads' from the first's. Steps follow the
 * fineness chosen and, where it is larger, half the standard deviation that the body states.
 */
public final class FirstLookCodec {
    /** Number on the wire, in the block of first looks. */
    public static final int NUMBER = 1;

    /** Finenesses, 0 the finest. */
    public static final int FINENESSES = 8;

    /** Step of ln surface, 2^-16, by fineness: 0.2 percent to 2 percent; that of ln K is three times as wide. */
    private static final int[] STEP = {131, 197, 262, 328, 459, 655, 983, 1311};

    /** Least step of ln K over that of ln surface. */
    static final int ATTENUATION_STEPS = 3;

    /** Largest standard deviation that steps follow, 0.01 percent. */
    private static final int LARGEST_SD = 5000;

    /** A step is this part of a standard deviation in 0.01 percent: half of it. */
    private static final int SD_PER_STEP = 20_000;

    private static final int MAX_LOG = 40 * FirstLook.LOG_ONE;

    private static final int CONTEXTS = 4;
    private static final int FIELDS = 8;
    private static final int QUALITIES = 5;

    // Places of the models.
    private static final int QUALITY = FIELDS * AdaptiveIntegers.MODELS;
    private static final int SPECTRA = QUALITY + QUALITIES * AdaptiveIntegers.MODELS;
    private static final int LIT = SPECTRA + 4 * CONTEXTS * AdaptiveIntegers.MODELS;
    private static final int MODELS = LIT + 4;

    /** Size class to expect: of the fields; of each quality; of residuals, by quantity and context. */
    private static final int[] FIELD_CLASS = {2, 11, 12, 6, 1, 7, 6, 11};

    private static final int[] QUALITY_CLASS = {2, 4, 4, 4, 4};
    private static final int[] RESIDUAL_CLASS = {2, 3, 4, 5, 1, 2, 3, 4, 1, 1, 2, 3, 1, 1, 2, 3};

    private final BitModels models = new BitModels(MODELS);
    private final RangeEncoder encoder = new RangeEncoder();
    private final RangeDecoder decoder = new RangeDecoder();
    private final BlockHeader header = new BlockHeader();

    /** The first head's spectra as a decoder gets them. */
    private final int[][] known;

    private BitCoder coder = encoder;
    private boolean reading;
    private boolean sound;
    private int context;

    /**
     * Makes a codec for both directions.
     *
     * @param maxSamples most samples of a head
     */
    public FirstLookCodec(int maxSamples) {
        known = new int[2][maxSamples];
    }

    /**
     * Writes a body.
     *
     * @param blockHeader its codec, head and samples are set here
     * @param fineness 0 (finest) to {@link #FINENESSES} - 1
     * @return its length, or -1 when it does not fit; what is then in the array is of no use
     */
    public int encode(FirstLook look, BlockHeader blockHeader, int fineness, byte[] body, int offset, int limit) {
        if (limit - offset < DeltaCodec.HEADER_BYTES || look.heads == 0) {
            return -1;
        }
        header.copyFrom(blockHeader);
        header.codec = NUMBER;
        header.head = look.heads - 1;
        header.samples = look.head(0).samples;
        BlockHeaderBytes.check(header, DeltaCodec.NUMBER, WavelengthGrid.MAX_CHANNELS);
        BlockHeaderBytes.write(header, (int) look.surfacedS, body, offset);
        encoder.begin(body, offset + DeltaCodec.HEADER_BYTES, limit);
        coder = encoder;
        reading = false;
        code(look, fineness);
        encoder.finish();
        return encoder.fits() ? DeltaCodec.HEADER_BYTES + encoder.length() : -1;
    }

    /**
     * Reads a body.
     *
     * @return false when no encoder can have written it
     */
    public boolean decode(byte[] body, int offset, int length, BlockHeader into, FirstLook look) {
        look.clear();
        if (length < DeltaCodec.HEADER_BYTES
                || !BlockHeaderBytes.read(body, offset, into, DeltaCodec.NUMBER, WavelengthGrid.MAX_CHANNELS)) {
            return false;
        }
        look.surfacedS = BlockHeaderBytes.baseTime(body, offset) & 0xFFFFFFFFL;
        look.heads = into.head + 1;
        look.head(0).samples = into.samples;
        int stream = offset + DeltaCodec.HEADER_BYTES;
        if (!decoder.begin(body, stream, length - DeltaCodec.HEADER_BYTES)) {
            return false;
        }
        coder = decoder;
        reading = true;
        code(look, 0);
        return sound && decoder.endsHere(stream);
    }

    private void code(FirstLook look, int fineness) {
        sound = true;
        prepare();
        int fine = coder.plain(3, fineness);
        look.placeKnown = coder.plain(1, look.placeKnown ? 1 : 0) == 1;
        if (look.placeKnown) {
            look.latitudeCdeg = field(1, look.latitudeCdeg, -9000, 9000);
            look.longitudeCdeg = field(2, look.longitudeCdeg, -18000, 18000);
        }
        look.tareKnown = coder.plain(1, look.tareKnown ? 1 : 0) == 1;
        if (look.tareKnown) {
            look.tareMdbar = field(3, look.tareMdbar, -(1 << 20), 1 << 20);
        }
        look.messagesPlanned = coder.plain(12, look.messagesPlanned);
        look.repairMessages = coder.plain(8, look.repairMessages);
        for (int h = 0; h < look.heads && sound; h++) {
            codeHead(look.head(h), h == 0 ? null : look.head(0), STEP[fine]);
        }
    }

    private void prepare() {
        for (int f = 0; f < FIELDS; f++) {
            AdaptiveIntegers.prepare(models, f * AdaptiveIntegers.MODELS, FIELD_CLASS[f]);
        }
        for (int q = 0; q < QUALITIES; q++) {
            AdaptiveIntegers.prepare(models, QUALITY + q * AdaptiveIntegers.MODELS, QUALITY_CLASS[q]);
        }
        for (int c = 0; c < 4 * CONTEXTS; c++) {
            AdaptiveIntegers.prepare(models, SPECTRA + c * AdaptiveIntegers.MODELS, RESIDUAL_CLASS[c]);
        }
        for (int i = 0; i < 4; i++) {
            models.set(LIT + i, BitModels.ONE / 2, 0);
        }
    }

    private int field(int number, int value, int min, int max) {
        int held = Math.max(min, Math.min(max, value));
        int coded = AdaptiveIntegers.code(coder, models, number * AdaptiveIntegers.MODELS, held);
        sound &= coded >= min && coded <= max;
        return sound ? coded : min;
    }

    private void codeHead(FirstLook.Head head, FirstLook.Head first, int step) {
        head.number = coder.plain(2, head.number);
        if (first != null) {
            head.samples =
                    first.samples + field(4, head.samples - first.samples, 1 - first.samples, 1024 - first.samples);
        }
        head.bins = field(5, head.bins, 0, 4095);
        head.topCm = field(6, head.topCm, -(1 << 15), 1 << 15);
        head.bottomCm = field(7, head.bottomCm, -(1 << 15), 1 << 15);
        for (int region = 0; region < FirstLook.REGIONS; region++) {
            quality(0, head.effectiveBins, first == null ? null : first.effectiveBins, region, 255);
            quality(1, head.scatter, first == null ? null : first.scatter, region, SpreadCode.UNKNOWN);
            quality(2, head.misfitPercent, first == null ? null : first.misfitPercent, region, SpreadCode.UNKNOWN);
            quality(3, head.surfaceSd, first == null ? null : first.surfaceSd, region, SpreadCode.UNKNOWN);
            quality(4, head.attenuationSd, first == null ? null : first.attenuationSd, region, SpreadCode.UNKNOWN);
        }
        head.leastStep = reading ? step : 0;
        if (sound && head.samples <= head.lit.length && head.samples <= known[0].length) {
            codeLit(head, first);
            spectrum(head, head.logSurface, first, head.surfaceSd, step, 0);
            spectrum(head, head.logAttenuation, first, head.attenuationSd, ATTENUATION_STEPS * step, 1);
        } else {
            sound = false;
        }
    }

    /** A number (the first kind) or the spread code of one, as its change from the region before or the first head. */
    private void quality(int kind, int[] values, int[] first, int region, int most) {
        int like = first != null ? first[region] : region == 0 ? 0 : values[region - 1];
        int before = kind == 0 ? Math.min(most, like) : SpreadCode.of(like);
        int now = kind == 0 ? Math.max(0, Math.min(most, values[region])) : SpreadCode.of(values[region]);
        int base = QUALITY + kind * AdaptiveIntegers.MODELS;
        int coded = before + AdaptiveIntegers.code(coder, models, base, now - before);
        sound &= coded >= 0 && coded <= most;
        values[region] = !sound ? 0 : kind == 0 ? coded : SpreadCode.value(coded);
    }

    private void codeLit(FirstLook.Head head, FirstLook.Head first) {
        boolean before = false;
        for (int i = 0; i < head.samples; i++) {
            boolean other = first == null ? before : i < first.samples && first.lit[i];
            int model = LIT + (before ? 1 : 0) + (other ? 2 : 0);
            before = coder.bit(models, model, head.lit[i] ? 1 : 0) == 1;
            head.lit[i] = before;
        }
    }

    /** Codes the lit samples of a spectrum of logarithms; a writer's own values stay as they are. */
    private void spectrum(FirstLook.Head head, int[] log, FirstLook.Head first, int[] sd, int least, int kind) {
        int offset = 0;
        int before = 0;
        int beforeThat = 0;
        boolean started = false;
        context = CONTEXTS - 1;
        for (int i = 0; i < head.samples && sound; i++) {
            if (!head.lit[i]) {
                continue;
            }
            int step = step(least, sd[head.region(i)]);
            boolean guided = first != null && i < first.samples && first.lit[i];
            int expected = guided ? known[kind][i] + offset : before + (kind == 0 ? (before - beforeThat) / 2 : 0);
            int value = residual(log[i], expected, step, kind + (first == null ? 0 : 2));
            if (guided) {
                int change = value - known[kind][i] - offset;
                offset += started ? change / 2 : change;
            }
            if (first == null) {
                known[kind][i] = value;
            }
            if (reading) {
                log[i] = value;
            }
            beforeThat = started ? before : value;
            before = value;
            started = true;
        }
    }

    /** A step: half the standard deviation stated, 0.01 percent, or the least. */
    static int step(int least, int sd) {
        long spread = Math.min(LARGEST_SD, sd);
        return (int) Math.max(least, spread * FirstLook.LOG_ONE / SD_PER_STEP);
    }

    private int residual(int value, int expected, int step, int source) {
        int off = value - expected;
        int steps = reading ? 0 : (off >= 0 ? off + step / 2 : off - step / 2) / step;
        int base = SPECTRA + (source * CONTEXTS + context) * AdaptiveIntegers.MODELS;
        int coded = AdaptiveIntegers.code(coder, models, base, steps);
        int size = Math.abs(coded);
        context = size <= 1 ? 0 : size <= 3 ? 1 : size <= 9 ? 2 : 3;
        long result = expected + (long) coded * step;
        sound &= Math.abs(result) <= MAX_LOG;
        return sound ? (int) result : 0;
    }
}
