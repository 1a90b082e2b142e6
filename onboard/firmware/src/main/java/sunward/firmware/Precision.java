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

        /** True when the settings last tried left more messages unused than an estimate may. */
        boolean spare();

        /** Messages that every bin would take over those there are: an estimate, for a fraction of the work. */
        double share();

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

    /** An estimate of more messages than this over those there are: not tried at all. */
    private static final double HOPELESS = 1.15;

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

    /**
     * Settles on the best settings; whatever the room, some bins go.
     *
     * @return true when they are those tried last
     */
    boolean choose(Trial trial) {
        int last = allowed(WAYS[BANDS]) ? BANDS : WAYS.length - 1;
        for (int way = 0; way <= last; way++) {
            if (allowed(WAYS[way])) {
                take(way);
                if (settle(trial, WAYS[way][2])) {
                    boolean spare = trial.spare();
                    if (spare) {
                        refine(trial); // few messages are told less well
                    }
                    return !spare;
                }
            }
        }
        chooseByScore(trial);
        if (trial.fits()) {
            refine(trial);
        } else {
            carryMore(trial);
        }
        return false;
    }

    /**
     * Makes the steps of a way as fine as the estimate says will fit, then coarser until they do. Leaves the settings tried last.
     *
     * @return false when not even the coarsest that is fine enough fits
     */
    private boolean settle(Trial trial, int coarsest) {
        setLadder(coarsest);
        if (trial.share() > HOPELESS) {
            return false;
        }
        int fine = 0;
        int coarse = coarsest;
        while (fine < coarse) {
            int middle = (fine + coarse) / 2;
            setLadder(middle);
            if (trial.share() <= 1) {
                coarse = middle;
            } else {
                fine = middle + 1;
            }
        }
        setLadder(coarse);
        while (nearStep > 0 && shareWith(trial, nearStep - 1, deepStep) <= 1) {
            nearStep--;
        }
        // The next finer rung is known not to fit: with a finer near step its deep step needs no trial.
        boolean deepKnown = nearStep < coarse && coarse + DEEP_COARSER <= COARSEST;
        while (!deepKnown && deepStep > nearStep && shareWith(trial, nearStep, deepStep - 1) <= 1) {
            deepStep--;
        }
        while (!trial.fits()) {
            if (deepStep < Math.min(COARSEST, nearStep + DEEP_COARSER)) {
                deepStep++;
            } else if (nearStep < coarsest) {
                nearStep++;
            } else {
                return false;
            }
        }
        return true;
    }

    private double shareWith(Trial trial, int near, int deep) {
        int nearBefore = nearStep;
        int deepBefore = deepStep;
        nearStep = near;
        deepStep = deep;
        double share = trial.share();
        nearStep = nearBefore;
        deepStep = deepBefore;
        return share;
    }

    private void chooseByScore(Trial trial) {
        double best = Double.POSITIVE_INFINITY;
        int bestWay = 0;
        int bestStep = COARSEST;
        for (int i = 0; i < WAYS.length; i++) {
            int way = i > BANDS ? i : BANDS - i; // bands first: what is far behind them is soon given up
            if (!allowed(WAYS[way])) {
                continue;
            }
            take(way);
            setLadder(COARSEST);
            int step = trial.share() > HOPELESS ? COARSEST : Math.min(COARSEST, finestFitting(trial, COARSEST + 1));
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
