package sunward.simulator;

import java.util.function.DoubleFunction;

/**
 * How the light changes as the sun moves during a dive: the factor on irradiance above the surface, by channel, worked out
 * at nodes in time and straight between them. What a moving sun changes of the way through the water is left out. Immutable.
 */
final class Illumination {
    private static final int NODES = 17;

    private final double startS;
    private final double[][] factor;
    private final double[] irradianceBelow;

    /**
     * @param channels the light field at a head's wavelengths
     * @param startS start of the profile, s from the surfacing, negative
     * @param sunZenithDeg the sun's zenith distance at a time in s from the surfacing
     */
    Illumination(Channels channels, double startS, DoubleFunction<Double> sunZenithDeg) {
        this.startS = startS;
        irradianceBelow = channels.es();
        factor = new double[NODES][irradianceBelow.length];
        for (int node = 0; node < NODES; node++) {
            channels.skyFactor(sunZenithDeg.apply(startS * (NODES - 1 - node) / (NODES - 1)), factor[node]);
        }
    }

    private double place(double timeS) {
        return Math.max(0, Math.min(NODES - 1.0, (timeS - startS) / -startS * (NODES - 1)));
    }

    /** Light in channel {@code k} at a time, over that at surfacing. */
    double factor(double timeS, int k) {
        double place = place(timeS);
        int node = Math.min(NODES - 2, (int) place);
        return factor[node][k] + (place - node) * (factor[node + 1][k] - factor[node][k]);
    }

    /** Changes light as at surfacing to light at a time. */
    void apply(double timeS, double[] light) {
        double place = place(timeS);
        int node = Math.min(NODES - 2, (int) place);
        double share = place - node;
        for (int k = 0; k < light.length; k++) {
            light[k] *= factor[node][k] + share * (factor[node + 1][k] - factor[node][k]);
        }
    }

    /** Irradiance that enters the sea at surfacing, W m-2 nm-1: what is above, less 4 % of reflection (about). */
    double irradianceBelowSurface(int k) {
        return 0.96 * irradianceBelow[k];
    }
}
