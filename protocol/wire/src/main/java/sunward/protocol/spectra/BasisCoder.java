package sunward.protocol.spectra;

import java.util.Arrays;
import sunward.protocol.bits.AdaptiveIntegers;
import sunward.protocol.bits.BitCoder;
import sunward.protocol.bits.BitModels;

/**
 * Spectra of successive bins of one head, as coefficients of a fixed basis: what 10-nm bands see of a spectrum within a
 * fraction of their own noise, and nothing of the finer noise.
 *
 * <p>All in units of a bin's own noise ({@link BinUnits}). The first spectrum of a body is a sum of trained shapes; a later one
 * is predicted from a reference, see {@link LightModes}. What is left is projected on band patterns, from which the drift that
 * those before had is taken off, and quantised: by the coarsest steps and the most sparing rounding that leave the bands within
 * the error asked for, which the writer knows for each bin. The reference takes over a share of what is found, by the scans
 * behind it and behind the bin, as a Kalman filter would (R. E. Kalman 1960). Cells of six channels that still differ by more
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
    private static final int UNIT = BinUnits.NOISE;

    private static final int MIDDLE_STEP = 8;
    private static final int[] QUARTER_OCTAVES = {256, 304, 362, 431};
    static final int LARGEST = 1 << 24;
    static final int CONTEXTS = 18;

    /** Steps of a bin are finer than the step code's by this many codes less two. */
    private static final int MOST_TRIM = 7;

    /** Rounding to nearest, and the most sparing: what is added before rounding down, 1/64. */
    private static final int NEAREST = 32;

    private static final int SPARING = 20;

    /** Most squared error of the bands within, at step code 8: patterns' errors in 1/256 of their steps, squared and added. */
    private static final long MOST_ERROR = 175_000;

    /** Above this, 0.001 dbar, where the surface is read from, it is held to a share of that. */
    private static final int NEAR_SURFACE = 3000;

    private static final int NEAR_SURFACE_SHARE = 4;

    /** First patterns drift steadily; how many last steps in depth count at most, and what is known at first, as its square. */
    private static final int DRIFTING = 16;

    private static final int STEPS_KNOWN = 5;
    private static final long FIRST_KNOWN = 10_000;
    private static final int LEAST_MOVE = 10;
    private static final long MOST_TREND = 1L << 40;

    /** Squares of noise at which the reference takes over half of the rest of an amount. */
    private static final int BOLD = 16;

    /** Share, 1/16, of the scans behind the reference that still count at the next bin. */
    private static final int KEPT = 13;

    /**
     * Channels are coded one by one where the basis leaves more than this mean square, in squares of noise: bands look a little
     * past the patterns, and of much that is left they would see too much.
     */
    private static final int STRANGE = 2;

    /** Steps in which channels can be coded one by one: not at all, and 1, 2 and 4 times the bin's noise at step code 8. */
    private static final int PLAIN_STEPS = 4;

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

    // Sources of integers.
    static final int MODE = CONTEXTS;
    private static final int SHAPE = MODE + LightModes.COUNT;
    private static final int PLAIN = SHAPE + SHAPES;
    static final int NOVEL_COUNT = PLAIN + 1 + CONTEXTS;
    private static final int NOVEL_GAP = NOVEL_COUNT + 1;
    private static final int NOVEL_SIZE = NOVEL_GAP + 1;
    private static final int MISFIT = NOVEL_SIZE + 1;
    static final int TRIM = MISFIT + REGIONS;
    static final int MODELS = (TRIM + 1) * AdaptiveIntegers.MODELS;

    /** Doublings by which shapes' coefficients typically fall below the first, from principal directions of flown bins. */
    private static final int[] FALL = {
        0, 2, 4, 4, 5, 6, 6, 7, 7, 8, 8, 8, 9, 9, 9, 10, 10, 10, 10, 10, 10, 11, 11, 11, 11, 11, 12, 12, 12, 12, 12, 13,
        13, 13, 13, 13
    };

    private static final int PRIOR_AGE = 30;
    private static final int OTHER_AGE = 12;

    private final BasisTable table = BasisTable.get();
    private final BinUnits units = new BinUnits();
    private final LightModes light;
    private int[] reference;

    /** What the spectrum differs by from its prediction; once that is settled, the next reference. */
    private int[] change;

    private final int[] predicted;
    private final int[] rest;

    /** What is coded channel by channel. */
    private final int[] plain;

    private final long[] sum;
    private final int[] steps = new int[BANDS];
    private final long[] trend = new long[BANDS];
    private final int[] drift = new int[BANDS];
    private final int[] seen = new int[BANDS];
    private final int[] nextSeen = new int[BANDS];
    private final long[] wanted = new long[BANDS];
    private final int[] quanta = new int[BANDS];
    private final int[] cells = new int[CELLS];
    private int spectra;
    private int pressure;
    private int exposure;
    private int moved;
    private int stepCode;
    private int trim;
    private int plainAs;
    private int strange;
    private int roundUp;
    private int scans;
    private int scansKept;
    private long known;

    BasisCoder(Workspace memory) {
        reference = memory.ints(CHANNELS);
        change = memory.ints(CHANNELS);
        predicted = memory.ints(CHANNELS);
        rest = memory.ints(CHANNELS);
        plain = memory.ints(CHANNELS);
        sum = memory.longs(CHANNELS);
        light = new LightModes(units, memory, predicted, rest, plain, sum);
    }

    @Override
    public BinFields fields() {
        return new MeanFields();
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
        units.set(header);
        light.reset();
        Arrays.fill(trend, 0);
        spectra = 0;
        scansKept = 0;
        known = FIRST_KNOWN;
        for (int i = 0; i < CONTEXTS + LightModes.COUNT; i++) {
            start(models, base, i, i, PRIOR_AGE);
        }
        AdaptiveIntegers.prepare(models, source(base, PLAIN), -3);
        plainAs = 1;
        for (int context = 0; context < CONTEXTS; context++) {
            start(models, base, PLAIN + 1 + context, context, PRIOR_AGE);
        }
        for (int i = NOVEL_COUNT; i <= TRIM; i++) {
            start(models, base, i, BasisStart.OTHERS + i - NOVEL_COUNT, OTHER_AGE);
        }
    }

    private static void start(BitModels models, int base, int source, int line, int age) {
        AdaptiveIntegers.prepare(models, source(base, source), BasisStart.STOP[line], age);
    }

    private static int source(int base, int number) {
        return base + number * AdaptiveIntegers.MODELS;
    }

    /** Channels one by one at twice the step, then at four times, then not at all: what the basis cannot follow goes by cells. */
    @Override
    public boolean spare() {
        plainAs = (plainAs + 1) % PLAIN_STEPS;
        return plainAs != 1;
    }

    @Override
    public boolean code(
            BitCoder coder, BitModels models, int base, BinFields fields, int[] counts, int[] misfit, boolean reading) {
        scans = 16 * Math.max(1, fields.get(BinFields.USED));
        stepCode = fields.get(BinFields.STEP_CODE);
        units.set(fields.get(BinFields.USED));
        moved = spectra == 0 ? 0 : LightModes.clamp(fields.get(BinFields.PRESSURE) - (long) pressure, 1 << 20);
        boolean sound;
        if (spectra == 0) {
            sound = codeShapes(coder, models, base, counts, reading);
        } else {
            light.carry(reference, moved, fields.get(BinFields.EXPOSURE) - exposure);
            sound = light.code(coder, models, source(base, MODE), step(2 * UNIT, stepCode), counts, reading);
        }
        if (!reading) {
            takeOff(counts);
            project();
            findPlain();
            choose(fields.get(BinFields.PRESSURE) < NEAR_SURFACE ? NEAR_SURFACE_SHARE : 1);
        }
        sound = sound && codeBands(coder, models, base, reading);
        sound = sound && codePlain(coder, models, base, reading);
        sound = sound && codeNovelties(coder, models, base, misfit, reading);
        if (sound) {
            settle(counts, reading);
        }
        return sound;
    }

    /** A step of so many units at the middle step code, at another. */
    private static int step(int middle, int code) {
        return Math.max(1, (int) ((long) middle * (QUARTER_OCTAVES[code & 3] << (code >> 2)) >> MIDDLE_STEP + 2));
    }

    static int quantised(long value, int step, int roundUp) {
        long q = (Math.abs(value) * 64 + (long) step * roundUp) / (64L * step);
        int held = (int) Math.min(LARGEST, q);
        return value < 0 ? -held : held;
    }

    /** The first spectrum's prediction: a sum of shapes. */
    private boolean codeShapes(BitCoder coder, BitModels models, int base, int[] counts, boolean reading) {
        Arrays.fill(sum, 0);
        for (int c = 0; c < CHANNELS && !reading; c++) {
            rest[c] = units.ofCounts(counts[c]);
        }
        int step = step(3 * UNIT, stepCode);
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
            predicted[c] = BinUnits.hold(sum[c] + (1 << 14) >> 15);
        }
        return true;
    }

    /** What the spectrum differs by from its prediction. */
    private void takeOff(int[] counts) {
        findDrift();
        for (int c = 0; c < CHANNELS; c++) {
            rest[c] = BinUnits.hold(units.ofCounts(counts[c]) - (long) predicted[c]);
        }
    }

    /** Finds the amounts of the patterns beyond their drift. */
    private void project() {
        for (int k = 0; k < BANDS; k++) {
            wanted[k] = table.project(BasisTable.band(k), rest) - drift[k];
        }
    }

    /**
     * What channels have beside the patterns, where that is strange; the patterns then take up what its rounding does to bands, so
     * that it may be coarse.
     */
    private void findPlain() {
        Arrays.fill(sum, 0, CHANNELS, 0);
        for (int k = 0; k < BANDS; k++) {
            table.add(BasisTable.band(k), wanted[k] + drift[k], sum);
        }
        long squares = 0;
        for (int c = 0; c < CHANNELS; c++) {
            plain[c] = BinUnits.hold(rest[c] - (sum[c] + (1 << 14) >> 15));
            long left = Math.min(1 << 20, Math.abs(plain[c]));
            squares += left * left;
        }
        strange = squares > (long) STRANGE * CHANNELS * UNIT * UNIT ? plainAs : 0;
        if (strange == 0) {
            return;
        }
        int step = step(UNIT << strange - 1, stepCode);
        for (int c = 0; c < CHANNELS; c++) {
            plain[c] = quantised(plain[c], step, NEAREST) * step;
            rest[c] -= plain[c];
        }
        project();
        for (int c = 0; c < CHANNELS; c++) {
            rest[c] += plain[c];
        }
    }

    private void findDrift() {
        for (int k = 0; k < BANDS; k++) {
            drift[k] = LightModes.clamp((trend[k] * units.root() >> 16) * moved / 1000, 1 << 20);
        }
    }

    private void setSteps() {
        for (int k = 0; k < BANDS; k++) {
            steps[k] = step(table.step(k), Math.max(0, stepCode + 2 - trim));
        }
    }

    /** Coarsest steps, and of those the most sparing rounding, that leave bands within a share of the error asked for. */
    private void choose(int share) {
        long asked = step(256, stepCode);
        long most = MOST_ERROR * asked / 256 * asked / 256 / share;
        for (trim = 0; trim < MOST_TRIM; trim++) {
            setSteps();
            for (roundUp = SPARING; roundUp <= NEAREST; roundUp++) {
                if (left() <= most) {
                    return;
                }
            }
        }
        roundUp = NEAREST;
    }

    /** Squared error of the bands within, so rounded. */
    private long left() {
        long squares = 0;
        for (int k = 0; k < BasisTable.WITHIN; k++) {
            long q = quantised(wanted[k], steps[k], roundUp);
            long error = Math.min(1 << 20, Math.abs(wanted[k] - q * steps[k]) * 256 / table.step(k));
            squares += error * error;
        }
        return squares;
    }

    /** What the prediction leaves, by band patterns; leaves the change of the spectrum in {@link #change}. */
    private boolean codeBands(BitCoder coder, BitModels models, int base, boolean reading) {
        trim = AdaptiveIntegers.code(coder, models, source(base, TRIM), trim);
        if (trim < 0 || trim > MOST_TRIM) {
            return false;
        }
        setSteps();
        findDrift();
        Arrays.fill(sum, 0, CHANNELS, 0);
        long found = 8L * table.size(0, spectra == 0);
        long usual = found;
        for (int k = 0; k < BANDS; k++) {
            int q = reading ? 0 : quantised(wanted[k], steps[k], roundUp);
            q = AdaptiveIntegers.code(coder, models, source(base, context(expected(k, found, usual))), q);
            if (q > LARGEST || q < -LARGEST) {
                return false;
            }
            quanta[k] = q;
            int size = (int) Math.min(1 << 20, size(k));
            nextSeen[k] = spectra < 2 ? 16 * size : seen[k] + (16 * size - seen[k]) / 4;
            found += size - found / 8;
            usual += table.size(k, spectra == 0) - usual / 8;
            table.add(BasisTable.band(k), (long) q * steps[k] + drift[k], sum);
        }
        for (int c = 0; c < CHANNELS; c++) {
            change[c] = BinUnits.hold(sum[c] + (1 << 14) >> 15);
        }
        return true;
    }

    /** Expected size of an amount, 1/256 of its step: the usual, by what was found of those before it; and what it was before. */
    private long expected(int k, long found, long usual) {
        long likely = Math.max(usual / 3, Math.min(8 * usual, found));
        long size = 256 * likely * table.size(k, spectra == 0) / usual / steps[k];
        return spectra < 2 ? size : (11 * size + 5 * (16L * seen[k] / steps[k])) / 16;
    }

    /** Size of a pattern's amount as coded, 1/64 of the bin's noise. */
    long size(int pattern) {
        return Math.abs((long) quanta[pattern]) * steps[pattern];
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
        strange = AdaptiveIntegers.code(coder, models, source(base, PLAIN), strange);
        if (strange < 0 || strange >= PLAIN_STEPS) {
            return false;
        }
        if (strange == 0) {
            Arrays.fill(plain, 0, CHANNELS, 0);
            return true;
        }
        int step = step(UNIT << strange - 1, stepCode);
        int before = 0;
        int beforeThat = 0;
        for (int c = 0; c < CHANNELS; c++) {
            int context = context(8L * before + 8L * beforeThat);
            int q = reading ? 0 : plain[c] / step;
            q = AdaptiveIntegers.code(coder, models, source(base, PLAIN + 1 + context), q);
            if (q > LARGEST || q < -LARGEST) {
                return false;
            }
            beforeThat = before;
            before = 16 * Math.min(1 << 20, Math.abs(q));
            plain[c] = BinUnits.hold((long) q * step);
            change[c] = BinUnits.hold(change[c] + (long) plain[c]);
        }
        return true;
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

    /** Share of an amount, 1/4096, that the reference takes over. */
    private long taken(int k) {
        long share = ((long) scans << 12) / (scans + scansKept);
        long squares = Math.min(1L << 20, size(k)) * Math.min(1L << 20, size(k));
        return share + (4096 - share) * squares / (squares + BOLD * UNIT * UNIT);
    }

    /** The decoded spectrum, and the reference that follows from it. */
    private void settle(int[] counts, boolean reading) {
        Arrays.fill(sum, 0, CHANNELS, 0);
        for (int k = 0; k < BANDS; k++) {
            long amount = ((long) quanta[k] * steps[k] * taken(k) >> 12) + drift[k];
            if (amount != 0) {
                table.add(BasisTable.band(k), amount, sum);
            }
        }
        for (int c = 0; c < CHANNELS; c++) {
            int novel = BinUnits.hold((long) cells[c / CELL] * NOVEL_STEP * PER_ROOT_CELL >> 6);
            if (reading) {
                counts[c] = units.fine((long) predicted[c] + change[c] + novel) + NoiseScale.FINE_PER_UNIT / 2 >> 6;
            }
            change[c] = units.fine(predicted[c] + (long) novel + plain[c] + (sum[c] + (1 << 14) >> 15));
        }
    }

    @Override
    public void advance(BinFields fields) {
        int[] swap = reference;
        reference = change;
        change = swap;
        System.arraycopy(nextSeen, 0, seen, 0, BANDS);
        if (spectra > 0) {
            light.learn(moved);
            learnDrift();
        }
        pressure = fields.get(BinFields.PRESSURE);
        exposure = fields.get(BinFields.EXPOSURE);
        scansKept = (scans + scansKept) * KEPT >> 4;
        spectra++;
    }

    private void learnDrift() {
        if (Math.abs(moved) < LEAST_MOVE) {
            return;
        }
        long squares = (long) moved * moved;
        known = Math.min(known, STEPS_KNOWN * squares);
        long gain = (squares << 11) / (known + squares);
        known += squares;
        for (int k = 0; k < DRIFTING; k++) {
            long perDbar = ((long) quanta[k] * steps[k] << 16) / units.root() * 1000 / moved;
            trend[k] = Math.max(-MOST_TREND, Math.min(MOST_TREND, trend[k] + (perDbar * gain >> 12)));
        }
    }
}
