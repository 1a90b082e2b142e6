package sunward.protocol.spectra;

import sunward.protocol.bits.AdaptiveIntegers;
import sunward.protocol.bits.BitCoder;
import sunward.protocol.bits.BitModels;
import sunward.protocol.bits.RangeDecoder;
import sunward.protocol.bits.RangeEncoder;

/**
 * An {@link Outline} as one message body: a block header, then one range-coded stream. Every eighth knot comes first, from the
 * surface down, then the knots half way between those told, three times over. The coefficients are told as their change from
 * what the knots before let expect, turned by both ends to the axes on which the uncertainty of a usual bin is one, in steps
 * of a few of it: strong light takes bits, noise takes none.
 */
public final class OutlineCodec {
    /** Number on the wire, in the block of outlines. */
    public static final int NUMBER = 1;

    /** Finenesses, 0 the finest. */
    public static final int FINENESSES = 8;

    private static final double[] STEP = {4, 6, 8, 9.5, 11, 13, 16, 20};
    private static final int RANK = OutlineBasis.RANK;
    private static final double LARGEST = 1000;
    private static final int MOST_STEPS = 1 << 20;

    /** Knots are told first in strides of so many. */
    private static final int STRIDE = 8;

    /** A change of less than this share of a step beyond whole ones is left out: it costs more bits than it mends. */
    private static final double ROUND_UP = 0.4;

    /** Novelty is told in steps of about 0.4 percent. */
    public static final int NOVELTY_STEP = 4;

    /** Tenths of a standard deviation from which on a misfit's band is told. */
    public static final int TELLING = 300;

    /** The usual grid of knots: from a first depth on, wider with depth. Knots may lie elsewhere; these cost least. */
    public static final int FIRST_CM = 35;

    private static final int LEAST_CM = 120;
    private static final int WIDER_PERCENT = 22;
    private static final int DEEPEST_CM = 1 << 17;

    // Sources of integers.
    private static final int DEPTH = 0;
    private static final int EXPOSURE = 1;
    private static final int SCATTER = 2;
    private static final int MISFIT = 3;
    private static final int RESPONSE = 4;
    private static final int NOVELTY = 5;
    private static final int COEFFICIENTS = 6;
    private static final int[] FIELD_CLASS = {0, 0, 2, 2, 5, 0};

    /** Typical classes of coefficients: of the first knot, of the others in strides of 8, 4, 2, 1; of m = 0, 1 to 4, 5 to 8 ... */
    private static final int[][] COEFFICIENT_CLASS = {
        {9, 8, 5, 4, 4, 4, 3, 2, 1},
        {10, 7, 6, 5, 4, 4, 3, 2, 1},
        {6, 4, 2, 2, 2, 2, 1, 0, 0},
        {4, 1, 0, 0, 0, 0, 0, -1, -1},
        {1, 0, -2, -2, -2, -2, -2, -2, -2}
    };

    private static final int KINDS = COEFFICIENT_CLASS[0].length;
    private static final int SOURCES = COEFFICIENTS + COEFFICIENT_CLASS.length * KINDS;

    private final BitModels models;
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

    /** With memory of its own. */
    public OutlineCodec(OutlineModel model) {
        this(model, new Workspace());
    }

    /** With working memory that others use at other times. */
    public OutlineCodec(OutlineModel model, Workspace work) {
        this.model = model;
        models = work.models(SOURCES * AdaptiveIntegers.MODELS);
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
        return sound && encoder.fits() ? DeltaCodec.HEADER_BYTES + encoder.length() : -1;
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
        outline.knots = coder.plain(5, outline.knots - 1) + 1;
        sound &= outline.knots >= 2 && outline.knots <= Outline.MAX_KNOTS;
        codeFields(outline);
        int last = outline.knots - 1;
        for (int j = 0; j < outline.knots && sound; j += STRIDE) {
            codeKnot(outline, j, j - STRIDE, j == 0 ? 0 : 1, shortestS, STEP[fine]);
        }
        if (last % STRIDE != 0 && sound) {
            codeKnot(outline, last, last - last % STRIDE, 1, shortestS, STEP[fine]);
        }
        int level = 2;
        for (int stride = STRIDE / 2; stride > 0; stride /= 2, level++) {
            for (int j = stride; j < last && sound; j += 2 * stride) {
                expectBetween(outline, j, stride);
                codeChange(outline, j, level, shortestS, STEP[fine]);
            }
        }
        for (int h = 0; h < outline.heads && sound; h++) {
            for (int i = 0; i < Outline.COSINES; i++) {
                int likely = h == 0 ? 0 : outline.response[0][i];
                outline.response[h][i] = likely + field(RESPONSE, outline.response[h][i] - likely, -(1 << 17), 1 << 17);
            }
        }
        for (int g = 0; g < Outline.GROUPS && sound; g++) {
            codeNovelty(outline.novelty[g]);
        }
    }

    private static int typical(int source) {
        int i = source - COEFFICIENTS;
        return i < 0 ? FIELD_CLASS[source] : COEFFICIENT_CLASS[i / KINDS][i % KINDS];
    }

    private int field(int source, int value, int least, int most) {
        int coded = AdaptiveIntegers.code(coder, models, source * AdaptiveIntegers.MODELS, value);
        sound &= coded >= least && coded <= most;
        return sound ? coded : 0;
    }

    /** What the grid of knots makes of a depth: the next one, cm. */
    public static int nextCm(int cm) {
        return cm + Math.max(LEAST_CM, (int) ((long) cm * WIDER_PERCENT / 100));
    }

    /** Step of a fineness, in standard deviations of a usual bin. */
    public static double step(int fineness) {
        return STEP[fineness];
    }

    private void codeFields(Outline o) {
        int exposure = 0;
        int scatter = 0;
        int misfit = 0;
        for (int j = 0; j < o.knots && sound; j++) {
            int before = j == 0 ? 0 : o.knotCm[j - 1];
            int likely = j == 0 ? FIRST_CM : nextCm(before);
            o.knotCm[j] = likely + field(DEPTH, o.knotCm[j] - likely, -DEEPEST_CM, DEEPEST_CM);
            sound &= o.knotCm[j] <= DEEPEST_CM && o.knotCm[j] >= (j == 0 ? 0 : before + 1);
            o.exposureCode[j] = exposure + field(EXPOSURE, o.exposureCode[j] - exposure, -15, 15);
            exposure = o.exposureCode[j];
            sound &= exposure >= 0 && exposure <= 15;
            if (j < o.knots - 1 && sound) {
                scatter = spread(SCATTER, o.scatter[j], scatter);
                misfit = spread(MISFIT, o.misfitTenths[j], misfit);
                o.scatter[j] = sound ? SpreadCode.value(scatter) : 0;
                o.misfitTenths[j] = sound ? SpreadCode.value(misfit) : 0;
                o.misfitBand[j] = o.misfitTenths[j] < TELLING ? 0 : coder.plain(6, o.misfitBand[j]);
                sound &= o.misfitBand[j] < Outline.BANDS;
            }
        }
    }

    /** A spread code, told as its change from the one before. */
    private int spread(int source, int value, int before) {
        int code = before + field(source, SpreadCode.of(value) - before, -SpreadCode.UNKNOWN, SpreadCode.UNKNOWN);
        sound &= code >= 0 && code <= SpreadCode.UNKNOWN;
        return code;
    }

    /** A knot of the first stride: the first is expected at the mean, the second like the first, the others straight on. */
    private void codeKnot(Outline o, int j, int before, int level, double shortestS, double step) {
        double ahead = before < STRIDE
                ? 0
                : Math.min(
                        1, (o.knotCm[j] - o.knotCm[before]) / (double) (o.knotCm[before] - o.knotCm[before - STRIDE]));
        for (int m = 0; m < RANK; m++) {
            double last = before < 0 ? 0 : o.coefficient[before][m];
            expected[m] = ahead > 0 ? last + ahead * (last - o.coefficient[before - STRIDE][m]) : last;
        }
        codeChange(o, j, level, shortestS, step);
    }

    /** A knot between two that are told: on the cubic through them and their neighbours. */
    private void expectBetween(Outline o, int j, int stride) {
        int last = o.knots - 1;
        int below = Math.min(last, j + stride);
        int after = below == last ? -1 : Math.min(last, j + 3 * stride);
        OutlineModel.cubic(
                o.knotCm, o.coefficient, j - 3 * stride, j - stride, below, after, o.knotCm[j] / 100.0, expected);
    }

    private void codeChange(Outline o, int j, int level, double shortestS, double step) {
        model.prepare(expected, shortestS * (1 << o.exposureCode[j]));
        for (int m = 0; m < RANK; m++) {
            left[m] = o.wanted[j][m] - expected[m];
        }
        for (int m = RANK - 1; m >= 0 && sound; m--) {
            int source = COEFFICIENTS + level * KINDS + (m + 3) / 4;
            int steps = reading ? 0 : rounded(model.whitened(m, left) / step);
            steps = field(source, steps, -MOST_STEPS, MOST_STEPS);
            change[m] = model.coloured(m, steps * step, change);
        }
        for (int m = 0; m < RANK; m++) {
            o.coefficient[j][m] = expected[m] + change[m];
            sound &= Math.abs(o.coefficient[j][m]) < LARGEST;
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

    private static int rounded(double steps) {
        int whole = (int) Math.floor(Math.min(MOST_STEPS - 1, Math.abs(steps)) + ROUND_UP);
        return steps < 0 ? -whole : whole;
    }
}
