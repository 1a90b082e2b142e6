package sunward.protocol.spectra;

import java.util.Arrays;
import sunward.protocol.bits.AdaptiveIntegers;
import sunward.protocol.bits.BitCoder;
import sunward.protocol.bits.BitModels;

/**
 * What both ends of the samples tier share: the bins of the base as rows with their steps, and how far a sample is expected to
 * lie from its base.
 *
 * <p>Samples go channel after channel and, in each channel, row after row. What the bins of one head share is learned on the
 * way: the noise of the dark that was taken off, alike in counts, and the response of the single pixel, alike in proportion;
 * both by a Kalman filter of two states (R. E. Kalman 1960). What a row's variance comes to otherwise is a running mean along
 * its channels. In IEEE double, by {@code + - * /} and roots alone and in the order written, so both ends agree to the bit.
 * WIRE.md has the arithmetic.
 */
final class SamplesModel {
    /** Octaves of a sample's variance over that of a dark one. */
    static final int BRIGHT = 8;

    private static final int HEADS = 4;

    /** Middle of an octave. */
    private static final double MIDDLE = 1.4142135623730951;

    /** Variance of what is to be coded, in squares of noise, at which the next class begins. */
    private static final double[] SPREAD = {1.02, 1.14, 1.28, 1.45, 1.7, 2.1, 2.8, 4.2, 8, 20, 80};

    static final int SPREADS = SPREAD.length + 1;

    /** Classes of the distance from what is expected to the nearest step. */
    static final int OFFSETS = 4;

    /** Bits of a context: any steps, their sign, and for either sign whether there are more than one. */
    static final int BITS = 4;

    private static final int REST = SPREADS * OFFSETS * BITS;
    static final int MODELS = REST + SPREADS * AdaptiveIntegers.MODELS;
    private static final int AGE = 30;

    /** Variance of a dark's mean, in that of one scan, before any sample is known, and its growth from bin to bin. */
    private static final double DARK = 0.0625;

    private static final double DARK_WALK = 0.0025;

    /** Variance of a pixel's response. */
    private static final double RESPONSE = 3e-7;

    /** What the width of a step adds to the variance, squares of noise. */
    private static final double STEP_VARIANCE = 1 / 3.0;

    private static final double START_SPREAD = 1.6;
    private static final double LEAST_SPREAD = 0.77;
    private static final double RATE = 0.0078125;
    private static final double MOST_SQUARES = 400;
    private static final double MOST_EXPECTED = 1e6;

    final BitModels models = new BitModels(MODELS);
    private final NoiseScale scale = new NoiseScale();
    private final int[] head;
    private final int[] exposureCode;
    private final double[] root;
    private final double[] width;
    private final long[] step;
    private final double[] spread;
    private final double[] dark = new double[BRIGHT];
    private final double[] light = new double[BRIGHT];
    private int rows;
    private int channelsPerSample;
    private double gain;
    private double floor;
    private long zeroSquared;

    // The filter, a set for each head.
    private final double[] offset = new double[HEADS];
    private final double[] response = new double[HEADS];
    private final double[] offsetVariance = new double[HEADS];
    private final double[] covariance = new double[HEADS];
    private final double[] responseVariance = new double[HEADS];
    private final int[] exposure = new int[HEADS];

    SamplesModel(int maxBins) {
        head = new int[maxBins];
        exposureCode = new int[maxBins];
        root = new double[maxBins];
        width = new double[maxBins];
        step = new long[maxBins];
        spread = new double[maxBins];
    }

    /** Starts on a base. */
    void begin(BlockHeader base) {
        scale.set(base.gainSixteenths, base.readNoiseQuarters);
        long zero = scale.level(0);
        zeroSquared = Math.max(1, zero * zero);
        channelsPerSample = base.channelsPerSample;
        gain = base.gainSixteenths / 16.0;
        double read = base.readNoiseQuarters / 4.0;
        floor = read * read + 1 / 12.0;
        double share = MIDDLE;
        for (int bright = 0; bright < BRIGHT; bright++) {
            double noise = Math.sqrt(share);
            dark[bright] = 1 / noise;
            light[bright] = gain * Math.sqrt(floor) * (share - 1) / noise;
            share *= 2;
        }
        rows = 0;
    }

    int rows() {
        return rows;
    }

    /**
     * Adds a bin of the base. Half a step is a little less than its noise, so that in counts, too, no sample is off by more: the
     * bend of the root, the rounding to 1/64 count and that of levels are taken off.
     *
     * @return false when there is no room
     */
    boolean add(BinRecord told) {
        if (rows == step.length) {
            return false;
        }
        double averaged = (double) Math.max(1, told.used) * channelsPerSample;
        double r = Math.sqrt(averaged);
        double bend = 1 / (4 * gain * Math.sqrt(averaged * floor));
        double rounding = Math.sqrt(averaged / floor) / 128 + r * 3 / 4096;
        double share = Math.max(0.5, 1 - bend - rounding);
        head[rows] = told.head;
        exposureCode[rows] = told.exposureCode;
        root[rows] = r;
        step[rows] = Math.max(1, (long) (8192 * share / r));
        width[rows] = step[rows] * r / 4096;
        rows++;
        return true;
    }

    /** Level of some counts, 1/64. */
    long level(int counts) {
        return scale.level(NoiseScale.hold((long) counts * NoiseScale.FINE_PER_UNIT));
    }

    /** Steps of a row from one level to another, rounded to nearest. */
    long steps(int row, long from, long to) {
        long off = to - from;
        long half = step[row] / 2;
        return (off >= 0 ? off + half : off - half) / step[row];
    }

    /** Counts, 1/64, so many steps from a level. */
    int counts(int row, long level, int steps) {
        return scale.fine(level + steps * step[row]) + NoiseScale.FINE_PER_UNIT / 2 >> 6;
    }

    /** Octaves by which the variance at a level exceeds that of a dark sample. */
    int bright(long level) {
        long times = level <= 0 ? 1 : Math.max(1, level * level / zeroSquared);
        return Math.min(BRIGHT - 1, 63 - Long.numberOfLeadingZeros(times));
    }

    /** Starts a body: all that was learned is forgotten. */
    void startBody() {
        Arrays.fill(spread, START_SPREAD);
        for (int line = 0; line < SPREADS * OFFSETS; line++) {
            for (int bit = 0; bit < BITS; bit++) {
                models.set(line * BITS + bit, SamplesTable.START[line][bit], AGE);
            }
        }
        for (int s = 0; s < SPREADS; s++) {
            AdaptiveIntegers.prepare(models, REST + s * AdaptiveIntegers.MODELS, Math.max(-2, s - 7));
        }
    }

    /** Starts a channel. */
    void startChannel() {
        Arrays.fill(exposure, -1);
    }

    /**
     * Codes one sample.
     *
     * @param bright its class of brightness, by the base
     * @param steps to write, from the base
     * @return the steps
     */
    int code(BitCoder coder, int row, int bright, int steps) {
        int h = head[row];
        meet(h, exposureCode[row]);
        double perOffset = root[row] * dark[bright];
        double perResponse = root[row] * light[bright];
        double expected = perOffset * offset[h] + perResponse * response[h];
        double a = offsetVariance[h] * perOffset + covariance[h] * perResponse;
        double b = covariance[h] * perOffset + responseVariance[h] * perResponse;
        double known = perOffset * a + perResponse * b;
        int coded = code(coder, known + spread[row], expected / width[row], steps);
        double off = coded * width[row] - expected;
        double sum = known + spread[row] + STEP_VARIANCE;
        offset[h] += a / sum * off;
        response[h] += b / sum * off;
        offsetVariance[h] += DARK_WALK - a / sum * a;
        covariance[h] -= a / sum * b;
        responseVariance[h] -= b / sum * b;
        double change = (Math.min(MOST_SQUARES, off * off) - sum) * RATE;
        spread[row] = Math.max(LEAST_SPREAD, spread[row] + change);
        return coded;
    }

    /** A channel's first bin of a head knows nothing; one of another exposure no dark. */
    private void meet(int h, int code) {
        if (exposure[h] == code) {
            return;
        }
        if (exposure[h] < 0) {
            response[h] = 0;
            responseVariance[h] = RESPONSE;
        }
        exposure[h] = code;
        offset[h] = 0;
        offsetVariance[h] = DARK;
        covariance[h] = 0;
    }

    /** Codes steps that are expected to be so many, with a variance in squares of noise. */
    private int code(BitCoder coder, double variance, double expected, int steps) {
        double held = Math.max(-MOST_EXPECTED, Math.min(MOST_EXPECTED, expected));
        int nearest = (int) Math.floor(held + 0.5);
        double aside = held - nearest;
        int sign = aside < 0 ? -1 : 1;
        int spreadClass = 0;
        while (spreadClass < SPREAD.length && variance > SPREAD[spreadClass]) {
            spreadClass++;
        }
        int offsetClass = Math.min(OFFSETS - 1, (int) (sign * aside * 2 * OFFSETS));
        int context = (spreadClass * OFFSETS + offsetClass) * BITS;
        int left = sign * (steps - nearest);
        if (coder.bit(models, context, left == 0 ? 0 : 1) == 0) {
            return nearest;
        }
        int back = coder.bit(models, context + 1, left > 0 ? 0 : 1);
        int size = 1;
        if (coder.bit(models, context + 2 + back, Math.abs(left) == 1 ? 0 : 1) == 1) {
            int rest = REST + spreadClass * AdaptiveIntegers.MODELS;
            int more = AdaptiveIntegers.code(coder, models, rest, Math.abs(left) - 2);
            size = more < 0 || more > SamplesCodec.TOO_MANY ? SamplesCodec.TOO_MANY : 2 + more;
        }
        return nearest + sign * (back == 0 ? size : -size);
    }
}
