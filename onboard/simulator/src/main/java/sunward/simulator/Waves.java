package sunward.simulator;

/**
 * The flicker that waves put on upwelling radiance: a field of sinusoidal waves of both swell and short waves (the ones
 * that focus light), moving with the speed of deep-water waves, so that two heads see it alike as far as they are near to
 * each other and an exposure averages what is faster than itself. The split and the bands are invented; the size and its
 * decay with depth are the scene's. Immutable.
 */
final class Waves {
    private static final double GRAVITY_M_PER_S2 = 9.81;
    private static final int TERMS = 24;

    /** Short waves' periods as shares of the peak period. */
    private static final double SHORT_FROM = 0.12;

    private static final double SHORT_TO = 0.35;

    /** Part of the variance that the short waves hold. */
    private static final double SHORT_SHARE = 0.5;

    private final double[] angularRate = new double[2 * TERMS];
    private final double[] northRate = new double[2 * TERMS];
    private final double[] eastRate = new double[2 * TERMS];
    private final double[] phase = new double[2 * TERMS];
    private final double[] amplitude = new double[2 * TERMS];
    private final double surfaceSd;
    private final double decayM;

    Waves(sunward.protocol.schema.Waves scene, long diveSeed) {
        surfaceSd = scene.getRadianceSdPercent() / 100;
        decayM = scene.getDecayM();
        long address = Noise.hash(diveSeed, Part.WAVES);
        double windDirection = 2 * Math.PI * Noise.uniform(Noise.hash(address, -1));
        for (int i = 0; i < 2 * TERMS; i++) {
            boolean isShort = i >= TERMS;
            double place = (i % TERMS + Noise.uniform(Noise.hash(address, i, 0))) / TERMS;
            double from = isShort ? SHORT_FROM : 0.8;
            double to = isShort ? SHORT_TO : 1.25;
            double period = scene.getPeakPeriodS() * from * StrictMath.pow(to / from, place);
            angularRate[i] = 2 * Math.PI / period;
            double waveNumber = angularRate[i] * angularRate[i] / GRAVITY_M_PER_S2;
            double direction = windDirection + Math.toRadians(40) * Noise.gaussian(Noise.hash(address, i, 1));
            northRate[i] = waveNumber * StrictMath.cos(direction);
            eastRate[i] = waveNumber * StrictMath.sin(direction);
            phase[i] = 2 * Math.PI * Noise.uniform(Noise.hash(address, i, 2));
            amplitude[i] = Math.sqrt(2 * (isShort ? SHORT_SHARE : 1 - SHORT_SHARE) / TERMS);
        }
    }

    /** Relative standard deviation of radiance at a depth, m, where direct sunlight has its share at 555 nm. */
    double relativeSd(double depthM) {
        return surfaceSd * Math.exp(-Math.max(0, depthM) / decayM);
    }

    /**
     * The flicker, of mean 0 and (for a short exposure) variance 1.
     *
     * @param timeS mid-exposure, s from the surfacing
     * @param northM place, m from the hull axis
     * @param eastM place, m from the hull axis
     * @param exposureS time over which it is averaged
     */
    double at(double timeS, double northM, double eastM, double exposureS) {
        double sum = 0;
        for (int i = 0; i < phase.length; i++) {
            double half = angularRate[i] * exposureS / 2;
            double averaged = half < 1e-3 ? 1 : Math.sin(half) / half;
            sum += amplitude[i]
                    * averaged
                    * Math.cos(northRate[i] * northM + eastRate[i] * eastM - angularRate[i] * timeS + phase[i]);
        }
        return sum;
    }
}
