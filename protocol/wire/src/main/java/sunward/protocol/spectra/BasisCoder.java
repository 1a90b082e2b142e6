package sunward.protocol.spectra;

import java.util.Arrays;
import sunward.protocol.bits.AdaptiveIntegers;
import sunward.protocol.bits.BitCoder;
import sunward.protocol.bits.BitModels;

/**
 * Spectra of successive bins of one head, as coefficients of a fixed basis: what 10-nm bands see of a spectrum within a
 * fraction of their own noise, and nothing of the finer noise.
 *
 * <p>All on the scale of levels ({@link NoiseScale}), in units of 1/64 of the bin's own noise. The first spectrum of a body is
 * a sum of trained shapes; a later one is predicted as a reference carried along in depth by a trained attenuation, then
 * corrected by a few smooth changes of brightness. What is left is divided by the prediction's own fine structure (so that a change of brightness moves
 * solar lines with it), projected on the band patterns, and quantised. The reference takes over a share of what is
 * found, as a steady Kalman filter would (R. E. Kalman 1960). Cells of six channels that still differ by more
 * than {@link #NOVEL} are coded one by one, so no feature is silently lost; the worst of the others travels for each of
 * five regions. WIRE.md has the arithmetic, all of it integer.
 */
final class BasisCoder implements SpectrumModel {
    /** Regions of {@link BinRecord#misfit}. */
    static final int REGIONS = 5;

    private static final int CHANNELS = BasisTable.CHANNELS;
    private static final int BANDS = BasisTable.BANDS;
    private static final int SHAPES = BasisTable.SHAPES;

    /** Noise of a bin. */
    private static final int UNIT = 64;

    private static final int MIDDLE_STEP = 8;
    private static final int[] QUARTER_OCTAVES = {256, 304, 362, 431};

    /** Steps are rounded down from this share, 1/64, of the next: cheaper by more than the error grows. */
    private static final int ROUND_UP = 28;

    private static final int LARGEST = 1 << 24;
    private static final int CONTEXTS = 18;

    /** Channels are coded one by one where the basis leaves more than this mean square, in squares of noise. */
    private static final int STRANGE = 6;

    /** Channels to a cell of novelty, and 64 over the square root of that. */
    static final int CELL = 6;

    private static final int PER_ROOT_CELL = 26;
    private static final int CELLS = CHANNELS / CELL;

    /** A cell is coded beyond this, and in such steps, 1/64 of a cell's noise. */
    private static final int NOVEL = 7 * UNIT;

    private static final int NOVEL_STEP = 3 * UNIT;

    /** Misfit code 0: at most this; each further code is half an octave more. */
    private static final int USUAL_MISFIT = 5 * UNIT;

    static final int LARGEST_MISFIT_CODE = 24;

    /** First cells of the regions: 320, 401, 500, 599.75 and 698.75 nm. */
    static final int[] REGION_CELLS = {0, 18, 40, 62, 84, CELLS};

    /** Half width of the mean that fine structure stands out from, channels, and what steadies it, units. */
    private static final int SMOOTH = 7;

    private static final int STEADY = 16 * UNIT;

    private static final int RATIO_BITS = 16;
    private static final int MAX_LOG = 2 << RATIO_BITS;

    /** Brightness modes: polynomials of the wavelength, then the attenuation to expect. */
    private static final int MODES = 6;

    private static final int POLYNOMIALS = 5;
    private static final int[][] POLYNOMIAL = polynomials();
    private static final int SWEEPS = 10;
    private static final int MOST_BRIGHT = 1 << 24;
    private static final int LEAST_NORM = 16 * UNIT;

    /** How much of a pattern's change the reference takes over, 1/256, at least. */
    private static final int LEAST_GAIN = 110;

    // Sources of integers.
    private static final int MODE = CONTEXTS;
    private static final int SHAPE = MODE + MODES;
    private static final int PLAIN = SHAPE + SHAPES;
    private static final int NOVEL_COUNT = PLAIN + 1 + CONTEXTS;
    private static final int NOVEL_GAP = NOVEL_COUNT + 1;
    private static final int NOVEL_SIZE = NOVEL_GAP + 1;
    private static final int MISFIT = NOVEL_SIZE + 1;
    static final int MODELS = (MISFIT + REGIONS) * AdaptiveIntegers.MODELS;

    /** Doublings by which shapes' coefficients typically fall below the first, from principal directions of flown bins. */
    private static final int[] FALL = {
        0, 2, 4, 4, 5, 6, 6, 7, 7, 8, 8, 8, 9, 9, 9, 10, 10, 10, 10, 10, 10, 11, 11, 11, 11, 11, 12, 12, 12, 12, 12, 13,
        13, 13, 13, 13
    };

    private static final int PRIOR_AGE = 12;

    private final BasisTable table = BasisTable.get();
    private final NoiseScale scale = new NoiseScale();
    private int[] reference;
    private int[] nextReference;
    private final int[] predicted;
    private final int[] structure;
    private final int[] rest;
    private final long[] sum;
    private final int[] change;
    private final int[] plain;
    private final int[][] modes = new int[MODES][];
    private final long[] norms = new long[MODES];
    private final long[] amounts = new long[MODES];
    private final int[] modeQuanta = new int[MODES];
    private int modeStep;
    private final int[] steps = new int[BANDS];
    private final int[] seen = new int[BANDS];
    private final int[] nextSeen = new int[BANDS];
    private final long[] wanted = new long[BANDS];
    private final int[] quanta = new int[BANDS];
    private final int[] cells = new int[CELLS];
    private int spectra;
    private int pressure;
    private int exposure;
    private long zeroLevel;
    private long root;
    private int quarter;

    BasisCoder(Workspace work) {
        reference = work.ints(CHANNELS);
        nextReference = work.ints(CHANNELS);
        predicted = work.ints(CHANNELS);
        structure = work.ints(CHANNELS);
        rest = work.ints(CHANNELS);
        change = work.ints(CHANNELS);
        plain = work.ints(CHANNELS);
        sum = work.longs(CHANNELS);
        for (int mode = 0; mode < MODES; mode++) {
            modes[mode] = work.ints(CHANNELS);
        }
    }

    @Override
    public int models() {
        return MODELS;
    }

    @Override
    public boolean carries(int samples, int channelsPerSample) {
        return samples == CHANNELS && channelsPerSample == 1;
    }

    @Override
    public void reset(BitModels models, int base, BlockHeader header) {
        scale.set(header.gainSixteenths, header.readNoiseQuarters);
        zeroLevel = scale.level(0);
        spectra = 0;
        for (int context = 0; context < CONTEXTS; context++) {
            AdaptiveIntegers.prepare(models, source(base, context), SpectrumCoder.STOP[context], PRIOR_AGE);
        }
        for (int mode = 0; mode < MODES; mode++) {
            AdaptiveIntegers.prepare(models, source(base, MODE + mode), 6);
        }
        AdaptiveIntegers.prepare(models, source(base, PLAIN), -3);
        for (int context = 0; context < CONTEXTS; context++) {
            AdaptiveIntegers.prepare(models, source(base, PLAIN + 1 + context), SpectrumCoder.STOP[context], PRIOR_AGE);
        }
        AdaptiveIntegers.prepare(models, source(base, NOVEL_COUNT), -2);
        AdaptiveIntegers.prepare(models, source(base, NOVEL_GAP), 4);
        AdaptiveIntegers.prepare(models, source(base, NOVEL_SIZE), 2);
        for (int region = 0; region < REGIONS; region++) {
            AdaptiveIntegers.prepare(models, source(base, MISFIT + region), -2);
        }
    }

    private static int source(int base, int number) {
        return base + number * AdaptiveIntegers.MODELS;
    }

    @Override
    public boolean code(
            BitCoder coder, BitModels models, int base, BinFields fields, int[] counts, int[] misfit, boolean reading) {
        root = NoiseScale.root((long) Math.max(1, fields.get(BinFields.USED)) << 16);
        int code = fields.get(BinFields.STEP_CODE);
        quarter = QUARTER_OCTAVES[code & 3] << (code >> 2);
        for (int k = 0; k < BANDS; k++) {
            steps[k] = Math.max(1, table.step(k) * quarter >> MIDDLE_STEP + 2);
        }
        modeStep = Math.max(1, UNIT * quarter >> MIDDLE_STEP + 2);
        boolean sound = true;
        if (spectra == 0) {
            sound = codeShapes(coder, models, base, counts, reading);
        } else {
            predict(fields);
            sound = codeModes(coder, models, base, counts, reading);
        }
        findStructure();
        sound = sound && codeBands(coder, models, base, counts, reading);
        sound = sound && codePlain(coder, models, base, reading);
        sound = sound && codeNovelties(coder, models, base, misfit, reading);
        if (sound) {
            settle(counts, reading);
        }
        return sound;
    }

    /** Units of the bin's noise above the dark level. */
    private int units(long level) {
        return hold((level - zeroLevel) * root >> 14);
    }

    private long level(long units) {
        return zeroLevel + (units << 14) / root;
    }

    private int target(int counts) {
        return units(scale.level(NoiseScale.hold((long) counts * NoiseScale.FINE_PER_UNIT)));
    }

    private static int hold(long value) {
        return (int) Math.max(-(1 << 30), Math.min(1 << 30, value));
    }

    private static int quantised(long value, int step, int roundUp) {
        long q = (Math.abs(value) * 64 + (long) step * roundUp) / (64L * step);
        int held = (int) Math.min(LARGEST, q);
        return value < 0 ? -held : held;
    }

    /** The first spectrum's prediction: a sum of shapes. */
    private boolean codeShapes(BitCoder coder, BitModels models, int base, int[] counts, boolean reading) {
        Arrays.fill(sum, 0);
        for (int c = 0; c < CHANNELS && !reading; c++) {
            rest[c] = target(counts[c]);
        }
        int step = Math.max(1, 2 * UNIT * quarter >> MIDDLE_STEP + 2);
        int doublings = 0;
        for (int k = 0; k < SHAPES; k++) {
            int q = reading ? 0 : quantised(table.project(BasisTable.shape(k), rest), step, 32);
            int typical = k == 0 ? 13 : Math.max(1, doublings - FALL[k]);
            AdaptiveIntegers.prepare(models, source(base, SHAPE + k), typical);
            q = AdaptiveIntegers.code(coder, models, source(base, SHAPE + k), q);
            if (q > LARGEST || q < -LARGEST) {
                return false;
            }
            if (k == 0) {
                doublings = 32 - Integer.numberOfLeadingZeros(Math.abs(q));
            }
            table.add(BasisTable.shape(k), (long) q * step, sum);
        }
        for (int c = 0; c < CHANNELS; c++) {
            predicted[c] = hold(sum[c] + (1 << 14) >> 15);
        }
        return true;
    }

    /** A later spectrum's: the reference, carried along. */
    private void predict(BinFields fields) {
        int pressureStep = pressureStep(fields);
        int octaves = fields.get(BinFields.EXPOSURE) - exposure;
        for (int c = 0; c < CHANNELS; c++) {
            int log = clamp(-16L * table.attenuation(c) * pressureStep / 1000, MAX_LOG);
            int fine = octaves >= 0 ? NoiseScale.hold((long) reference[c] << octaves) : reference[c] >> -octaves;
            predicted[c] = units(scale.level(NoiseScale.hold(fine * SpectrumCoder.ratio(log) >> RATIO_BITS)));
        }
    }

    private int pressureStep(BinFields fields) {
        return clamp(fields.get(BinFields.PRESSURE) - (long) pressure, 1 << 20);
    }

    private static int clamp(long value, int bound) {
        return (int) Math.max(-bound, Math.min(bound, value));
    }

    /** Changes of brightness, smooth in wavelength: added to the prediction. */
    private boolean codeModes(BitCoder coder, BitModels models, int base, int[] counts, boolean reading) {
        for (int mode = 0; mode < MODES; mode++) {
            shapeMode(mode);
        }
        Arrays.fill(amounts, 0);
        if (!reading) {
            fitModes(counts);
        }
        Arrays.fill(sum, 0);
        for (int mode = 0; mode < MODES; mode++) {
            modeQuanta[mode] = 0;
            if (norms[mode] >= LEAST_NORM) {
                int q = reading ? 0 : quantised(amounts[mode], modeStep, 32);
                q = AdaptiveIntegers.code(coder, models, source(base, MODE + mode), q);
                if (q > LARGEST || q < -LARGEST) {
                    return false;
                }
                modeQuanta[mode] = q;
                for (int c = 0; c < CHANNELS; c++) {
                    sum[c] += (long) q * modeStep * modes[mode][c];
                }
            }
        }
        for (int c = 0; c < CHANNELS; c++) {
            predicted[c] = hold(predicted[c] + (sum[c] >> 15));
        }
        return true;
    }

    /** One mode as a direction: the prediction times a smooth function, of unit length, 2^-15. */
    private void shapeMode(int mode) {
        long squares = 0;
        for (int c = 0; c < CHANNELS; c++) {
            long bright = Math.max(0, Math.min(MOST_BRIGHT, predicted[c]));
            long factor = mode < POLYNOMIALS ? POLYNOMIAL[mode][c] : table.attenuation(c);
            int value = (int) (bright * factor >> 12);
            modes[mode][c] = value;
            squares += (long) value * value;
        }
        norms[mode] = Math.max(1, NoiseScale.root(squares));
        for (int c = 0; c < CHANNELS; c++) {
            modes[mode][c] = (int) (((long) modes[mode][c] << 15) / norms[mode]);
        }
    }

    /** Amounts of the modes that leave the least squares, found one after another in turn. */
    private void fitModes(int[] counts) {
        for (int c = 0; c < CHANNELS; c++) {
            rest[c] = hold(target(counts[c]) - (long) predicted[c]);
        }
        for (int sweep = 0; sweep < SWEEPS; sweep++) {
            for (int mode = 0; mode < MODES; mode++) {
                if (norms[mode] >= LEAST_NORM) {
                    long along = 0;
                    for (int c = 0; c < CHANNELS; c++) {
                        along += (long) modes[mode][c] * rest[c];
                    }
                    along >>= 15;
                    amounts[mode] += along;
                    for (int c = 0; c < CHANNELS; c++) {
                        rest[c] -= (int) (along * modes[mode][c] >> 15);
                    }
                }
            }
        }
    }

    private static int[][] polynomials() {
        int[][] values = new int[POLYNOMIALS][CHANNELS];
        for (int c = 0; c < CHANNELS; c++) {
            int x = (2 * c - CHANNELS + 1) * 4096 / (CHANNELS - 1);
            values[0][c] = 4096;
            values[1][c] = x;
            for (int k = 2; k < POLYNOMIALS; k++) {
                values[k][c] = (x * values[k - 1][c] >> 11) - values[k - 2][c]; // P. L. Chebyshev
            }
        }
        return values;
    }

    /** The prediction over its own mean of 15 channels, 1/256. */
    private void findStructure() {
        long mean = 0;
        int inMean = 0;
        for (int c = -SMOOTH; c < CHANNELS; c++) {
            if (c + SMOOTH < CHANNELS) {
                mean += predicted[c + SMOOTH];
                inMean++;
            }
            if (c - SMOOTH - 1 >= 0) {
                mean -= predicted[c - SMOOTH - 1];
                inMean--;
            }
            if (c >= 0) {
                long smooth = Math.max(0, mean / inMean) + STEADY;
                structure[c] = (int) Math.max(128, Math.min(512, (Math.max(0, predicted[c]) + STEADY) * 256L / smooth));
            }
        }
    }

    /**
     * Finds the amounts of the patterns, each times the fine structure, that leave nothing that bands see: projections, and
     * once more of what those leave, because patterns with structure are not quite at right angles.
     */
    private void project(int[] counts) {
        for (int c = 0; c < CHANNELS; c++) {
            rest[c] = hold(target(counts[c]) - (long) predicted[c]);
        }
        Arrays.fill(sum, 0);
        for (int k = 0; k < BANDS; k++) {
            wanted[k] = table.project(BasisTable.band(k), rest);
            table.add(BasisTable.band(k), wanted[k], sum);
        }
        for (int c = 0; c < CHANNELS; c++) {
            change[c] = hold(rest[c] - ((sum[c] >> 15) * structure[c] >> 8));
        }
        for (int k = 0; k < BANDS; k++) {
            wanted[k] += table.project(BasisTable.band(k), change);
        }
    }

    /** What the prediction leaves, by band patterns; leaves the change of the spectrum in {@link #change}. */
    private boolean codeBands(BitCoder coder, BitModels models, int base, int[] counts, boolean reading) {
        if (!reading) {
            project(counts);
        }
        Arrays.fill(sum, 0);
        int before = 0;
        int beforeThat = 0;
        for (int k = 0; k < BANDS; k++) {
            int expected = expected(k);
            long size = 6L * expected + 6L * before + 4L * beforeThat;
            int context = context(size);
            int q = reading ? 0 : quantised(wanted[k], steps[k], ROUND_UP);
            q = AdaptiveIntegers.code(coder, models, source(base, context), q);
            if (q > LARGEST || q < -LARGEST) {
                return false;
            }
            int magnitude = Math.min(1 << 20, Math.abs(q)) * 16;
            nextSeen[k] = spectra < 2 ? magnitude : seen[k] + (magnitude - seen[k]) / 4;
            // Neighbours predict in units of their own steps.
            beforeThat = k + 1 < BANDS ? (int) ((long) before * steps[k] / steps[k + 1]) : 0;
            before = k + 1 < BANDS ? (int) ((long) magnitude * steps[k] / steps[k + 1]) : 0;
            quanta[k] = q;
            table.add(BasisTable.band(k), (long) q * steps[k], sum);
        }
        for (int c = 0; c < CHANNELS; c++) {
            change[c] = hold((sum[c] >> 15) * structure[c] >> 8);
        }
        return true;
    }

    /** Expected size of a coefficient, 1/16 of its step. */
    private int expected(int band) {
        int noise = 16 * UNIT / steps[band];
        return switch (spectra) {
            case 0 -> noise;
            case 1 -> noise * (1 + 30 / (band + 2));
            case 2 -> noise * (1 + 8 / (band + 2));
            default -> seen[band];
        };
    }

    /** Half-octave of an expected size, 1/256. */
    private static int context(long size) {
        long some = size + 1;
        int octave = 63 - Long.numberOfLeadingZeros(some);
        int half = octave == 0 ? 0 : (int) (some >>> (octave - 1)) & 1;
        return Math.max(0, Math.min(CONTEXTS - 1, 2 * octave + half - 6));
    }

    /** A spectrum that the basis cannot follow, say of another sun, channel by channel. */
    private boolean codePlain(BitCoder coder, BitModels models, int base, boolean reading) {
        Arrays.fill(plain, 0);
        long squares = 0;
        for (int c = 0; c < CHANNELS && !reading; c++) {
            long left = Math.min(1 << 20, Math.abs(rest[c] - (long) change[c]));
            squares += left * left;
        }
        int strange = squares > (long) STRANGE * CHANNELS * UNIT * UNIT ? 1 : 0;
        strange = AdaptiveIntegers.code(coder, models, source(base, PLAIN), strange);
        if (strange == 0) {
            return true;
        }
        int step = Math.max(1, UNIT * quarter >> MIDDLE_STEP + 2);
        int before = 0;
        int beforeThat = 0;
        for (int c = 0; c < CHANNELS; c++) {
            int context = context(8L * before + 8L * beforeThat);
            int q = reading ? 0 : quantised(rest[c] - (long) change[c], step, 32);
            q = AdaptiveIntegers.code(coder, models, source(base, PLAIN + 1 + context), q);
            if (q > LARGEST || q < -LARGEST) {
                return false;
            }
            beforeThat = before;
            before = 16 * Math.min(1 << 20, Math.abs(q));
            plain[c] = hold((long) q * step);
            change[c] = hold(change[c] + (long) plain[c]);
        }
        return strange == 1;
    }

    /** Cells that differ still, then the worst of the others by region. */
    private boolean codeNovelties(BitCoder coder, BitModels models, int base, int[] misfit, boolean reading) {
        int count = 0;
        for (int cell = 0; cell < CELLS && !reading; cell++) {
            long left = cellRest(cell);
            cells[cell] = Math.abs(left) > NOVEL ? quantised(left, NOVEL_STEP, 32) : 0;
            count += cells[cell] == 0 ? 0 : 1;
        }
        count = AdaptiveIntegers.code(coder, models, source(base, NOVEL_COUNT), count);
        if (count < 0 || count > CELLS) {
            return false;
        }
        if (reading) {
            Arrays.fill(cells, 0);
        }
        int at = -1;
        for (int i = 0; i < count; i++) {
            int next = at + 1;
            while (!reading && cells[next] == 0) {
                next++;
            }
            int gap = AdaptiveIntegers.code(coder, models, source(base, NOVEL_GAP), next - at - 1);
            if (gap < 0 || gap > CELLS - 2 - at) {
                return false;
            }
            at += 1 + gap;
            cells[at] = AdaptiveIntegers.code(coder, models, source(base, NOVEL_SIZE), cells[at]);
            if (cells[at] == 0 || Math.abs(cells[at]) > LARGEST) {
                return false;
            }
        }
        return codeMisfit(coder, models, base, misfit, reading);
    }

    /** What a cell still lacks, in 1/64 of its own noise. */
    private long cellRest(int cell) {
        long left = 0;
        for (int c = CELL * cell; c < CELL * (cell + 1); c++) {
            left += rest[c] - (long) change[c];
        }
        return left * PER_ROOT_CELL >> 6;
    }

    private boolean codeMisfit(BitCoder coder, BitModels models, int base, int[] misfit, boolean reading) {
        for (int region = 0; region < REGIONS; region++) {
            long worst = 0;
            for (int cell = REGION_CELLS[region]; cell < REGION_CELLS[region + 1] && !reading; cell++) {
                worst = Math.max(worst, Math.abs(cellRest(cell) - (long) cells[cell] * NOVEL_STEP));
            }
            int code = AdaptiveIntegers.code(coder, models, source(base, MISFIT + region), misfitCode(worst));
            if (code < 0 || code > LARGEST_MISFIT_CODE) {
                return false;
            }
            if (reading) {
                misfit[region] = code;
            }
        }
        return true;
    }

    private static int misfitCode(long worst) {
        int code = 0;
        while (code < LARGEST_MISFIT_CODE && worst * worst > (long) USUAL_MISFIT * USUAL_MISFIT << code) {
            code++;
        }
        return code;
    }

    /** The decoded spectrum, and the reference and slope that follow from it. */
    private void settle(int[] counts, boolean reading) {
        int gain = Math.max(LEAST_GAIN, 256 / (spectra + 1));
        Arrays.fill(sum, 0);
        for (int k = 0; k < BANDS; k++) {
            if (quanta[k] != 0) {
                table.add(BasisTable.band(k), (long) quanta[k] * steps[k] * gain >> 8, sum);
            }
        }
        for (int c = 0; c < CHANNELS; c++) {
            int novel = cells[c / CELL] * NOVEL_STEP * PER_ROOT_CELL >> 6;
            long whole = change[c] + (long) novel;
            if (reading) {
                counts[c] = scale.fine(level(predicted[c] + whole)) + NoiseScale.FINE_PER_UNIT / 2 >> 6;
            }
            long followed = novel + (long) plain[c] + ((sum[c] >> 15) * structure[c] >> 8);
            int fine = scale.fine(level(predicted[c] + followed));
            nextReference[c] = fine;
        }
    }

    @Override
    public void advance(BinFields fields) {
        int[] swap = reference;
        reference = nextReference;
        nextReference = swap;
        System.arraycopy(nextSeen, 0, seen, 0, BANDS);
        pressure = fields.get(BinFields.PRESSURE);
        exposure = fields.get(BinFields.EXPOSURE);
        spectra++;
    }
}
