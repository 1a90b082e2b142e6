package sunward.firmware;

import sunward.protocol.trig.Trig;

/**
 * How the hull lies: heading and tilt fused from their sensors, and hull-frame vectors turned into the sea's frame
 * (north, east, down). With heading h, pitch p and roll r the turn is Rz(h) Ry(p) Rx(r), the usual order of heading,
 * pitch, roll for a frame with z down.
 */
final class Attitude {
    private static final double RADIANS = Math.PI / 180;
    private static final double CENTIDEGREES = 0.01;

    private final double[] turn = new double[9]; // row by row: north, east, down
    private boolean headingKnown;
    private boolean tiltInDoubt;
    private double headingTrueDeg;
    private double pitchDeg;
    private double rollDeg;

    /**
     * Takes one scan's readings.
     *
     * <p>Two tilt sensors that agree are averaged. When a witness names one as wrong the other is used alone, and so is
     * one whose partner is missing; it must then be vouched for. Else the tilt is in doubt: on disagreement the mean
     * stands in, since half of a wrong difference is the smallest worst error. No tilt at all counts as upright.
     *
     * @param headingCdeg magnetic heading to use instead of the scan's, 0.01 degree, or {@link RawScan#MISSING}
     * @param declinationDeg added to the magnetic heading, degrees, east positive
     * @param disagreementDeg largest difference of the two tilt sensors that still agrees, degrees
     * @param witness has taken the scan
     */
    void take(RawScan scan, int headingCdeg, double declinationDeg, double disagreementDeg, TiltWitness witness) {
        boolean first = TiltWitness.present(scan, 0) && witness.bad() != 0;
        boolean second = TiltWitness.present(scan, 1) && witness.bad() != 1;
        if (first && second) {
            pitchDeg = (scan.pitchCdeg[0] + scan.pitchCdeg[1]) * (0.5 * CENTIDEGREES);
            rollDeg = (scan.rollCdeg[0] + scan.rollCdeg[1]) * (0.5 * CENTIDEGREES);
            tiltInDoubt = TiltWitness.apartDeg(scan) > disagreementDeg;
        } else {
            int from = first ? 0 : 1;
            pitchDeg = first || second ? scan.pitchCdeg[from] * CENTIDEGREES : 0;
            rollDeg = first || second ? scan.rollCdeg[from] * CENTIDEGREES : 0;
            tiltInDoubt = !(first || second) || !witness.vouches(from, disagreementDeg);
        }
        headingKnown = headingCdeg != RawScan.MISSING;
        headingTrueDeg = headingKnown ? wrap360(headingCdeg * CENTIDEGREES + declinationDeg) : 0;
        set(headingTrueDeg, pitchDeg, rollDeg);
    }

    /** The same tilt under another true heading, degrees. */
    void turnTo(Attitude from, double headingTrue) {
        take(headingTrue, from.pitchDeg, from.rollDeg);
    }

    /** Takes an attitude that is known: true heading, pitch and roll, degrees. */
    void take(double headingTrue, double pitch, double roll) {
        headingKnown = true;
        tiltInDoubt = false;
        headingTrueDeg = wrap360(headingTrue);
        pitchDeg = pitch;
        rollDeg = roll;
        set(headingTrueDeg, pitchDeg, rollDeg);
    }

    private void set(double heading, double pitch, double roll) {
        double sh = Trig.sin(heading * RADIANS);
        double ch = Trig.cos(heading * RADIANS);
        double sp = Trig.sin(pitch * RADIANS);
        double cp = Trig.cos(pitch * RADIANS);
        double sr = Trig.sin(roll * RADIANS);
        double cr = Trig.cos(roll * RADIANS);
        turn[0] = ch * cp;
        turn[1] = ch * sp * sr - sh * cr;
        turn[2] = ch * sp * cr + sh * sr;
        turn[3] = sh * cp;
        turn[4] = sh * sp * sr + ch * cr;
        turn[5] = sh * sp * cr - ch * sr;
        turn[6] = -sp;
        turn[7] = cp * sr;
        turn[8] = cp * cr;
    }

    /** False when the compass gave nothing. */
    boolean headingKnown() {
        return headingKnown;
    }

    /** True when the tilt sensors disagree, or only one is there and no witness vouches for it. */
    boolean tiltInDoubt() {
        return tiltInDoubt;
    }

    /** Heading of the hull's x axis, degrees clockwise from true north. */
    double headingTrueDeg() {
        return headingTrueDeg;
    }

    /** Tilt from the vertical, degrees. */
    double tiltDeg() {
        return Trig.acos(Math.min(1, Math.max(-1, turn[8]))) / RADIANS;
    }

    /** How far a hull-frame vector reaches down once the hull is turned, m. */
    double down(double x, double y, double z) {
        return turn[6] * x + turn[7] * y + turn[8] * z;
    }

    /** True azimuth of a hull-frame vector once the hull is turned, degrees; of the x axis for a vertical one. */
    double azimuthDeg(double x, double y, double z) {
        double north = turn[0] * x + turn[1] * y + turn[2] * z;
        double east = turn[3] * x + turn[4] * y + turn[5] * z;
        if (north * north + east * east < 1e-12) {
            return headingTrueDeg;
        }
        return wrap360(Trig.atan2(east, north) / RADIANS);
    }

    /** Hull-frame x part of a vector given as north, east, down. */
    double hullX(double north, double east, double down) {
        return turn[0] * north + turn[3] * east + turn[6] * down;
    }

    /** Hull-frame y part of a vector given as north, east, down. */
    double hullY(double north, double east, double down) {
        return turn[1] * north + turn[4] * east + turn[7] * down;
    }

    /** Hull-frame z part of a vector given as north, east, down. */
    double hullZ(double north, double east, double down) {
        return turn[2] * north + turn[5] * east + turn[8] * down;
    }

    /** An angle brought into 0 (with) to 360 (without), degrees. */
    static double wrap360(double degrees) {
        double wrapped = degrees - 360 * Math.floor(degrees / 360);
        return wrapped >= 360 ? 0 : wrapped;
    }

    /** An angle brought into -180 (with) to 180 (without), degrees. */
    static double wrap180(double degrees) {
        return wrap360(degrees + 180) - 180;
    }
}
