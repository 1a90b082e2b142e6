package sunward.protocol.spectra;

import java.util.Arrays;
import sunward.protocol.bits.AdaptiveIntegers;
import sunward.protocol.bits.BitCoder;
import sunward.protocol.bits.BitModels;

/**
 * What both ends of the samples tier share: the bins of the base as rows with their steps, and how far a sample is expected to
 * lie from its base.
 *
 * <p>Samples go channel after channel and, in each channel, row after row. What the bins share is learned on the way: what the dark
 * that was taken off was wrong by, alike in counts, and the response of the single pixel, alike in proportion; both by a
 * Kalman filter of two states (R. E. Kalman 1960), whose variances before a channel is known are learned from the channels
 * before it (as in expectation maximisation: A. P. Dempster, N. M. Laird and D. B. Rubin 1977). What a row's variance comes to otherwise is a running mean along
 * its channels. Steps are counted from what is expected. In IEEE double, by {@code + - * /} and roots alone and in the order written, so both ends agree to the bit.
 * WIRE.md has the arithmetic.
 */
final class SamplesModel {
    /** Octaves of a sample's variance over that of a dark one. */
    static final int BRIGHT = 8;

    /** Middle of an octave. */
    private static final double MIDDLE = 1.4142135623730951;

    /** Variance of what is to be coded, in squares of noise, at which the next class begins. */
    private static final double[] SPREAD = {1.02, 1.14, 1.28, 1.45, 1.7, 2.1, 2.8, 4.2, 8, 20, 80};

    static final int SPREADS = SPREAD.length + 1;

    /** Bits of a context: any steps, and whether there are more than one. */
    static final int BITS = 2;

    private static final int REST = SPREADS * BITS;
    static final int MODELS = REST + SPREADS * AdaptiveIntegers.MODELS;
    private static final int AGE = 30;

    /**
     * Variance of what the dark was off by, in that of one scan, and of a pixel's response, before any channel is known; what
     * channels are found to have is learned at this rate, from each by at most so many times what was usual.
     */
    private static final double OFFSET = 0.03;

    private static final double RESPONSE = 3e-7;
    private static final double LEAST_RESPONSE = 3e-8;
    private static final double LEARN = 0.05;
    private static final double MOST_TIMES = 20;

    /** How both walk from bin to bin, a share of the usual variance, and what of its response a channel leaves to the next. */
    private static final double OFFSET_WALK = 0.01;

    private static final double RESPONSE_WALK = 0.03;
    private static final double ALIKE = 0.7;

    /** What the width of a step adds to the variance, squares of noise. */
    private static final double STEP_VARIANCE = 1 / 3.0;

    /** Spread of a bin at the start of a body and at least, and the rate at which it is learned: first, after each sample, at last. */
    private static final double START_SPREAD = 1.2;

    private static final double LEAST_SPREAD = 0.95;
    private static final double FIRST_RATE = 0.03;
    private static final double RATE_FALL = 0.95;
    private static final double LAST_RATE = 0.0078125;

    private static final double MOST_SQUARES = 400;

    /** Farthest that a level is expected from the base's. */
    private static final double MOST_EXPECTED = 1 << 24;

    final BitModels models = new BitModels(MODELS);
    private final NoiseScale scale = new NoiseScale();
    private final int[] exposureCode;
    private final double[] root;
    private final long[] step;
    private final double[] spread;
    private final double[] dark = new double[BRIGHT];
    private final double[] light = new double[BRIGHT];
    private final double[] rate;
    private int rows;
    private int channelsPerSample;
    private double gain;
    private double floor;
    private long zeroSquared;

    // The filter.
    private double offset;
    private double response;
    private double offsetVariance;
    private double covariance;
    private double responseVariance;
    private double responseStart;
    private double usualOffset;
    private double usualResponse;
    private int exposure;

    SamplesModel(int maxBins) {
        exposureCode = new int[maxBins];
        root = new double[maxBins];
        step = new long[maxBins];
        spread = new double[maxBins];
        rate = new double[maxBins];
    }

    /**
     * Starts on a base.
     *
     * @param noise by how much, 1/64 count, its bins' dark scans are noisier than its header states
     */
    void begin(BlockHeader base, int noise) {
        int darkNoise = base.readNoiseQuarters * BinRecord.DARK_NOISE_PER_QUARTER + noise;
        scale.setFine(base.gainSixteenths, darkNoise);
        long zero = scale.level(0);
        zeroSquared = Math.max(1, zero * zero);
        channelsPerSample = base.channelsPerSample;
        gain = base.gainSixteenths / 16.0;
        floor = darkNoise * (double) darkNoise / 4096 + 1 / 12.0;
        double share = MIDDLE;
        for (int bright = 0; bright < BRIGHT; bright++) {
            double sd = Math.sqrt(share);
            dark[bright] = 1 / sd;
            light[bright] = gain * Math.sqrt(floor) * (share - 1) / sd;
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
        exposureCode[rows] = told.exposureCode;
        root[rows] = r;
        step[rows] = Math.max(1, (long) (8192 * share / r));
        rows++;
        return true;
    }

    /** Level of some counts, 1/64. */
    long level(int counts) {
        return scale.level(NoiseScale.hold((long) counts * NoiseScale.FINE_PER_UNIT));
    }

    /** Steps of a row in so much of a level, rounded to nearest. */
    private long steps(int row, long off) {
        long half = step[row] / 2;
        return (off >= 0 ? off + half : off - half) / step[row];
    }

    /** Counts, 1/64, of a level. */
    int counts(long level) {
        return scale.fine(level) + NoiseScale.FINE_PER_UNIT / 2 >> 6;
    }

    /** Octaves by which the variance at a level exceeds that of a dark sample. */
    int bright(long level) {
        long times = level <= 0 ? 1 : Math.max(1, level * level / zeroSquared);
        return Math.min(BRIGHT - 1, 63 - Long.numberOfLeadingZeros(times));
    }

    /** Starts a body: all that was learned is forgotten. */
    void startBody() {
        Arrays.fill(spread, START_SPREAD);
        Arrays.fill(rate, FIRST_RATE);
        exposure = -1;
        response = 0;
        usualOffset = OFFSET;
        usualResponse = RESPONSE;
        for (int line = 0; line < SPREADS; line++) {
            for (int bit = 0; bit < BITS; bit++) {
                models.set(line * BITS + bit, SamplesTable.START[line][bit], AGE);
            }
        }
        for (int s = 0; s < SPREADS; s++) {
            AdaptiveIntegers.prepare(models, REST + s * AdaptiveIntegers.MODELS, Math.max(-2, s - 7));
        }
    }

    /** Starts a channel: from the one before, what is usual is learned. */
    void startChannel() {
        if (exposure >= 0) {
            leaveExposure();
            double off = response - responseStart;
            usualResponse = Math.max(LEAST_RESPONSE, learned(usualResponse, off * off + responseVariance));
        }
        exposure = -1;
    }

    private void leaveExposure() {
        usualOffset = learned(usualOffset, offset * offset + offsetVariance);
    }

    private static double learned(double usual, double found) {
        return usual + (Math.min(MOST_TIMES * usual, found) - usual) * LEARN;
    }

    /**
     * Codes one sample.
     *
     * @param bright its class of brightness, by the base
     * @param off to write, the level over the base's
     * @return the level over the base's as it is read
     */
    long code(BitCoder coder, int row, int bright, long off) {
        meet(exposureCode[row]);
        double perOffset = root[row] * dark[bright];
        double perResponse = root[row] * light[bright];
        double expected = perOffset * offset + perResponse * response;
        double a = offsetVariance * perOffset + covariance * perResponse;
        double b = covariance * perOffset + responseVariance * perResponse;
        double known = perOffset * a + perResponse * b;
        double perLevel = root[row] / 4096;
        double held = Math.max(-MOST_EXPECTED, Math.min(MOST_EXPECTED, expected / perLevel));
        long middle = (long) Math.floor(held + 0.5);
        long coded = middle + step[row] * code(coder, known + spread[row], (int) steps(row, off - middle));
        double innovation = coded * perLevel - expected;
        double sum = known + spread[row] + STEP_VARIANCE;
        offset += a / sum * innovation;
        response += b / sum * innovation;
        offsetVariance += OFFSET_WALK * usualOffset - a / sum * a;
        covariance -= a / sum * b;
        responseVariance += RESPONSE_WALK * usualResponse - b / sum * b;
        rate[row] = Math.max(LAST_RATE, rate[row] * RATE_FALL);
        double change = (Math.min(MOST_SQUARES, innovation * innovation) - sum) * rate[row];
        spread[row] = Math.max(LEAST_SPREAD, spread[row] + change);
        return coded;
    }

    /** A channel's first bin knows of its response what channels before it had; one of another exposure no dark. */
    private void meet(int code) {
        if (exposure == code) {
            return;
        }
        if (exposure < 0) {
            response *= ALIKE;
            responseStart = response;
            responseVariance = usualResponse;
        } else {
            leaveExposure();
        }
        exposure = code;
        offset = 0;
        offsetVariance = usualOffset;
        covariance = 0;
    }

    /** Codes steps from what is expected, with a variance in squares of noise. */
    private int code(BitCoder coder, double variance, int steps) {
        int spreadClass = 0;
        while (spreadClass < SPREAD.length && variance > SPREAD[spreadClass]) {
            spreadClass++;
        }
        int context = spreadClass * BITS;
        if (coder.bit(models, context, steps == 0 ? 0 : 1) == 0) {
            return 0;
        }
        int back = coder.plain(1, steps > 0 ? 0 : 1);
        int size = 1;
        if (coder.bit(models, context + 1, Math.abs(steps) == 1 ? 0 : 1) == 1) {
            int rest = REST + spreadClass * AdaptiveIntegers.MODELS;
            int more = AdaptiveIntegers.code(coder, models, rest, Math.abs(steps) - 2);
            size = more < 0 || more > SamplesCodec.TOO_MANY ? SamplesCodec.TOO_MANY : 2 + more;
        }
        return back == 0 ? size : -size;
    }
}
