package sunward.simulator;

import java.util.ArrayList;
import java.util.List;
import java.util.function.DoubleUnaryOperator;
import sunward.protocol.schema.Ascent;
import sunward.protocol.schema.Motion;
import sunward.protocol.schema.Plan;

/**
 * How the float rises, swings and turns. Time is in seconds from the surfacing, negative before it, so that the last
 * metres of two plans share their motion. The ascent keeps the plan's speeds on average; between two strokes of the pump it
 * slows down, as the water outside grows lighter. Tilt and turning are smooth random functions of the dive seed; near the
 * surface the hull also leans, and its arms turn, with the water that the waves move, by the scene's share. That share, sizes and
 * bands are assumed: no measured motion of such a float stands behind them. Immutable.
 */
final class FloatMotion {
    /** Band of the swinging, Hz: a hull of two metres swings about once in five seconds (invented). */
    private static final double SWING_LOWEST_HZ = 0.02;

    private static final double SWING_HIGHEST_HZ = 0.3;

    private static final double WANDER_LOWEST_HZ = 0.002;
    private static final double WANDER_HIGHEST_HZ = 0.02;

    private final double[] beforeS;
    private final double[] depthM;
    private final Motion motion;
    private final Waves waves;
    private final double speedMPerS;
    private final double parkM;
    private final double hullTopM;
    private final double hullBottomM;
    private final double firstStrokeM;
    private final double swing;
    private final SmoothRandom pitch;
    private final SmoothRandom roll;
    private final SmoothRandom wander;
    private final double surfacingHeadingDeg;

    /**
     * Motion by a plan.
     *
     * @param waves that move the water beside the hull
     * @param depthOfPressure depth, m, at a sea pressure, dbar
     */
    FloatMotion(Plan plan, Motion motion, Waves waves, long diveSeed, DoubleUnaryOperator depthOfPressure) {
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
        speedMPerS = ascent.getSpeedMPerS();
        parkM = Math.max(start, depthOfPressure.applyAsDouble(ascent.getParkDbar()) + portAboveM);
        beforeS = stages.stream().mapToDouble(stage -> stage[0]).toArray();
        depthM = stages.stream().mapToDouble(stage -> stage[1]).toArray();
        this.motion = motion;
        this.waves = waves;
        hullTopM = plan.getHull().getTopAboveHeadsM();
        hullBottomM = plan.getHull().getBottomBelowHeadsM();
        swing = motion.getSpeedSwingPercent() / 100;
        firstStrokeM = swing == 0 ? 0 : motion.getStrokeEveryM() * Noise.uniform(Noise.hash(diveSeed, Part.STROKES));
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

    /** Depth of the hull axis at the heads' level where the float parks, m. */
    double parkDepthM() {
        return parkM;
    }

    /** Depth of the hull axis at the heads' level, m, waves left out; before the profile it comes up from where it parks. */
    double depthM(double timeS) {
        double before = -timeS;
        for (int i = 1; i < beforeS.length; i++) {
            if (before <= beforeS[i]) {
                double share = Math.max(0, (before - beforeS[i - 1]) / (beforeS[i] - beforeS[i - 1]));
                return stroked(depthM[i - 1] + share * (depthM[i] - depthM[i - 1]));
            }
        }
        return Math.min(parkM, depthM[depthM.length - 1] + speedMPerS * (before - durationS()));
    }

    /**
     * Where the float is when the plan's steady speed would have it at a depth: between two strokes, a distance D apart, the
     * speed falls evenly with the height risen, from 1 + s/2 to 1 - s/2 of one that takes the same time from stroke to
     * stroke. Both ends of the ascent stay where they are.
     */
    private double stroked(double steadyM) {
        if (swing == 0) {
            return steadyM;
        }
        double apart = motion.getStrokeEveryM();
        double strokes = (steadyM - firstStrokeM) / apart;
        double part = strokes - Math.floor(strokes); // 1 just after a stroke, 0 just before the next
        double fall = Math.log((1 + swing / 2) / (1 - swing / 2));
        double risen = (1 + swing / 2) * -Math.expm1(-fall * (1 - part)) / swing;
        double ends = Math.min(steadyM - depthM[0], depthM[depthM.length - 1] - steadyM) / apart;
        return steadyM + (1 - part - risen) * apart * Math.max(0, Math.min(1, ends));
    }

    /** Fills in where the float is and how it hangs. */
    void at(double timeS, Pose into) {
        into.depthM = depthM(timeS);
        double each = motion.getTiltRmsDeg() / Math.sqrt(2);
        double heading = surfacingHeadingDeg + turned(timeS);
        double pitchDeg = motion.getTrimPitchDeg() + each * pitch.at(timeS);
        double rollDeg = motion.getTrimRollDeg() + each * roll.at(timeS);
        if (motion.getWaveResponse() > 0 && timeS >= -durationS()) { // before, it drifts far below the waves
            waves.strain(timeS, into.depthM - hullTopM, into.depthM + hullBottomM, into.strain);
            double share = Math.toDegrees(motion.getWaveResponse());
            double cosine = Math.cos(Math.toRadians(heading));
            double sine = Math.sin(Math.toRadians(heading));
            double[] strain = into.strain;
            pitchDeg += share * (cosine * strain[0] + sine * strain[1]);
            rollDeg += share * (sine * strain[0] - cosine * strain[1]);
            heading += share * ((strain[4] - strain[2]) * sine * cosine + strain[3] * (cosine * cosine - sine * sine));
        }
        heading %= 360;
        into.turn(heading < 0 ? heading + 360 : heading, pitchDeg, rollDeg);
    }
}
