package sunward.protocol.spectra;

import sunward.protocol.bits.AdaptiveIntegers;
import sunward.protocol.bits.BitCoder;
import sunward.protocol.bits.BitModels;

/**
 * Spectra of successive bins of one head, each as its quantised difference from a prediction.
 *
 * <p>The first spectrum is predicted along the wavelengths. Each later one is predicted as the reference spectrum (a
 * running mean of what was decoded, carried along in depth) times a ratio that is smooth in wavelength: its logarithm
 * is a slope per pressure, learned for each sample, plus a deviation that walks slowly from sample to sample. The
 * deviation is followed by a scalar Kalman filter (R. E. Kalman 1960) while the spectrum is coded and smoothed backwards
 * when it is done (H. E. Rauch, F. Tung and C. T. Striebel 1965); so brightness changes, waves and attenuation are taken
 * out to well below the noise of a sample, and what is left to code is mostly the noise itself. WIRE.md has the
 * arithmetic, all of it integer.
 */
final class SpectrumCoder implements SpectrumModel {
    /** Contexts of the residuals: half-octaves of their expected size. */
    private static final int CONTEXTS = 18;

    /** Bits that the residuals own. */
    static final int MODELS = CONTEXTS * AdaptiveIntegers.MODELS;

    /** Fraction bits of ratios and their logarithms. */
    private static final int RATIO_BITS = 16;

    private static final int MAX_LOG = 2 << RATIO_BITS;
    private static final int MAX_SLOPE = 1 << 20;

    /** Variances of the logarithm are in 2^-24. */
    private static final long MAX_VARIANCE = 1 << 20;

    /** Growth of that variance from a sample to the next. */
    private static final int WALK = 24;

    /** It starts a spectrum from here, unless the spectrum is the body's second. */
    private static final long START_VARIANCE = 1 << 14;

    /** A new spectrum moves the reference by at least one in this many, and the slope by one in the next. */
    private static final int OLDEST = 5;

    private static final int OLDEST_SLOPE = 4;
    private static final int PRIOR_AGE = 12;

    /**
     * Start of the residuals' models: for each context, the chance in 256 that a size class from 0 up is the one. Counted
     * on invented dives; {@code protocol/tables/residual-start.txt} is the same table as text.
     */
    static final int[][] STOP = {
        {242, 237},
        {229, 248},
        {166, 234, 248},
        {147, 222, 241},
        {114, 200, 248},
        {81, 167, 240, 248},
        {63, 132, 217, 244},
        {46, 96, 179, 246},
        {37, 73, 137, 217, 211},
        {31, 56, 104, 166, 238, 242},
        {29, 45, 81, 122, 196, 183, 121},
        {26, 38, 64, 92, 167, 204, 244},
        {20, 31, 48, 63, 113, 160, 167, 115, 47, 91},
        {14, 22, 34, 47, 83, 151, 200, 246},
        {12, 16, 23, 35, 60, 119, 177, 217, 248},
        {7, 10, 16, 22, 45, 83, 151, 206, 248},
        {5, 7, 11, 16, 28, 60, 121, 182, 229},
        {3, 4, 6, 8, 15, 29, 60, 106, 154, 210}
    };

    private final NoiseScale scale = new NoiseScale();
    private int[] reference;
    private int[] slope;
    private int[] nextReference;
    private int[] nextSlope;
    private final int[] decoded;
    private final int[] deviation;
    private final int[] variance;
    private final int maxSamples;
    private int samples;
    private int channelsPerSample;
    private int spectra;
    private int pressure;
    private int exposure;
    private long step;
    private long noise;
    private int before;
    private int beforeThat;
    private int running;

    SpectrumCoder(int maxSamples, Workspace work) {
        this.maxSamples = maxSamples;
        reference = work.ints(maxSamples);
        slope = work.ints(maxSamples);
        nextReference = work.ints(maxSamples);
        nextSlope = work.ints(maxSamples);
        decoded = work.ints(maxSamples);
        deviation = work.ints(maxSamples);
        variance = work.ints(maxSamples);
    }

    @Override
    public int models() {
        return MODELS;
    }

    @Override
    public boolean carries(int count, int perSample) {
        return count <= maxSamples;
    }

    @Override
    public void reset(BitModels models, int base, BlockHeader header) {
        scale.set(header.gainSixteenths, header.readNoiseQuarters);
        samples = header.samples;
        channelsPerSample = header.channelsPerSample;
        spectra = 0;
        for (int context = 0; context < CONTEXTS; context++) {
            AdaptiveIntegers.prepare(models, base + context * AdaptiveIntegers.MODELS, STOP[context], PRIOR_AGE);
        }
    }

    @Override
    public boolean code(
            BitCoder coder, BitModels models, int base, BinFields fields, int[] counts, int[] misfit, boolean reading) {
        int averaged = Math.max(1, fields.get(BinFields.USED)) * channelsPerSample;
        step = NoiseScale.step(fields.get(BinFields.STEP_CODE), averaged);
        // Noise of a sample and of its reference (together 11/8 of one), and of the step; level variance in 2^-36.
        noise = (11L << 33) / averaged + ((step * step << 12) / 12);
        before = 0;
        beforeThat = 0;
        running = startOfRunning(fields.get(BinFields.STEP_CODE));
        boolean sound = spectra == 0
                ? codeFirst(coder, models, base, counts, reading)
                : codeNext(coder, models, base, fields, counts, reading);
        for (int i = 0; i < samples && reading; i++) {
            counts[i] = (decoded[i] + NoiseScale.FINE_PER_UNIT / 2) >> 6;
        }
        return sound;
    }

    /** Expected size of residuals before any is known, 1/16: large in a first spectrum, else noise over step. */
    private int startOfRunning(int stepCode) {
        return Math.max(1, (spectra == 0 ? 1024 : 60) >> (stepCode / 2));
    }

    private boolean codeFirst(BitCoder coder, BitModels models, int base, int[] counts, boolean reading) {
        long last = scale.level(0);
        long beforeLast = last;
        boolean sound = true;
        for (int i = 0; i < samples && sound; i++) {
            long expected = scale.level(scale.fine(last + (last - beforeLast) / 2));
            long level = codeLevel(coder, models, base, expected, reading ? 0 : target(counts[i]));
            beforeLast = last;
            last = level;
            decoded[i] = scale.fine(level);
            sound = possible(level);
            nextReference[i] = decoded[i];
            nextSlope[i] = 0;
        }
        return sound;
    }

    private boolean codeNext(
            BitCoder coder, BitModels models, int base, BinFields fields, int[] counts, boolean reading) {
        int pressureStep = clamp(fields.get(BinFields.PRESSURE) - (long) pressure, 1 << 20);
        int octaves = fields.get(BinFields.EXPOSURE) - exposure;
        long spread = spectra == 1 ? MAX_VARIANCE : START_VARIANCE;
        int drift = 0;
        boolean sound = true;
        for (int i = 0; i < samples && sound; i++) {
            nextReference[i] = shifted(reference[i], octaves);
            int log = clamp((long) slope[i] * pressureStep / 1000 + drift, MAX_LOG);
            int fine = NoiseScale.hold(nextReference[i] * ratio(log) >> RATIO_BITS);
            long expected = scale.level(fine);
            long level = codeLevel(coder, models, base, expected, reading ? 0 : target(counts[i]));
            sound = possible(level);
            decoded[i] = scale.fine(level);
            long sensitivity = scale.sensitivity(fine, expected);
            long weight = sensitivity * spread;
            long total = sensitivity * weight + noise;
            drift = clamp(drift + weight * clamp(level - expected, 1 << 20) / ((total >> 10) + 1), MAX_LOG);
            spread = (spread >> 2) * ((noise >> 14) + 1) / ((total >> 16) + 1);
            deviation[i] = drift;
            variance[i] = (int) spread;
            spread = Math.min(MAX_VARIANCE, spread + WALK);
        }
        if (sound) {
            smooth(pressureStep);
        }
        return sound;
    }

    /** Backward pass: the deviation in the light of the whole spectrum, then the new reference and slope. */
    private void smooth(int pressureStep) {
        int share = (1 << 16) / Math.min(spectra + 1, OLDEST);
        int smoothed = deviation[samples - 1];
        for (int i = samples - 1; i >= 0; i--) {
            smoothed = deviation[i] + (int) (variance[i] * (long) (smoothed - deviation[i]) / (variance[i] + WALK));
            int log = clamp((long) slope[i] * pressureStep / 1000 + smoothed, MAX_LOG);
            int fine = NoiseScale.hold(nextReference[i] * ratio(log) >> RATIO_BITS);
            nextReference[i] = NoiseScale.hold(fine + ((decoded[i] - (long) fine) * share >> 16));
            boolean moved = Math.abs(pressureStep) >= 10;
            long change = moved ? smoothed * 1000L / pressureStep / Math.min(spectra, OLDEST_SLOPE) : 0;
            nextSlope[i] = clamp(slope[i] + change, MAX_SLOPE);
        }
    }

    private long target(int counts) {
        return scale.level(NoiseScale.hold((long) counts * NoiseScale.FINE_PER_UNIT));
    }

    /** Codes a level as its distance from the expected one in whole steps. */
    private long codeLevel(BitCoder coder, BitModels models, int base, long expected, long level) {
        long distance = level - expected;
        long half = step / 2;
        int steps = (int) ((distance >= 0 ? distance + half : distance - half) / step);
        int context = context();
        steps = AdaptiveIntegers.code(coder, models, base + context * AdaptiveIntegers.MODELS, steps);
        int magnitude = (int) Math.min(1 << 24, Math.abs((long) steps));
        beforeThat = before;
        before = magnitude;
        running += (16 * magnitude - running) / 6;
        return expected + steps * step;
    }

    /** Half-octave of the expected size of the next residual, from the two before it and the running mean. */
    private int context() {
        long size = 4L * running + 24L * before + 8L * beforeThat + 1;
        int octave = 63 - Long.numberOfLeadingZeros(size);
        int half = octave == 0 ? 0 : (int) (size >>> (octave - 1)) & 1;
        return Math.max(0, Math.min(CONTEXTS - 1, 2 * octave + half - 8));
    }

    /** True for a level that some count the codec carries can have led to. */
    private boolean possible(long level) {
        return level >= scale.level(NoiseScale.MIN_FINE) - step && level <= scale.level(NoiseScale.MAX_FINE) + step;
    }

    @Override
    public void advance(BinFields fields) {
        int[] swap = reference;
        reference = nextReference;
        nextReference = swap;
        swap = slope;
        slope = nextSlope;
        nextSlope = swap;
        pressure = fields.get(BinFields.PRESSURE);
        exposure = fields.get(BinFields.EXPOSURE);
        spectra++;
    }

    private static int shifted(int fine, int octaves) {
        return octaves >= 0 ? NoiseScale.hold((long) fine << octaves) : fine >> -octaves;
    }

    private static int clamp(long value, int bound) {
        return (int) Math.max(-bound, Math.min(bound, value));
    }

    /** e to the x, both in 2^-16, x within -2 to 2: the cubic series at x/4, squared twice. */
    static long ratio(int x) {
        long quarter = x >> 2;
        long square = quarter * quarter >> RATIO_BITS;
        long cube = square * quarter >> RATIO_BITS;
        long root = (1 << RATIO_BITS) + quarter + square / 2 + cube / 6;
        long half = root * root >> RATIO_BITS;
        return half * half >> RATIO_BITS;
    }
}
