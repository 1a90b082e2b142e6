package sunward.simulator;

import sunward.firmware.RawScan;
import sunward.protocol.schema.Compass;

/**
 * The true compass and the two tilt sensors. The compass has a fixed misalignment and a deviation that goes once round
 * with the heading (hard iron), together of the
 * scene's rms, and one that goes twice round (soft iron); each tilt sensor has a bias of its own. Immutable.
 */
final class AttitudeSensors {
    /** Part of the heading error's variance that does not change with heading (invented). */
    private static final double FIXED_SHARE = 0.3;

    private final Compass scene;
    private final long address;
    private final double declinationDeg;
    private final double inclinationDeg;
    private final double misalignmentDeg;
    private final double deviationDeg;
    private final double deviationPhase;
    private final double softIronDeg;
    private final double softIronPhase;
    private final double[] pitchBiasDeg = new double[2];
    private final double[] rollBiasDeg = new double[2];

    AttitudeSensors(Compass scene, double declinationDeg, double inclinationDeg, long diveSeed, long instrumentSeed) {
        this.scene = scene;
        this.address = Noise.hash(diveSeed, Part.COMPASS);
        this.declinationDeg = declinationDeg;
        this.inclinationDeg = inclinationDeg;
        long own = Noise.hash(instrumentSeed, Part.COMPASS);
        misalignmentDeg = scene.getHeadingErrorDeg() * Math.sqrt(FIXED_SHARE) * Noise.gaussian(Noise.hash(own, 0));
        deviationDeg = scene.getHeadingErrorDeg() * Math.sqrt(2 * (1 - FIXED_SHARE));
        deviationPhase = 2 * Math.PI * Noise.uniform(Noise.hash(own, 1));
        softIronDeg = scene.getSoftIronDeg();
        softIronPhase = 2 * Math.PI * Noise.uniform(Noise.hash(own, 2));
        for (int i = 0; i < 2; i++) {
            long sensor = Noise.hash(instrumentSeed, Part.TILT_SENSOR, i);
            pitchBiasDeg[i] = scene.getTiltBiasDeg() * Noise.gaussian(Noise.hash(sensor, 0));
            rollBiasDeg[i] = scene.getTiltBiasDeg() * Noise.gaussian(Noise.hash(sensor, 1));
        }
    }

    /** Fills in the heading and tilts that the sensors give. */
    void read(Pose pose, long tickMs, RawScan into) {
        double heading = pose.headingDeg()
                - declinationDeg
                + misalignmentDeg
                + deviationDeg * Math.sin(Math.toRadians(pose.headingDeg()) + deviationPhase)
                + softIronDeg * Math.sin(2 * Math.toRadians(pose.headingDeg()) + softIronPhase)
                + scene.getHeadingNoiseDeg() * Noise.gaussian(Noise.hash(address, tickMs, 0));
        into.headingCdeg = (int) Math.floorMod(Math.round(heading * 100), 36_000L);
        into.fieldDipCdeg = dip(pose, Noise.hash(address, tickMs, 5));
        for (int i = 0; i < 2; i++) {
            into.pitchCdeg[i] = centi(pose.pitchDeg() + pitchBiasDeg[i], Noise.hash(address, tickMs, 1 + 2 * i));
            into.rollCdeg[i] = centi(pose.rollDeg() + rollBiasDeg[i], Noise.hash(address, tickMs, 2 + 2 * i));
        }
    }

    /** What the three-axis compass feels of the field's dip, without knowing how it hangs. */
    private int dip(Pose pose, long noise) {
        double north = Math.toRadians(declinationDeg);
        double inclination = Math.toRadians(inclinationDeg);
        double level = Math.cos(inclination);
        double[] hull = new double[3];
        pose.intoHull(level * Math.cos(north), level * Math.sin(north), Math.sin(inclination), hull);
        double dip = Math.toDegrees(Math.asin(Math.max(-1, Math.min(1, hull[2]))));
        return (int) Math.rint((dip + scene.getDipNoiseDeg() * Noise.gaussian(noise)) * 100);
    }

    private int centi(double degrees, long noise) {
        return (int) Math.rint((degrees + scene.getTiltNoiseDeg() * Noise.gaussian(noise)) * 100);
    }
}
