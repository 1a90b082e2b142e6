package sunward.firmware;

/**
 * What can be found out about the compass without another one.
 *
 * <p>Single readings: one further from the last good one than a float can turn is a spike, and the last good one holds for
 * a few seconds; the very same reading over and over is that of a stuck compass, since a real one trembles.
 *
 * <p>Turn by turn: the log ratio of two heads' brightness goes up and down as the hull's shadow passes over them. It is
 * compared, by linear regression, with what the shade predicts for the heading as read, for the opposite one (reversed)
 * and for the mirror image (turning the wrong way round). If one of the others explains it much better, the compass is
 * corrected by that until a later turn says otherwise. If the ratio moves like none of them and hardly at all where the
 * prediction moves, there is no direct sun: overcast. Brightness decides nothing else.
 */
final class CompassWitness {
    /** Readings of the heading: as they are, opposite, mirrored. */
    static final int READINGS = 3;

    static final int AS_READ = 0;
    static final int REVERSED = 1;
    static final int MIRRORED = 2;

    private static final int CIRCLE_CDEG = 36_000;

    /** A float turns at most this fast, 0.01 degree per s; jitter on top, 0.01 degree (common practice, no source). */
    private static final int FASTEST_CDEG_PER_S = 2000;

    private static final int JITTER_CDEG = 1500;

    /** So long a good reading stands in for spikes, ms. */
    private static final int HOLD_MS = 5000;

    /** Equal readings after which the compass counts as stuck. */
    private static final int STUCK_READINGS = 30;

    /** A window ends after one turn, or after so many moments. */
    private static final double TURN_DEG = 360;

    private static final int MOST_MOMENTS = 900;
    private static final int FEWEST_MOMENTS = 60;

    /** Correlation from which another reading is believed, and its lead over the heading as read. */
    private static final double BELIEVED = 0.4;

    private static final double LEAD = 0.3;

    /** Overcast: the ratio follows the prediction by less than this, three standard errors included. */
    private static final double OVERCAST_SLOPE = 0.3;

    /** And the ratio itself moves by less than this share of the prediction, one standard deviation of each. */
    private static final double OVERCAST_SPREAD = 0.4;

    /** Neighbouring moments are alike: so many count as one. */
    private static final double ALIKE = 4;

    /** A prediction that moves less than this (one standard deviation) decides nothing. */
    private static final double LEAST_CONTRAST = 0.004;

    private boolean goodKnown;
    private int goodCdeg;
    private long goodMs;
    private int lastCdeg;
    private int equal;
    private boolean spike;

    private int reading = AS_READ;
    private boolean overcast;
    private double turned;
    private double headingBefore;
    private int moments;
    private double sumQ;
    private double sumQq;
    private final double[] sumP = new double[READINGS];
    private final double[] sumPp = new double[READINGS];
    private final double[] sumPq = new double[READINGS];

    /** Forgets all: power has come. */
    void clear() {
        reading = AS_READ;
        diveBegins();
    }

    /** Forgets the last rise, but not a compass found reversed. */
    void diveBegins() {
        goodKnown = false;
        equal = 0;
        spike = false;
        overcast = false;
        startWindow();
    }

    /** Starts counting a turn anew. */
    void startWindow() {
        turned = 0;
        moments = 0;
        sumQ = 0;
        sumQq = 0;
        for (int k = 0; k < READINGS; k++) {
            sumP[k] = 0;
            sumPp[k] = 0;
            sumPq[k] = 0;
        }
    }

    /**
     * Takes one reading.
     *
     * @param readCdeg magnetic heading, 0.01 degree, or {@link RawScan#MISSING}
     * @return the reading to use, uncorrected, or {@link RawScan#MISSING}
     */
    int usable(long timeMs, int readCdeg) {
        spike = false;
        if (readCdeg == RawScan.MISSING) {
            return readCdeg;
        }
        equal = readCdeg == lastCdeg ? Math.min(equal + 1, STUCK_READINGS) : 0;
        lastCdeg = readCdeg;
        if (stuck()) {
            goodKnown = false;
            return RawScan.MISSING;
        }
        long away = timeMs - goodMs;
        if (goodKnown && away >= 0 && away <= HOLD_MS) {
            int jump = Math.abs(Math.floorMod(readCdeg - goodCdeg + CIRCLE_CDEG / 2, CIRCLE_CDEG) - CIRCLE_CDEG / 2);
            spike = jump > FASTEST_CDEG_PER_S * away / 1000 + JITTER_CDEG;
        }
        if (spike) {
            return goodCdeg;
        }
        goodKnown = true;
        goodCdeg = readCdeg;
        goodMs = timeMs;
        return readCdeg;
    }

    /** True when the reading last taken was a spike. */
    boolean spike() {
        return spike;
    }

    /** True while the compass gives the very same reading. */
    boolean stuck() {
        return equal >= STUCK_READINGS;
    }

    /** A magnetic heading as one of the readings has it, degrees. */
    static double asReading(int which, double headingDeg) {
        return which == REVERSED ? headingDeg + 180 : which == MIRRORED ? -headingDeg : headingDeg;
    }

    /**
     * Compares brightness and prediction at one moment.
     *
     * @param headingDeg magnetic heading as read
     * @param logRatio natural logarithm of the brightness of one head over that of another
     * @param predicted the same by the predicted shade, for each reading of the heading
     * @param shallow true where direct sunlight, if there is any, still shows
     */
    void compare(double headingDeg, double logRatio, double[] predicted, boolean shallow) {
        if (moments > 0) {
            turned += Math.abs(Attitude.wrap180(headingDeg - headingBefore));
        }
        headingBefore = headingDeg;
        moments++;
        sumQ += logRatio;
        sumQq += logRatio * logRatio;
        for (int k = 0; k < READINGS; k++) {
            sumP[k] += predicted[k];
            sumPp[k] += predicted[k] * predicted[k];
            sumPq[k] += predicted[k] * logRatio;
        }
        if (moments >= MOST_MOMENTS || turned >= TURN_DEG && moments >= FEWEST_MOMENTS) {
            judge(shallow);
            startWindow();
        }
    }

    private void judge(boolean shallow) {
        double qq = sumQq - sumQ * sumQ / moments;
        int best = reading;
        double lead = correlation(reading, qq) + LEAD;
        for (int k = 0; k < READINGS; k++) {
            double c = correlation(k, qq);
            if (k != reading && c > BELIEVED && c > lead) {
                best = k;
                lead = c;
            }
        }
        boolean dull = shallow && best == reading;
        for (int k = 0; k < READINGS; k++) {
            dull &= follows(k, qq) < OVERCAST_SLOPE;
        }
        reading = best;
        overcast = dull;
    }

    private double spread(int k) {
        return sumPp[k] - sumP[k] * sumP[k] / moments;
    }

    private double correlation(int k, double qq) {
        double pp = spread(k);
        double pq = sumPq[k] - sumP[k] * sumQ / moments;
        boolean telling = pp > LEAST_CONTRAST * LEAST_CONTRAST * moments && qq > 0;
        return telling ? pq / Math.sqrt(pp * qq) : 0;
    }

    /** Slope of the ratio over the prediction and three of its standard errors; infinite when nothing can be said. */
    private double follows(int k, double qq) {
        double pp = spread(k);
        if (pp <= LEAST_CONTRAST * LEAST_CONTRAST * moments) {
            return Double.MAX_VALUE;
        }
        double pq = sumPq[k] - sumP[k] * sumQ / moments;
        double rest = Math.max(0, qq - pq * pq / pp);
        if (qq > pp * OVERCAST_SPREAD * OVERCAST_SPREAD) {
            return Double.MAX_VALUE; // shadows pass, only not where they are predicted
        }
        return pq / pp + 3 * Math.sqrt(rest / pp / Math.max(1, moments / ALIKE - 2));
    }

    /** How the compass must be read: {@link #AS_READ}, {@link #REVERSED} or {@link #MIRRORED}. */
    int reading() {
        return reading;
    }

    /** True when the last turn showed no direct sun. */
    boolean overcast() {
        return overcast;
    }
}
