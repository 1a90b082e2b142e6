package sunward.firmware;

/**
 * The exposure of one head, in octaves, and when its shutter stays closed.
 *
 * <p>A light scan whose brightest channel is above one share of full scale halves the exposure; below the other it is
 * doubled as often as that channel, dark level taken off, stays below that share. The plan keeps twice the lower share
 * below the upper one, so a change never calls for its own undoing. A saturated scan says nothing about how bright it was: three octaves are
 * dropped at once. Every change is followed by a dark at the new exposure, and so is a change of the head's temperature
 * by the plan's step since the last dark.
 */
final class ExposureControl {
    private static final int SATURATED_DROP = 3;

    private final FloatPlan plan;
    private final int fullScale;
    private int octaves;
    private double raiseBelow;
    private double lowerAbove;
    private int darkEvery;

    private int code;
    private int scansSinceDark;
    private boolean darkDue;
    private int darkLevel;
    private int darkCdeg;

    ExposureControl(FloatPlan plan, int head) {
        this.plan = plan;
        fullScale = plan.heads[head].fullScaleCounts;
        start();
    }

    /** Starts a profile under the plan that now holds: the longest exposure, a dark first. */
    void start() {
        octaves = plan.octaves;
        raiseBelow = plan.raiseBelowShare * fullScale;
        lowerAbove = plan.lowerAboveShare * fullScale;
        darkEvery = plan.darkEvery;
        code = octaves;
        scansSinceDark = 0;
        darkDue = true;
        darkLevel = 0;
        darkCdeg = RawScan.MISSING;
    }

    /** Exposure of the next scan: shortest exposure doubled this many times. */
    int code() {
        return code;
    }

    /** Mean counts of the last dark; 0 before the first. */
    int darkLevel() {
        return darkLevel;
    }

    /** True when the next scan is a dark. */
    boolean darkNext() {
        return darkDue || scansSinceDark >= darkEvery - 1;
    }

    /** Takes a dark of a head at a temperature, 0.01 degC, or {@link RawScan#MISSING}. */
    void dark(int exposureCode, int meanCounts, int cdeg) {
        darkLevel = meanCounts;
        darkCdeg = cdeg;
        scansSinceDark = 0;
        darkDue = darkDue && exposureCode != code;
    }

    /** Takes a light scan by its brightest channel, raw counts; one of another exposure (late) changes no exposure. */
    void light(int exposureCode, int peakCounts, int cdeg) {
        scansSinceDark++;
        boolean known = cdeg != RawScan.MISSING && darkCdeg != RawScan.MISSING;
        darkDue |= known && Math.abs((long) cdeg - darkCdeg) >= plan.darkEveryCdeg;
        if (exposureCode != code) {
            return;
        }
        int next = code;
        if (peakCounts >= fullScale) {
            next = Math.max(0, code - SATURATED_DROP);
        } else if (peakCounts > lowerAbove) {
            next = Math.max(0, code - 1);
        } else {
            double signal = Math.max(1, peakCounts - darkLevel);
            double raised = signal + darkLevel;
            while (next < octaves && raised < raiseBelow) {
                next++;
                signal *= 2;
                raised = signal + darkLevel;
            }
        }
        darkDue = darkDue || next != code;
        code = next;
    }
}
