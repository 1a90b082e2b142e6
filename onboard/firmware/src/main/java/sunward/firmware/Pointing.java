package sunward.firmware;

/**
 * What the float would decide at one instant, by its own code: where its heads point, and which it would prefer just
 * after boot. For planning on shore; the float itself does not use it.
 */
public final class Pointing {
    /** The whole hull is under water from here on, so that all of it can shade. */
    private static final double PORT_DEPTH_M = 10;

    private final FloatPlan plan;
    private final SunDirection sun = new SunDirection();
    private final Attitude attitude = new Attitude();
    private final HullShade shade;
    private HeadChooser chooser;

    /** Makes one for a float; the declination is the plan's. */
    public Pointing(FloatPlan plan) {
        this.plan = plan;
        shade = new HullShade(plan);
        chooser = new HeadChooser(plan);
    }

    /**
     * Takes an instant, with a fix of the same moment and the hull under water.
     *
     * @param timeMs ms since 2000-01-01T00:00:00Z
     * @param latitudeDeg -90 to 90
     * @param longitudeDeg -180 to 180
     * @param headingMagneticDeg of the hull's x axis, clockwise
     * @param pitchDeg positive bow up
     * @param rollDeg positive starboard down
     */
    public void at(
            long timeMs,
            double latitudeDeg,
            double longitudeDeg,
            double headingMagneticDeg,
            double pitchDeg,
            double rollDeg) {
        sun.at(timeMs, latitudeDeg, longitudeDeg);
        attitude.take(headingMagneticDeg + plan.declinationDeg, pitchDeg, rollDeg);
        shade.sun(sun, attitude);
        chooser = new HeadChooser(plan);
        chooser.judge(timeMs, true, timeMs, sun, attitude, shade, PORT_DEPTH_M, false);
    }

    /** Heading of the hull's x axis, degrees clockwise from true north, 0 to 360. */
    public double headingTrueDeg() {
        return attitude.headingTrueDeg();
    }

    /** The preferred upwelling head, or -1 when the float has none. */
    public int preferred() {
        return chooser.preferred();
    }

    /** The fallback that holds, by its number on the wire; 0: none. */
    public int fallback() {
        return chooser.fallback();
    }

    /** Predicted share of radiance that a head loses at 555 nm, or NaN when it cannot be predicted. */
    public double loss(int head) {
        return chooser.loss(head);
    }

    /** Azimuth of a head's aperture about the hull's axis, degrees clockwise from true north, 0 to 360. */
    public double azimuthTrueDeg(int head) {
        FloatPlan.Head arm = plan.heads[head];
        return attitude.azimuthDeg(arm.armXM, arm.armYM, 0);
    }

    /** Depth of a head's aperture below the pressure port, m, positive down. */
    public double depthOffsetM(int head) {
        FloatPlan.Head arm = plan.heads[head];
        return attitude.down(arm.armXM, arm.armYM, arm.armZM + plan.portAboveM);
    }
}
