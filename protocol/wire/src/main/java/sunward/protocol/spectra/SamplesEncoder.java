package sunward.protocol.spectra;

import sunward.protocol.bits.BitModels;
import sunward.protocol.bits.RangeEncoder;

/**
 * Writes the samples tier: every channel of every bin of one base message (a body of the bins tier), within one standard
 * deviation of the bin's own noise. Nothing is allocated after construction.
 *
 * <p>Bins of a base are given twice, as they are and as the base tells them, for a run of channels that the working memory
 * holds; then bodies are taken until that run is written, and the next run begins.
 */
public final class SamplesEncoder {
    /** Low bits that hold a class of brightness; the others hold how far the level is from the base's. */
    private static final int BRIGHT_BITS = 3;

    private final SamplesModel model;
    private final int window;
    private final BitModels saved = new BitModels(SamplesModel.MODELS);
    private final RangeEncoder coder = new RangeEncoder();
    private final RangeEncoder savedCoder = new RangeEncoder();
    private final RangeEncoder ending = new RangeEncoder();
    private final int[] offs;
    private int samples;
    private int noise;
    private int first;
    private int next;
    private int end;

    /**
     * Makes an encoder.
     *
     * @param maxBins bins with spectra of a base message, at most
     * @param window samples held at a time, at least {@code maxBins}; a body holds at most so many
     */
    public SamplesEncoder(int maxBins, int window) {
        this(maxBins, window, new Workspace());
    }

    /** The same with its window lent: parts that are never at work together share memory. */
    public SamplesEncoder(int maxBins, int window, Workspace work) {
        if (window < maxBins) {
            throw new IllegalArgumentException("a window of " + window + " samples for " + maxBins + " bins");
        }
        this.window = window;
        model = new SamplesModel(maxBins);
        offs = work.ints(window);
    }

    /**
     * Starts a run of channels.
     *
     * @param base header of the base
     * @param bins with spectra that the base holds: as many must be added
     * @param firstChannel where to start
     * @param leastDarkNoise of the float's bins, 1/64 count
     */
    public void begin(BlockHeader base, int bins, int firstChannel, int leastDarkNoise) {
        int stated = base.readNoiseQuarters * BinRecord.DARK_NOISE_PER_QUARTER;
        noise = Math.max(0, Math.min(SamplesCodec.MOST_NOISE, leastDarkNoise - stated));
        model.begin(base, noise);
        samples = base.samples;
        first = firstChannel;
        next = firstChannel;
        end = Math.min(samples, firstChannel + window / Math.max(1, bins));
    }

    /**
     * Adds the base's next bin; those without a spectrum are left out.
     *
     * @param own the float's bin
     * @param told the same, as the base tells it
     * @return false when it cannot be refined: then nothing of this base can be
     */
    public boolean add(BinRecord own, BinRecord told) {
        if (told.samples == 0) {
            return true;
        }
        int row = model.rows();
        int run = end - first;
        if (told.samples != samples || own.samples != samples || (row + 1) * run > window || !model.add(told)) {
            return false;
        }

        for (int c = first; c < end; c++) {
            long level = model.level(told.counts[c]);
            long off = model.level(own.counts[c]) - level;
            if (Math.abs(off) > SamplesCodec.MOST_LEVELS) {
                return false;
            }
            offs[row * run + c - first] = (int) off << BRIGHT_BITS | model.bright(level);
        }
        return true;
    }

    /** First channel that is not written yet. */
    public int next() {
        return next;
    }

    /** True when the run is written. */
    public boolean done() {
        return next == end;
    }

    /**
     * Writes as many channels of the run as a body holds.
     *
     * @param basePosition position of the base message, 0 to 4095
     * @return length of the body; 0 when not one channel fits
     */
    public int write(byte[] body, int offset, int limit, int basePosition) {
        int start = offset + SamplesCodec.HEADER_BYTES;
        if (done() || limit < start) {
            return 0;
        }
        model.startBody();
        coder.begin(body, start, limit);
        int from = next;
        boolean fits = true;
        while (fits && next < end) {
            savedCoder.copyFrom(coder);
            saved.copyFrom(model.models);
            writeChannel(next - first);
            ending.copyFrom(coder);
            ending.finish();
            fits = ending.fits();
            next += fits ? 1 : 0;
        }
        if (!fits) {
            coder.copyFrom(savedCoder);
            model.models.copyFrom(saved);
        }
        if (next == from) {
            return 0;
        }
        coder.finish();
        SamplesCodec.writeHeader(body, offset, basePosition, from, next - from, noise);
        return SamplesCodec.HEADER_BYTES + coder.length();
    }

    private void writeChannel(int inRun) {
        model.startChannel();
        for (int row = 0; row < model.rows(); row++) {
            int packed = offs[row * (end - first) + inRun];
            model.code(coder, row, packed & SamplesModel.BRIGHT - 1, packed >> BRIGHT_BITS);
        }
    }
}
