package sunward.simulator;

import java.util.ArrayList;
import java.util.List;
import java.util.function.DoubleUnaryOperator;
import sunward.protocol.schema.Ascent;
import sunward.protocol.schema.Motion;
import sunward.protocol.schema.Plan;

/**
 * How the float rises, swings and turns. Time is in seconds from the surfacing, negative before it, so that the last
 * metres of two plans share their motion. The ascent follows the plan's speeds; tilt and turning are smooth random
 * functions of the dive seed. Heave by waves is not modelled. Immutable.
 */
final class FloatMotion {
    /** How the tilt grows towards the surface: its rms there is 1 + this times that at depth (invented). */
    private static final double SURFACE_TILT_GROWTH = 0.6;

    private static final double TILT_GROWTH_DEPTH_M = 6;

    /** Band of the swinging, Hz: a hull of two metres swings about once in five seconds (invented). */
    private static final double SWING_LOWEST_HZ = 0.02;

    private static final double SWING_HIGHEST_HZ = 0.3;

    private static final double WANDER_LOWEST_HZ = 0.002;
    private static final double WANDER_HIGHEST_HZ = 0.02;

    private final double[] beforeS;
    private final double[] depthM;
    private final Motion motion;
    private final SmoothRandom pitch;
    private final SmoothRandom roll;
    private final SmoothRandom wander;
    private final double surfacingHeadingDeg;

    /**
     * Motion by a plan.
     *
     * @param depthOfPressure depth, m, at a sea pressure, dbar
     */
    FloatMotion(Plan plan, Motion motion, long diveSeed, DoubleUnaryOperator depthOfPressure) {
        Ascent ascent = plan.getAscent();
        double portAboveM = plan.getHull().getPortAboveHeadsM();
        List<double[]> stages = new ArrayList<>();
        double surfaced = plan.getHull().getTopAboveHeadsM();
        double start = Math.max(surfaced, depthOfPressure.applyAsDouble(ascent.getStartDbar()) + portAboveM);
        double slow = depthOfPressure.applyAsDouble(ascent.getSlowAboveDbar()) + portAboveM;
        double dwell = depthOfPressure.applyAsDouble(ascent.getDwellDbar()) + portAboveM;
        stages.add(new double[] {0, surfaced});
        if (dwell > slow) {
            rise(stages, Math.min(slow, start), ascent.getSlowSpeedMPerS());
            stay(stages, dwell, start, ascent.getSpeedMPerS(), ascent.getDwellS());
        } else {
            stay(stages, dwell, start, ascent.getSlowSpeedMPerS(), ascent.getDwellS());
            rise(stages, Math.min(slow, start), ascent.getSlowSpeedMPerS());
        }
        rise(stages, start, ascent.getSpeedMPerS());
        beforeS = stages.stream().mapToDouble(stage -> stage[0]).toArray();
        depthM = stages.stream().mapToDouble(stage -> stage[1]).toArray();
        this.motion = motion;
        pitch = SmoothRandom.band(Noise.hash(diveSeed, Part.PITCH), 24, SWING_LOWEST_HZ, SWING_HIGHEST_HZ);
        roll = SmoothRandom.band(Noise.hash(diveSeed, Part.ROLL), 24, SWING_LOWEST_HZ, SWING_HIGHEST_HZ);
        wander = SmoothRandom.band(Noise.hash(diveSeed, Part.WANDER), 16, WANDER_LOWEST_HZ, WANDER_HIGHEST_HZ);
        double drawn = 360 * Noise.uniform(Noise.hash(diveSeed, Part.HEADING));
        surfacingHeadingDeg =
                motion.getStartHeadingDeg() < 0 ? drawn : motion.getStartHeadingDeg() - turned(-durationS());
    }

    private static void stay(List<double[]> stages, double depth, double start, double speed, double seconds) {
        double[] above = stages.get(stages.size() - 1);
        if (seconds > 0 && depth > above[1] && depth < start) {
            rise(stages, depth, speed);
            stages.add(new double[] {stages.get(stages.size() - 1)[0] + seconds, depth});
        }
    }

    private static void rise(List<double[]> stages, double fromDepth, double speed) {
        double[] above = stages.get(stages.size() - 1);
        if (fromDepth > above[1]) {
            stages.add(new double[] {above[0] + (fromDepth - above[1]) / speed, fromDepth});
        }
    }

    private double turned(double timeS) {
        return motion.getSpinDegPerS() * timeS
                + motion.getSpinWanderDegPerS() * (wander.integralAt(timeS) - wander.integralAt(0));
    }

    /** Seconds from the start of the profile to the surfacing. */
    double durationS() {
        return beforeS[beforeS.length - 1];
    }

    /** Depth of the hull axis at the heads' level, m. */
    double depthM(double timeS) {
        double before = -timeS;
        for (int i = 1; i < beforeS.length; i++) {
            if (before <= beforeS[i]) {
                double share = Math.max(0, (before - beforeS[i - 1]) / (beforeS[i] - beforeS[i - 1]));
                return depthM[i - 1] + share * (depthM[i] - depthM[i - 1]);
            }
        }
        return depthM[depthM.length - 1];
    }

    /** Fills in where the float is and how it hangs. */
    void at(double timeS, Pose into) {
        into.depthM = depthM(timeS);
        double growth = 1 + SURFACE_TILT_GROWTH * Math.exp(-into.depthM / TILT_GROWTH_DEPTH_M);
        double each = motion.getTiltRmsDeg() / Math.sqrt(2) * growth;
        double heading = (surfacingHeadingDeg + turned(timeS)) % 360;
        into.turn(
                heading < 0 ? heading + 360 : heading,
                motion.getTrimPitchDeg() + each * pitch.at(timeS),
                motion.getTrimRollDeg() + each * roll.at(timeS));
    }
}
