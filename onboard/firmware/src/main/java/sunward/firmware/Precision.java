package sunward.firmware;

import sunward.protocol.spectra.BasisCodec;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.Codecs;
import sunward.protocol.spectra.DeltaCodec;

/**
 * How finely a dive's bins are written: the codec, the channels averaged into a sample, and the quantiser's step near the
 * surface and below. Every setting is tried on the real bins, by encoding them, so that every cost is exact.
 *
 * <p>The first of the {@link #WAYS} that carries every bin at a step fine enough is taken, and its steps are made as
 * fine as fit, near the surface first. When none does, the way and the step are chosen that leave the least uncertainty of
 * surface radiance ({@link SurfaceScore}), even where the deepest bins then stay behind; of settings that do equally well for
 * the surface the one is taken that carries more of the profile and of the spectrum.
 */
final class Precision {
    /** Tries the settings that now hold. */
    interface Trial {
        /** True when every bin fits. */
        boolean fits();

        /** What the settings last tried leave of the surface's uncertainty: smaller is better, 0.02 is one percent of it. */
        double score();
    }

    /**
     * Codec number, channels averaged into a sample, and the coarsest step that is fine enough: from what keeps most to what costs
     * least. Every sample to half its noise; bands to six tenths of theirs, all channels; samples to four times their noise, which
     * bands of neighbours still average away.
     */
    private static final int[][] WAYS = {
        {DeltaCodec.NUMBER, 1, 4},
        {BasisCodec.NUMBER, 1, 12},
        {DeltaCodec.NUMBER, 1, 8},
        {DeltaCodec.NUMBER, 2, 8},
        {DeltaCodec.NUMBER, 4, 8},
        {DeltaCodec.NUMBER, 8, 8},
        {DeltaCodec.NUMBER, 16, 8}
    };

    /** Where bands are told with all their channels, averages have to show by the score that they are better. */
    private static final int BANDS = 1;

    private static final int COARSEST = 15;

    /** Deep bins are quantised by so many codes (half octaves) more coarsely: the surface hardly hangs on them. */
    private static final int DEEP_COARSER = 4;

    /** Scores closer than this are the same: half a percent of uncertainty. */
    private static final double SAME = 0.01;

    /** A step finer than the best by this many codes is not looked for once scores only grow. */
    private static final int LOOK_FURTHER = 3;

    private final FloatPlan plan;
    private int codec = DeltaCodec.NUMBER;
    private int channelsPerSample = 1;
    private int nearStep;
    private int deepStep;

    Precision(FloatPlan plan) {
        this.plan = plan;
    }

    /** The codec's number. */
    int codec() {
        return codec;
    }

    /** Channels averaged into a sample. */
    int channelsPerSample() {
        return channelsPerSample;
    }

    /** Step code of the bins near the surface. */
    int nearStep() {
        return nearStep;
    }

    /** Step code of the deeper bins. */
    int deepStep() {
        return deepStep;
    }

    /** Settles on the best settings; whatever the room, some bins go. */
    void choose(Trial trial) {
        int last = allowed(WAYS[BANDS]) ? BANDS : WAYS.length - 1;
        for (int way = 0; way <= last; way++) {
            if (allowed(WAYS[way])) {
                take(way);
                int coarsest = WAYS[way][2];
                setLadder(coarsest);
                if (trial.fits()) {
                    setLadder(finestFitting(trial, coarsest));
                    refine(trial);
                    return;
                }
            }
        }
        chooseByScore(trial);
        if (trial.fits()) {
            refine(trial);
        } else {
            carryMore(trial);
        }
    }

    private void chooseByScore(Trial trial) {
        double best = Double.POSITIVE_INFINITY;
        int bestWay = 0;
        int bestStep = COARSEST;
        for (int way = 0; way < WAYS.length; way++) {
            if (!allowed(WAYS[way])) {
                continue;
            }
            take(way);
            int step = Math.min(COARSEST, finestFitting(trial, COARSEST + 1));
            int behind = 0;
            while (step >= 0 && behind < LOOK_FURTHER) {
                setLadder(step);
                trial.fits();
                double score = trial.score();
                behind++;
                if (score < best - SAME) {
                    best = score;
                    bestWay = way;
                    bestStep = step;
                    behind = 0;
                }
                step--;
            }
        }
        take(bestWay);
        setLadder(bestStep);
    }

    private void take(int way) {
        codec = WAYS[way][0];
        channelsPerSample = plan.thinned || plan.channelsPerSample == 0 ? WAYS[way][1] : plan.channelsPerSample;
    }

    /**
     * Thinned channels are no neighbours: they are never averaged, nor told by bands. A plan may fix how many are averaged; then
     * codec and step alone are chosen.
     */
    private boolean allowed(int[] way) {
        BlockCodec codecOfWay = Codecs.ofNumber(way[0]);
        int group = plan.thinned || plan.channelsPerSample == 0 ? way[1] : plan.channelsPerSample;
        for (FloatPlan.Head head : plan.heads) {
            if (!codecOfWay.carries(BinStore.samples(head.channels, group), group)) {
                return false;
            }
        }
        return plan.thinned ? way[1] == 1 && !codecOfWay.bandwise() : plan.channelsPerSample == 0 || way[1] == 1;
    }

    /** The finest step of the ladder at which every bin fits, or {@code coarse} when none finer does; finer never costs less. */
    private int finestFitting(Trial trial, int coarsest) {
        int fine = 0;
        int coarse = coarsest;
        while (fine < coarse) {
            int middle = (fine + coarse) / 2;
            setLadder(middle);
            if (trial.fits()) {
                coarse = middle;
            } else {
                fine = middle + 1;
            }
        }
        return coarse;
    }

    /** Every bin fits: makes the near step as fine as fits, then the deep step. */
    private void refine(Trial trial) {
        while (nearStep > 0) {
            nearStep--;
            if (!trial.fits()) {
                nearStep++;
                break;
            }
        }
        while (deepStep > nearStep) {
            deepStep--;
            if (!trial.fits()) {
                deepStep++;
                break;
            }
        }
    }

    /** Not every bin fits: the deep step is widened where that costs the surface nothing, so that more of them go. */
    private void carryMore(Trial trial) {
        double score = trial.score();
        int finer = deepStep;
        deepStep = COARSEST;
        trial.fits();
        if (trial.score() > score + SAME) {
            deepStep = finer;
        }
    }

    private void setLadder(int step) {
        nearStep = step;
        deepStep = Math.min(COARSEST, step + DEEP_COARSER);
    }
}
