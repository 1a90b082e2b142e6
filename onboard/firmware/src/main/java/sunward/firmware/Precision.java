package sunward.firmware;

/**
 * How finely a dive's bins are written: the codec, the channels averaged into a sample, and the quantiser's step near the
 * surface and below. {@link #choose} tries settings on the real bins, by encoding them, so that every cost is exact.
 *
 * <p>First the {@link #WAYS} in turn, each at its usual step, until all bins fit; then the step as fine as fits, four times
 * as fine near the surface as below; then the near step alone once more, and the deep step.
 */
final class Precision {
    /** Tells whether every bin fits at the settings that now hold. */
    interface Trial {
        boolean fits();
    }

    /** Codec number and channels averaged into a sample, from what keeps most to what costs least. */
    private static final int[][] WAYS = {{1, 1}, {1, 2}, {1, 4}, {1, 8}, {1, 16}};

    private static final int STEPS = 16;

    /** Deep bins are quantised by so many codes (half octaves) more coarsely. */
    private static final int DEEP_COARSER = 4;

    /** Step code near the surface up to which another way is rather tried than the step widened: about 4 sigma. */
    private static final int USUAL_STEP = 8;

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

    /** Settles on the finest settings that fit; the coarsest when none does. */
    void choose(Trial trial) {
        boolean usual = chooseWay(trial);
        // The finest step of the ladder that fits; finer steps never cost less.
        int fine = usual ? 0 : USUAL_STEP + 1;
        int coarse = usual ? USUAL_STEP : STEPS - 1;
        while (fine < coarse) {
            int middle = (fine + coarse) / 2;
            setLadder(middle);
            if (trial.fits()) {
                coarse = middle;
            } else {
                fine = middle + 1;
            }
        }
        setLadder(coarse);
        if (!trial.fits()) {
            return;
        }
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

    /** Settles on the first allowed way in which all bins fit at the usual step; false, with the last, when none does. */
    private boolean chooseWay(Trial trial) {
        for (int[] way : WAYS) {
            if (allowed(way)) {
                codec = way[0];
                channelsPerSample = way[1];
                setLadder(USUAL_STEP);
                if (trial.fits()) {
                    return true;
                }
            }
        }
        if (!plan.thinned && plan.channelsPerSample > 0) {
            channelsPerSample = plan.channelsPerSample;
            setLadder(USUAL_STEP);
            return trial.fits();
        }
        return false;
    }

    /** Thinned channels are no neighbours and are never averaged; a plan may fix how many are. */
    private boolean allowed(int[] way) {
        return plan.thinned ? way[1] == 1 : plan.channelsPerSample == 0;
    }

    private void setLadder(int step) {
        nearStep = step;
        deepStep = Math.min(STEPS - 1, step + DEEP_COARSER);
    }
}
