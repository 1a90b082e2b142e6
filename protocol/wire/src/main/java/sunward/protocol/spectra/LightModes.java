package sunward.protocol.spectra;

import java.util.Arrays;
import sunward.protocol.bits.AdaptiveIntegers;
import sunward.protocol.bits.BitCoder;
import sunward.protocol.bits.BitModels;

/**
 * How light changes from one bin of a head to the next: a reference spectrum is carried along in depth by an attenuation learned
 * for each channel, then changed by a few trained modes of its logarithm (waves, sun and what attenuation does) and by a change
 * of the dark level. Each mode is taken at right angles to those before it, in units of the bin's noise, so that one step fits all.
 */
final class LightModes {
    private static final int CHANNELS = BasisTable.CHANNELS;

    /** The trained modes, then the change of the dark level. */
    static final int COUNT = BasisTable.MODES + 1;

    private static final int DARK = BasisTable.MODES;

    /** Times that the writer fits amounts anew where the last fit led. */
    private static final int FITS = 3;

    /** Modes that change less than this when light is e times as much are left out. */
    private static final int LEAST_NORM = 30 * BinUnits.NOISE;

    private static final int RATIO_BITS = 16;
    private static final int MAX_LOG = 2 << RATIO_BITS;
    private static final int MAX_SLOPE = 1 << 20;

    /** Below this, 0.001 dbar, a step in depth teaches nothing about attenuation. */
    private static final int LEAST_MOVE = 10;

    /** What is known of attenuation at first, as the square of a step in depth, and how many last steps count at most. */
    private static final long FIRST_KNOWN = 40_000;

    private static final int STEPS_KNOWN = 8;

    private final BasisTable table = BasisTable.get();
    private final BinUnits units;
    private final int[] carried;
    private final int[] sensitivity;
    private final int[] predicted;
    private final int[] slope;
    private final int[] logChange;
    private final int[] rest;
    private final int[] work;
    private final long[] sum;
    /** Directions, two channels to an integer: the even one in its lower half. */
    private final int[][] modes = new int[COUNT][];

    private final long[] norms = new long[COUNT];
    private final long[] amounts = new long[COUNT];
    private long known;

    /** Shares the rows of the spectrum's coder: the prediction is left in the first, the others hold nothing between calls. */
    LightModes(BinUnits units, Workspace memory, int[] predicted, int[] rest, int[] work, long[] sum) {
        this.units = units;
        this.predicted = predicted;
        this.rest = rest;
        this.work = work;
        this.sum = sum;
        carried = memory.ints(CHANNELS);
        sensitivity = memory.ints(CHANNELS);
        slope = memory.ints(CHANNELS);
        logChange = memory.ints(CHANNELS);
        for (int mode = 0; mode < COUNT; mode++) {
            modes[mode] = memory.ints(CHANNELS / 2);
        }
    }

    /** Forgets what was learned of attenuation. */
    void reset() {
        for (int c = 0; c < CHANNELS; c++) {
            slope[c] = -16 * table.attenuation(c);
        }
        known = FIRST_KNOWN;
    }

    /** Carries a reference, fine counts, along in depth, 0.001 dbar, and to an exposure so many octaves longer. */
    void carry(int[] reference, int moved, int octaves) {
        for (int c = 0; c < CHANNELS; c++) {
            int fine = octaves >= 0 ? NoiseScale.hold((long) reference[c] << octaves) : reference[c] >> -octaves;
            carried[c] = changed(fine, clamp((long) slope[c] * moved / 1000, MAX_LOG));
            predicted[c] = units.of(carried[c]);
            sensitivity[c] = units.perOwnAmount(carried[c]);
        }
    }

    private static int changed(int fine, int log) {
        return NoiseScale.hold(fine * SpectrumCoder.ratio(log) >> RATIO_BITS);
    }

    static int clamp(long value, int bound) {
        return (int) Math.max(-bound, Math.min(bound, value));
    }

    /** Codes the modes' amounts and leaves the prediction with them in it; false when what is read is beyond the codec. */
    boolean code(BitCoder coder, BitModels models, int base, int step, int[] counts, boolean reading) {
        for (int mode = 0; mode < COUNT; mode++) {
            norms[mode] = shape(mode);
        }
        if (!reading) {
            fit(counts);
        }
        for (int mode = 0; mode < COUNT; mode++) {
            int q = 0;
            if (norms[mode] >= LEAST_NORM) {
                q = reading ? 0 : BasisCoder.quantised(amounts[mode], step, 32);
                q = AdaptiveIntegers.code(coder, models, base + mode * AdaptiveIntegers.MODELS, q);
                if (Math.abs((long) q) > BasisCoder.LARGEST) {
                    return false;
                }
            }
            amounts[mode] = (long) q * step;
        }
        follow();
        return true;
    }

    private void fit(int[] counts) {
        Arrays.fill(amounts, 0);
        for (int pass = 0; pass < FITS; pass++) {
            for (int c = 0; c < CHANNELS; c++) {
                rest[c] = BinUnits.hold(units.ofCounts(counts[c]) - (long) predicted[c]);
            }
            for (int mode = 0; mode < COUNT; mode++) {
                amounts[mode] += along(mode, rest);
            }
            follow();
        }
    }

    /** A mode as a direction in units, at right angles to those before it, of unit length in 2^-15; returns its length. */
    private long shape(int mode) {
        for (int c = 0; c < CHANNELS; c++) {
            work[c] = mode == DARK
                    ? units.perCount(carried[c])
                    : (int) ((long) sensitivity[c] * table.mode(mode, c) >> 14);
        }
        for (int earlier = 0; earlier < mode; earlier++) {
            long along = along(earlier, work);
            if (along == 0) {
                continue; // nothing of it in this one, or left out
            }
            int[] pairs = modes[earlier];
            for (int i = 0; i < CHANNELS / 2; i++) {
                work[2 * i] -= (int) (along * (short) pairs[i] + (1 << 14) >> 15);
                work[2 * i + 1] -= (int) (along * (pairs[i] >> 16) + (1 << 14) >> 15);
            }
        }
        long squares = 0;
        for (int c = 0; c < CHANNELS; c++) {
            squares += (long) work[c] * work[c];
        }
        long norm = NoiseScale.root(squares);
        for (int i = 0; i < CHANNELS / 2; i++) {
            int odd = ofUnitLength(work[2 * i + 1], norm);
            modes[mode][i] = odd << 16 | ofUnitLength(work[2 * i], norm) & 0xffff;
        }
        return norm;
    }

    private static int ofUnitLength(int part, long norm) {
        return norm < LEAST_NORM ? 0 : clamp(((long) part << 15) / norm, Short.MAX_VALUE);
    }

    private int direction(int mode, int channel) {
        int pair = modes[mode][channel >> 1];
        return (channel & 1) == 0 ? (short) pair : pair >> 16;
    }

    private long along(int mode, int[] spectrum) {
        if (norms[mode] < LEAST_NORM) {
            return 0; // its direction is nothing
        }
        int[] pairs = modes[mode];
        long along = 0;
        for (int i = 0; i < CHANNELS / 2; i++) {
            int pair = pairs[i];
            along += (short) pair * (long) spectrum[2 * i] + (pair >> 16) * (long) spectrum[2 * i + 1];
        }
        return along + (1 << 14) >> 15;
    }

    /** The prediction with the modes' amounts in it. */
    private void follow() {
        Arrays.fill(sum, 0, CHANNELS, 0);
        for (int mode = 0; mode < DARK; mode++) {
            long amount = amounts[mode];
            if (amount == 0) {
                continue;
            }
            int[] pairs = modes[mode];
            for (int i = 0; i < CHANNELS / 2; i++) {
                sum[2 * i] += amount * (short) pairs[i];
                sum[2 * i + 1] += amount * (pairs[i] >> 16);
            }
        }
        for (int c = 0; c < CHANNELS; c++) {
            int found = BinUnits.hold(sum[c] + (1 << 14) >> 15);
            long dark = amounts[DARK] * direction(DARK, c) + (1 << 14) >> 15;
            boolean isDark = sensitivity[c] < BinUnits.NOISE;
            logChange[c] = isDark ? 0 : clamp(((long) found << RATIO_BITS) / sensitivity[c], MAX_LOG);
            dark += isDark ? found : 0;
            predicted[c] = BinUnits.hold(units.of(changed(carried[c], logChange[c])) + dark);
        }
    }

    /** Learns attenuation from what the modes found over a step in depth, 0.001 dbar: a scalar Kalman gain for all channels. */
    void learn(long moved) {
        if (Math.abs(moved) < LEAST_MOVE) {
            return;
        }
        known = Math.min(known, STEPS_KNOWN * moved * moved);
        long gain = (moved * moved << 12) / (known + moved * moved);
        known += moved * moved;
        for (int c = 0; c < CHANNELS; c++) {
            slope[c] = clamp(slope[c] + (logChange[c] * 1000L / moved * gain >> 12), MAX_SLOPE);
        }
    }
}
