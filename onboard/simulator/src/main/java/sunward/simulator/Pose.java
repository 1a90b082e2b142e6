package sunward.simulator;

/**
 * Where the float is and how it hangs at one instant. Mutable and reused; one a thread.
 *
 * <p>The hull frame (x forward, y starboard, z down, origin on the axis at the heads' level) is turned into north, east,
 * down by roll (positive starboard down), then pitch (positive bow up), then heading (clockwise from true north).
 */
final class Pose {
    /** Depth of the frame's origin below the mean sea surface, m. */
    double depthM;

    /** Room for what waves do to the water beside the hull. */
    final double[] strain = new double[5];

    private double headingDeg;
    private double pitchDeg;
    private double rollDeg;
    private final double[] turn = new double[9];

    /** Sets the attitude, degrees. */
    void turn(double newHeadingDeg, double newPitchDeg, double newRollDeg) {
        headingDeg = newHeadingDeg;
        pitchDeg = newPitchDeg;
        rollDeg = newRollDeg;
        double heading = Math.toRadians(newHeadingDeg);
        double pitch = Math.toRadians(newPitchDeg);
        double roll = Math.toRadians(newRollDeg);
        double ch = Math.cos(heading);
        double sh = Math.sin(heading);
        double cp = Math.cos(pitch);
        double sp = Math.sin(pitch);
        double cr = Math.cos(roll);
        double sr = Math.sin(roll);
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

    /** Heading of the x axis, degrees clockwise from true north, 0 to 360. */
    double headingDeg() {
        return headingDeg;
    }

    /** Pitch, degrees, positive bow up. */
    double pitchDeg() {
        return pitchDeg;
    }

    /** Roll, degrees, positive starboard down. */
    double rollDeg() {
        return rollDeg;
    }

    /** Angle of the hull's axis from the vertical, degrees. */
    double tiltDeg() {
        return Math.toDegrees(Math.acos(Math.min(1, turn[8])));
    }

    /** Metres north of the origin of a point of the hull frame. */
    double northM(double x, double y, double z) {
        return turn[0] * x + turn[1] * y + turn[2] * z;
    }

    /** Metres east of the origin of a point of the hull frame. */
    double eastM(double x, double y, double z) {
        return turn[3] * x + turn[4] * y + turn[5] * z;
    }

    /** Depth below the mean sea surface of a point of the hull frame, m. */
    double depthM(double x, double y, double z) {
        return depthM + turn[6] * x + turn[7] * y + turn[8] * z;
    }

    /** Turns a direction given as north, east, down into the hull frame. */
    void intoHull(double north, double east, double down, double[] into) {
        into[0] = turn[0] * north + turn[3] * east + turn[6] * down;
        into[1] = turn[1] * north + turn[4] * east + turn[7] * down;
        into[2] = turn[2] * north + turn[5] * east + turn[8] * down;
    }
}
