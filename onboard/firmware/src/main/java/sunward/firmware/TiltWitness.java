package sunward.firmware;

import sunward.protocol.trig.Trig;

/**
 * Says which of the two tilt sensors is wrong, by witnesses that know nothing of either.
 *
 * <p>The magnetic dip: the compass feels the field's angle to the hull, {@code sin d = a cos I + b sin I}, where a and b
 * are the north and down parts of the hull's axis and I is the dip of the place, learned while both sensors agree. A
 * sensor whose tilt does not explain d over a minute is wrong if the other one's does. Towards the magnetic poles the
 * field is too steep to tell; then, and where the compass is silent, the trim decides: how the float hung at its parking
 * depth, from which the mean tilt of a rise moves little. Witnesses that contradict each other name nobody.
 */
final class TiltWitness {
    /** Nobody is named. */
    static final int NOBODY = -1;

    private static final double RADIANS = Math.PI / 180;
    private static final double CENTIDEGREES = 0.01;
    private static final int SENSORS = 2;

    /** Moments over which residuals and mean tilts are averaged, and before which nothing is said. */
    private static final int DIP_MOMENTS = 64;

    private static final int TRIM_MOMENTS = 256;
    private static final int LEARNED_AFTER = 32;
    private static final int TRIM_READINGS = 8;

    /** Below this cosine of the dip the field is too steep to tell. */
    private static final double LEAST_LEVEL_SHARE = 0.2;

    private final double[] trimPitch = new double[SENSORS];
    private final double[] trimRoll = new double[SENSORS];
    private final int[] trims = new int[SENSORS];
    private final double[] meanPitch = new double[SENSORS];
    private final double[] meanRoll = new double[SENSORS];
    private final int[] means = new int[SENSORS];
    private final double[] squares = new double[SENSORS];
    private final int[] residuals = new int[SENSORS];
    private final double[] level = new double[SENSORS];
    private final double[] upright = new double[SENSORS];
    private final int[] absent = new int[SENSORS];
    private double dip;
    private int learned;
    private int bad = NOBODY;

    /** Forgets all: power has come. */
    void clear() {
        for (int i = 0; i < SENSORS; i++) {
            trims[i] = 0;
        }
        diveBegins();
    }

    /** Forgets the last rise. */
    void diveBegins() {
        for (int i = 0; i < SENSORS; i++) {
            means[i] = 0;
            residuals[i] = 0;
            absent[i] = 0;
        }
        learned = 0;
        bad = NOBODY;
    }

    /** How the float hangs at its parking depth, by one sensor, 0.01 degree or {@link RawScan#MISSING}. */
    void trim(int sensor, int pitchCdeg, int rollCdeg) {
        if (pitchCdeg == RawScan.MISSING || rollCdeg == RawScan.MISSING) {
            return;
        }
        trims[sensor] = Math.min(trims[sensor] + 1, TRIM_MOMENTS);
        trimPitch[sensor] += (pitchCdeg * CENTIDEGREES - trimPitch[sensor]) / trims[sensor];
        trimRoll[sensor] += (rollCdeg * CENTIDEGREES - trimRoll[sensor]) / trims[sensor];
    }

    static boolean present(RawScan scan, int sensor) {
        return scan.pitchCdeg[sensor] != RawScan.MISSING && scan.rollCdeg[sensor] != RawScan.MISSING;
    }

    /**
     * Takes one moment's readings.
     *
     * @param limitDeg largest difference of the two sensors that still agrees, degrees
     */
    void take(RawScan scan, double limitDeg) {
        for (int i = 0; i < SENSORS; i++) {
            absent[i] = present(scan, i) ? 0 : Math.min(absent[i] + 1, DIP_MOMENTS);
        }
        boolean magnetic = scan.headingCdeg != RawScan.MISSING && scan.fieldDipCdeg != RawScan.MISSING;
        for (int i = 0; i < SENSORS; i++) {
            if (present(scan, i)) {
                means[i] = Math.min(means[i] + 1, TRIM_MOMENTS);
                meanPitch[i] += (scan.pitchCdeg[i] * CENTIDEGREES - meanPitch[i]) / means[i];
                meanRoll[i] += (scan.rollCdeg[i] * CENTIDEGREES - meanRoll[i]) / means[i];
                if (magnetic) {
                    axis(scan, i);
                }
            }
        }
        if (magnetic) {
            learn(scan, limitDeg);
        }
        bad = verdict(limitDeg);
    }

    /** North and down parts of the hull's axis by one sensor. */
    private void axis(RawScan scan, int i) {
        double heading = scan.headingCdeg * CENTIDEGREES * RADIANS;
        double pitch = scan.pitchCdeg[i] * CENTIDEGREES * RADIANS;
        double roll = scan.rollCdeg[i] * CENTIDEGREES * RADIANS;
        double cosRoll = Trig.cos(roll);
        level[i] = Trig.cos(heading) * Trig.sin(pitch) * cosRoll + Trig.sin(heading) * Trig.sin(roll);
        upright[i] = Trig.cos(pitch) * cosRoll;
    }

    private void learn(RawScan scan, double limitDeg) {
        double felt = Trig.sin(scan.fieldDipCdeg * CENTIDEGREES * RADIANS);
        boolean both = present(scan, 0) && present(scan, 1);
        if (both && bad == NOBODY && apartDeg(scan) <= limitDeg / 2) {
            double a = (level[0] + level[1]) / 2;
            double b = (upright[0] + upright[1]) / 2;
            if (learned == 0) {
                dip = scan.fieldDipCdeg * CENTIDEGREES * RADIANS;
            }
            learned = Math.min(learned + 1, TRIM_MOMENTS);
            double slope = Trig.cos(dip) * b - Trig.sin(dip) * a;
            if (slope > LEAST_LEVEL_SHARE) {
                dip += residual(felt, a, b) / slope / learned;
            }
        }
        if (learned < LEARNED_AFTER) {
            return;
        }
        for (int i = 0; i < SENSORS; i++) {
            if (present(scan, i)) {
                double r = residual(felt, level[i], upright[i]);
                residuals[i] = Math.min(residuals[i] + 1, DIP_MOMENTS);
                squares[i] = residuals[i] == 1 ? r * r : squares[i] + (r * r - squares[i]) / residuals[i];
            }
        }
    }

    private double residual(double felt, double a, double b) {
        return felt - Trig.cos(dip) * a - Trig.sin(dip) * b;
    }

    /** How far the two sensors are apart, degrees; both must be there. */
    static double apartDeg(RawScan scan) {
        double pitch = (scan.pitchCdeg[0] - scan.pitchCdeg[1]) * CENTIDEGREES;
        double roll = (scan.rollCdeg[0] - scan.rollCdeg[1]) * CENTIDEGREES;
        return Math.sqrt(pitch * pitch + roll * roll);
    }

    private int verdict(double limitDeg) {
        int byDip = worse(dipOffDeg(0), dipOffDeg(1), limitDeg / 4);
        int byTrim = worse(trimOffDeg(0), trimOffDeg(1), limitDeg / 2);
        boolean contradict = byDip != NOBODY && byTrim != NOBODY && byDip != byTrim;
        return contradict ? NOBODY : byDip != NOBODY ? byDip : byTrim;
    }

    /** The sensor that is off by more than a limit and by more than twice the other; NaN: not known. */
    private static int worse(double first, double second, double limit) {
        return first > limit && second < first / 2 ? 0 : second > limit && first < second / 2 ? 1 : NOBODY;
    }

    /** Tilt by which a sensor misses the dip, root mean square, degrees; NaN while nothing can be said. */
    private double dipOffDeg(int sensor) {
        double levelShare = Trig.cos(dip);
        boolean known = residuals[sensor] == DIP_MOMENTS && levelShare > LEAST_LEVEL_SHARE;
        return known ? Math.sqrt(squares[sensor]) / levelShare / RADIANS : Double.NaN;
    }

    /** How far the mean tilt has moved from the trim, degrees; NaN while nothing can be said. */
    private double trimOffDeg(int sensor) {
        if (trims[sensor] < TRIM_READINGS || means[sensor] < TRIM_MOMENTS) {
            return Double.NaN;
        }
        double pitch = meanPitch[sensor] - trimPitch[sensor];
        double roll = meanRoll[sensor] - trimRoll[sensor];
        return Math.sqrt(pitch * pitch + roll * roll);
    }

    /** True when a sensor has given nothing for a minute. */
    boolean missing(int sensor) {
        return absent[sensor] == DIP_MOMENTS;
    }

    /** The sensor that is wrong, 0 or 1, or {@link #NOBODY}. */
    int bad() {
        return bad;
    }

    /** True when a witness finds a sensor right; the other one is then not needed. */
    boolean vouches(int sensor, double limitDeg) {
        return bad != sensor && (dipOffDeg(sensor) < limitDeg / 4 || trimOffDeg(sensor) < limitDeg / 4);
    }
}
