package sunward.firmware;

/**
 * How finely a dive's bins are written: the codec, the channels averaged into a sample, and the quantiser's step near the
 * surface and below. Every setting is tried on the real bins, by encoding them, so that every cost is exact.
 *
 * <p>The finest of the {@link #WAYS} that carries every bin with a usual step is taken, and its steps are made as
 * fine as fit, near the surface first. When none does, the way and the step are chosen that leave the least uncertainty of
 * surface radiance ({@link SurfaceScore}), even where the deepest bins then stay behind; of settings that do equally well for
 * the surface the one is taken that carries more of the profile.
 */
final class Precision {
    /** Tries the settings that now hold. */
    interface Trial {
        /** True when every bin fits. */
        boolean fits();

        /** What the settings last tried leave of the surface's uncertainty: smaller is better, 0.02 is one percent of it. */
        double score();
    }

    /** Codec number and channels averaged into a sample, from what keeps most to what costs least. */
    private static final int[][] WAYS = {{1, 1}, {1, 2}, {1, 4}, {1, 8}, {1, 16}};

    private static final int COARSEST = 15;

    /** Deep bins are quantised by so many codes (half octaves) more coarsely: the surface hardly hangs on them. */
    private static final int DEEP_COARSER = 4;

    /** Four times the noise of a sample: a band of neighbours still averages most of the rounding away, and spectral detail is kept. */
    private static final int FINE_STEP = 8;

    /** Scores closer than this are the same: half a percent of uncertainty. */
    private static final double SAME = 0.01;

    /** A step finer than the best by this many codes is not looked for once scores only grow. */
    private static final int LOOK_FURTHER = 3;

    private final FloatPlan plan;
    private int codec = WAYS[0][0];
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
        double best = Double.POSITIVE_INFINITY;
        int bestWay = 0;
        int bestStep = COARSEST;
        for (int way = 0; way < WAYS.length; way++) {
            if (!allowed(WAYS[way])) {
                continue;
            }
            take(way);
            int fitting = finestFitting(trial);
            if (fitting <= FINE_STEP) {
                setLadder(fitting);
                refine(trial);
                return;
            }
            int step = Math.min(COARSEST, fitting);
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
        if (trial.fits()) {
            refine(trial);
        } else {
            carryMore(trial);
        }
    }

    private void take(int way) {
        codec = WAYS[way][0];
        channelsPerSample = plan.thinned || plan.channelsPerSample == 0 ? WAYS[way][1] : plan.channelsPerSample;
    }

    /** Thinned channels are no neighbours and are never averaged; a plan may fix how many are. */
    private boolean allowed(int[] way) {
        return plan.thinned || plan.channelsPerSample > 0 ? way[1] == 1 : true;
    }

    /** The finest step of the ladder at which every bin fits, or one more than the coarsest; finer never costs less. */
    private int finestFitting(Trial trial) {
        int fine = 0;
        int coarse = COARSEST + 1;
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
