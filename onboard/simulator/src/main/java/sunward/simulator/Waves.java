package sunward.simulator;

import java.util.Arrays;

/**
 * A wind-roughened sea: waves that lift the surface, and the flicker of light below them. Elevation is a sum of sinusoids
 * with the spectrum of Pierson and Moskowitz (1964), moving by the law of deep water; flicker is half of it and half
 * shorter waves, 0.2 to 5 m long, which focus light, longer ones the deeper (lengths and depths after the abstracts of Hieronymi
 * and Macke 2010 and of Wijesekera, Pegau and Boyd 2005; the split is invented). Two heads see it alike as far as they
 * are near to each other, and an exposure averages what is faster than itself. The size of the flicker and its decay with
 * depth are the scene's, for winds of 2 to 7 m/s. Immutable.
 */
final class Waves {
    private static final double GRAVITY_M_PER_S2 = 9.81;
    private static final int TERMS = 24;

    /** Band of the elevation, in peak frequencies. */
    private static final double ELEVATION_FROM = 0.7;

    private static final double ELEVATION_TO = 4;

    private static final double SHORTEST_M = 0.2;
    private static final double LONGEST_FOCUSING_M = 5;
    /** Waves so long per metre of depth focus most (2 m at 4 m), with this spread in logarithm. */
    private static final double FOCUSING_LENGTH_PER_DEPTH = 0.5;

    private static final double FOCUSING_SPREAD = 0.8;

    /** Wind speeds and how large the flicker is beside that at 2 to 7 m/s; only that band is published, the rest invented. */
    private static final double[][] WIND = {{0, 0.3}, {2, 1}, {7, 1}, {15, 0.5}};

    /** Elevation's terms come first, those of the short waves after them. */
    private final double[] angularRate = new double[2 * TERMS];

    private final double[] waveNumber = new double[2 * TERMS];
    private final double[] northRate = new double[2 * TERMS];
    private final double[] eastRate = new double[2 * TERMS];
    private final double[] phase = new double[2 * TERMS];
    /** Amplitude of an elevation of variance 1; for the short waves, the logarithm of their length. */
    private final double[] amplitude = new double[TERMS];

    private final double[] lnLength = new double[TERMS];
    /** Smallest of the elevation's wave numbers, and where its motion is gone: exp(-this). */
    private final double longestWaveNumber;

    private static final double GONE = 16;
    private final double elevationSdM;
    private final double radianceSd;
    private final double radianceDecayM;
    private final double irradianceSd;
    private final double irradianceDecayM;

    Waves(sunward.protocol.schema.Waves scene, double windMPerS, long diveSeed) {
        double windFactor = windFactor(windMPerS);
        radianceSd = windFactor * scene.getRadianceSdPercent() / 100;
        radianceDecayM = scene.getDecayM();
        irradianceSd = windFactor * scene.getIrradianceSdPercent() / 100;
        irradianceDecayM = scene.getIrradianceDecayM();
        elevationSdM = scene.getSignificantHeightM() / 4;
        long address = Noise.hash(diveSeed, Part.WAVES);
        double windDirection = 2 * Math.PI * Noise.uniform(Noise.hash(address, -1));
        double variance = 0;
        for (int i = 0; i < 2 * TERMS; i++) {
            double place = (i % TERMS + Noise.uniform(Noise.hash(address, i, 0))) / TERMS;
            if (i < TERMS) {
                double relative = ELEVATION_FROM * StrictMath.pow(ELEVATION_TO / ELEVATION_FROM, place);
                angularRate[i] = 2 * Math.PI / scene.getPeakPeriodS() * relative;
                waveNumber[i] = angularRate[i] * angularRate[i] / GRAVITY_M_PER_S2;
                // Terms lie evenly in logarithm, so that each holds spectrum times frequency.
                amplitude[i] =
                        Math.sqrt(StrictMath.exp(-1.25 * StrictMath.pow(relative, -4)) * StrictMath.pow(relative, -4));
                variance += amplitude[i] * amplitude[i] / 2;
            } else {
                double length = SHORTEST_M * StrictMath.pow(LONGEST_FOCUSING_M / SHORTEST_M, place);
                lnLength[i - TERMS] = StrictMath.log(length);
                waveNumber[i] = 2 * Math.PI / length;
                angularRate[i] = Math.sqrt(GRAVITY_M_PER_S2 * waveNumber[i]);
            }
            double direction = windDirection + Math.toRadians(40) * Noise.gaussian(Noise.hash(address, i, 1));
            northRate[i] = waveNumber[i] * StrictMath.cos(direction);
            eastRate[i] = waveNumber[i] * StrictMath.sin(direction);
            phase[i] = 2 * Math.PI * Noise.uniform(Noise.hash(address, i, 2));
        }
        for (int i = 0; i < TERMS; i++) {
            amplitude[i] /= Math.sqrt(variance);
        }
        longestWaveNumber = waveNumber[0];
    }

    private static double windFactor(double wind) {
        int i = 1;
        while (i < WIND.length - 1 && wind > WIND[i][0]) {
            i++;
        }
        double share = Math.min(1, (wind - WIND[i - 1][0]) / (WIND[i][0] - WIND[i - 1][0]));
        return WIND[i - 1][1] + share * (WIND[i][1] - WIND[i - 1][1]);
    }

    /** Relative standard deviation of upwelling radiance at a depth, m, where direct sunlight has its share at 555 nm. */
    double radianceSd(double depthM) {
        return radianceSd * Math.exp(-Math.max(0, depthM) / radianceDecayM);
    }

    /** The same of downwelling irradiance. */
    double irradianceSd(double depthM) {
        return irradianceSd * Math.exp(-Math.max(0, depthM) / irradianceDecayM);
    }

    /** Whether the surface stays level. */
    boolean level() {
        return elevationSdM == 0;
    }

    /**
     * How much more water than its pressure tells stands above a drifting point, m. To first order, water under waves keeps
     * its pressure as it moves (linear theory of deep water): at a rest depth z it rises and falls by exp(-k z) of
     * the surface's elevation, so that the water above it changes by the rest, 1 - exp(-k z).
     *
     * @param timeS mid-exposure, s from the surfacing
     * @param northM place, m from the hull axis
     * @param eastM place, m from the hull axis
     * @param depthM rest depth
     * @param exposureS time over which it is averaged
     */
    double waterAboveM(double timeS, double northM, double eastM, double depthM, double exposureS) {
        double sum = 0;
        for (int i = 0; i < TERMS; i++) {
            sum += amplitude[i]
                    * -Math.expm1(-waveNumber[i] * Math.max(0, depthM))
                    * term(i, timeS, northM, eastM, exposureS);
        }
        return elevationSdM * sum;
    }

    /**
     * How waves tilt and turn the water beside the hull's axis, by linear theory of deep water: a line of water that hangs
     * straight down at rest leans, and a short level one turns, by the gradients of the water's displacement.
     *
     * @param timeS s from the surfacing
     * @param topM depth of the line's upper end
     * @param bottomM depth of its lower end
     * @param into metres north and metres east by which the lower end is away from below the upper one, per metre of length;
     *     then the gradients of the displacement at the upper end, of north by north, of north by east (and of east by north),
     *     of east by east
     */
    void strain(double timeS, double topM, double bottomM, double[] into) {
        Arrays.fill(into, 0);
        double top = Math.max(0, topM);
        double length = bottomM - topM;
        if (level() || longestWaveNumber * top > GONE) {
            return;
        }
        for (int i = 0; i < TERMS; i++) {
            double above = Math.exp(-waveNumber[i] * top);
            double height = elevationSdM * amplitude[i] * above;
            double angle = phase[i] - angularRate[i] * timeS;
            double lean = height * -Math.expm1(-waveNumber[i] * length) / length * Math.sin(angle) / waveNumber[i];
            double squeeze = -height * Math.cos(angle) / waveNumber[i];
            into[0] += lean * northRate[i];
            into[1] += lean * eastRate[i];
            into[2] += squeeze * northRate[i] * northRate[i];
            into[3] += squeeze * northRate[i] * eastRate[i];
            into[4] += squeeze * eastRate[i] * eastRate[i];
        }
    }

    /** The flicker at a depth, of mean 0 and (for a short exposure) variance 1; arguments as of {@link #waterAboveM}. */
    double flicker(double timeS, double northM, double eastM, double depthM, double exposureS) {
        double lnFocusing =
                Math.log(Math.max(SHORTEST_M, Math.min(LONGEST_FOCUSING_M, FOCUSING_LENGTH_PER_DEPTH * depthM)));
        double elevation = 0;
        double focusing = 0;
        double variance = 0;
        for (int i = 0; i < TERMS; i++) {
            elevation += amplitude[i] * term(i, timeS, northM, eastM, exposureS);
            double away = (lnLength[i] - lnFocusing) / FOCUSING_SPREAD;
            double weight = Math.exp(-0.5 * away * away);
            variance += weight * weight / 2;
            focusing += weight * term(TERMS + i, timeS, northM, eastM, exposureS);
        }
        return Math.sqrt(0.5) * (elevation + focusing / Math.sqrt(variance));
    }

    private double term(int i, double timeS, double northM, double eastM, double exposureS) {
        double half = angularRate[i] * exposureS / 2;
        double averaged = half < 1e-3 ? 1 : Math.sin(half) / half;
        return averaged * Math.cos(northRate[i] * northM + eastRate[i] * eastM - angularRate[i] * timeS + phase[i]);
    }
}
