package sunward.protocol.spectra;

import sunward.protocol.bits.AdaptiveIntegers;
import sunward.protocol.bits.BitCoder;
import sunward.protocol.bits.BitModels;
import sunward.protocol.bits.RangeDecoder;
import sunward.protocol.bits.RangeEncoder;

/**
 * An {@link Outline} as one message body: a block header, then one range-coded stream. At each knot the coefficients are told
 * as their change from a straight line through the two knots before, turned by both ends to the axes on which the float's
 * own uncertainty is one, in steps of a few of it: strong light takes bits, noise takes none.
 */
public final class OutlineCodec {
    /** Number on the wire, in the block of outlines. */
    public static final int NUMBER = 1;

    /** Finenesses, 0 the finest. */
    public static final int FINENESSES = 8;

    private static final double[] STEP = {1, 1.5, 2, 3, 4, 6, 8, 12};
    private static final int RANK = OutlineBasis.RANK;
    private static final double LATER_SHARE = 0.25;
    private static final double LARGEST = 1000;
    private static final int MOST_STEPS = 1 << 20;

    /** Novelty is told in steps of about 0.4 percent. */
    public static final int NOVELTY_STEP = 4;

    // Sources of integers.
    private static final int DEPTH = 0;
    private static final int SCANS = 1;
    private static final int SCATTER = 2;
    private static final int MISFIT = 3;
    private static final int DIFFERENCE = 4;
    private static final int NOVELTY = 5;
    private static final int FIRST = 6;
    private static final int LATER = FIRST + RANK;
    private static final int SOURCES = LATER + RANK;
    private static final int[] FIELD_CLASS = {7, 2, 3, 3, 4, 0};

    private final BitModels models = new BitModels(SOURCES * AdaptiveIntegers.MODELS);
    private final RangeEncoder encoder = new RangeEncoder();
    private final RangeDecoder decoder = new RangeDecoder();
    private final OutlineModel model;
    private final BlockHeader header = new BlockHeader();
    private final double[] expected = new double[RANK];
    private final double[] change = new double[RANK];
    private final double[] left = new double[RANK];

    private BitCoder coder = encoder;
    private boolean reading;
    private boolean sound;

    /** For spectra of at most so many samples. */
    public OutlineCodec(OutlineModel model) {
        this.model = model;
    }

    /**
     * Writes a body; {@link Outline#coefficient} is then what a reader gets.
     *
     * @param blockHeader gain, read noise, channels per sample and tags
     * @param shortestS the plan's shortest exposure, s
     * @return its length, or -1 when it does not fit
     */
    public int encode(
            Outline outline,
            BlockHeader blockHeader,
            double shortestS,
            int fineness,
            byte[] body,
            int offset,
            int limit) {
        if (limit - offset < DeltaCodec.HEADER_BYTES || outline.knots < 2) {
            return -1;
        }
        header.copyFrom(blockHeader);
        header.codec = NUMBER;
        header.head = outline.heads - 1;
        header.samples = outline.samples;
        int shortestUs = (int) Math.floor(shortestS * 1e6 + 0.5);
        BlockHeaderBytes.check(header, NUMBER, WavelengthGrid.MAX_CHANNELS);
        BlockHeaderBytes.write(header, shortestUs, body, offset);
        encoder.begin(body, offset + DeltaCodec.HEADER_BYTES, limit);
        coder = encoder;
        reading = false;
        code(outline, fineness, shortestUs / 1e6);
        encoder.finish();
        return encoder.fits() ? DeltaCodec.HEADER_BYTES + encoder.length() : -1;
    }

    /**
     * Reads a body.
     *
     * @return false when no encoder can have written it
     */
    public boolean decode(byte[] body, int offset, int length, BlockHeader into, Outline outline) {
        outline.clear();
        if (length < DeltaCodec.HEADER_BYTES
                || !BlockHeaderBytes.read(body, offset, into, NUMBER, WavelengthGrid.MAX_CHANNELS)) {
            return false;
        }
        int shortestUs = BlockHeaderBytes.baseTime(body, offset);
        int stream = offset + DeltaCodec.HEADER_BYTES;
        if (into.samples > OutlineBasis.NODES
                || shortestUs <= 0
                || !decoder.begin(body, stream, length - DeltaCodec.HEADER_BYTES)) {
            return false;
        }
        header.copyFrom(into);
        outline.heads = into.head + 1;
        outline.samples = into.samples;
        coder = decoder;
        reading = true;
        code(outline, 0, shortestUs / 1e6);
        return sound && decoder.endsHere(stream);
    }

    private void code(Outline outline, int fineness, double shortestS) {
        sound = true;
        for (int s = 0; s < SOURCES; s++) {
            AdaptiveIntegers.prepare(models, s * AdaptiveIntegers.MODELS, typical(s));
        }
        model.start(header);
        int fine = coder.plain(3, fineness);
        sound = coder.plain(4, OutlineBasis.NUMBER) == OutlineBasis.NUMBER;
        for (int h = 0; h < outline.heads; h++) {
            outline.head[h] = coder.plain(2, outline.head[h]);
        }
        outline.knots = coder.plain(5, outline.knots);
        sound &= outline.knots >= 2 && outline.knots <= Outline.MAX_KNOTS;
        int before = 0;
        for (int j = 0; j < outline.knots && sound; j++) {
            codeKnot(outline, j, before, shortestS, STEP[fine]);
            before = outline.knotCm[j];
        }
        for (int h = 1; h < outline.heads && sound; h++) {
            for (int i = 0; i < Outline.COSINES; i++) {
                outline.difference[h][i] = field(DIFFERENCE, outline.difference[h][i], -16384, 16384);
            }
        }
        for (int g = 0; g < Outline.GROUPS && sound; g++) {
            codeNovelty(outline.novelty[g]);
        }
    }

    private static int typical(int source) {
        if (source < FIRST) {
            return FIELD_CLASS[source];
        }
        int m = (source - FIRST) % RANK;
        return source < LATER ? Math.max(1, 7 - m / 2) : m < 4 ? 3 : m < 8 ? 2 : 1;
    }

    private int field(int source, int value, int least, int most) {
        int coded = AdaptiveIntegers.code(coder, models, source * AdaptiveIntegers.MODELS, value);
        sound &= coded >= least && coded <= most;
        return sound ? coded : 0;
    }

    private void codeKnot(Outline o, int j, int beforeCm, double shortestS, double step) {
        o.knotCm[j] = beforeCm + field(DEPTH, o.knotCm[j] - beforeCm, j == 0 ? 0 : 1, 1 << 17);
        o.exposureCode[j] = coder.plain(4, o.exposureCode[j]);
        int scansBefore = j == 0 ? 10 : o.scansCode[j - 1];
        o.scansCode[j] = scansBefore + field(SCANS, o.scansCode[j] - scansBefore, -64, 64);
        sound &= o.scansCode[j] >= 0 && o.scansCode[j] <= 30;
        if (!sound) {
            return;
        }
        if (j < o.knots - 1) {
            int scatter = field(SCATTER, SpreadCode.of(o.scatter[j]), 0, SpreadCode.UNKNOWN);
            int misfit = field(MISFIT, SpreadCode.of(o.misfitTenths[j]), 0, SpreadCode.UNKNOWN);
            o.scatter[j] = SpreadCode.value(scatter);
            o.misfitTenths[j] = SpreadCode.value(misfit);
            o.misfitBand[j] = misfit == 0 ? 0 : coder.plain(6, o.misfitBand[j]);
            sound &= o.misfitBand[j] < Outline.BANDS;
        }
        expect(o, j);
        double depthM = o.knotCm[j] / 100.0;
        double exposureS = shortestS * (1 << o.exposureCode[j]);
        model.prepare(expected, depthM, scans(o.scansCode[j]), exposureS, j == 0 ? 1 : LATER_SHARE);
        for (int m = 0; m < RANK; m++) {
            left[m] = o.wanted[j][m] - expected[m];
        }
        for (int m = RANK - 1; m >= 0 && sound; m--) {
            int steps = reading ? 0 : rounded(model.whitened(m, left) / step);
            steps = field((j == 0 ? FIRST : LATER) + m, steps, -MOST_STEPS, MOST_STEPS);
            change[m] = model.coloured(m, steps * step, change);
        }
        for (int m = 0; m < RANK; m++) {
            o.coefficient[j][m] = expected[m] + change[m];
            sound &= Math.abs(o.coefficient[j][m]) < LARGEST;
        }
    }

    /** The first knot is expected at the mean, the second like the first, the others on a straight line. */
    private void expect(Outline o, int j) {
        double ahead = j < 2 ? 0 : (o.knotCm[j] - o.knotCm[j - 1]) / (double) (o.knotCm[j - 1] - o.knotCm[j - 2]);
        for (int m = 0; m < RANK; m++) {
            double last = j == 0 ? 0 : o.coefficient[j - 1][m];
            expected[m] = j < 2 ? last : last + ahead * (last - o.coefficient[j - 2][m]);
        }
    }

    private void codeNovelty(int[] row) {
        if (coder.plain(1, reading || isZero(row) ? 0 : 1) == 0) {
            return;
        }
        for (int b = 0; b < row.length && sound; b++) {
            row[b] = NOVELTY_STEP * field(NOVELTY, row[b] / NOVELTY_STEP, -(1 << 12), 1 << 12);
        }
    }

    private static boolean isZero(int[] row) {
        for (int value : row) {
            if (value != 0) {
                return false;
            }
        }
        return true;
    }

    /** Scans of a code. */
    public static double scans(int code) {
        return (1L << code / 2) * (code % 2 == 0 ? 1 : 1.4142135623730951);
    }

    private static int rounded(double value) {
        return (int) Math.floor(Math.max(-MOST_STEPS, Math.min(MOST_STEPS, value)) + 0.5);
    }
}
