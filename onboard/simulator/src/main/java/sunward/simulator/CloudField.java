package sunward.simulator;

import sunward.protocol.schema.Cloud;

/**
 * Clouds that drift before the sun and over the sky: a smooth random function of time that hides the sun while it lies above
 * the level that gives the scene's mean cover. A function of (dive seed, time) alone. Cloud is grey: what it lets
 * through is the same at every wavelength; light thrown between cloud and sea, and brighter edges, are left out. Immutable.
 */
final class CloudField {
    private static final int TERMS = 24;
    /** The share of the sky that is hidden changes so many times as slowly as the sun comes and goes (invented). */
    private static final double SLOWNESS = 8;
    /** Width of a cloud's edge in standard deviations of the function (invented). */
    private static final double EDGE = 0.05;
    /** Forward scattering of cloud drops in visible light (from memory, common practice). */
    private static final double ASYMMETRY = 0.85;

    private static final double ROOT_HALF = Math.sqrt(0.5);

    private final double cover;
    private final double thickness;
    private final double level;
    private final SmoothRandom fast;
    private final SmoothRandom slow;

    CloudField(Cloud scene, long diveSeed) {
        cover = scene.getCoverPercent() / 100;
        thickness = scene.getOpticalThickness();
        level = cover > 0 && cover < 1 ? Noise.normalQuantile(1 - cover) : 0;
        // A cloud stands before the sun for about twice the distance over which the function keeps its value.
        double correlationS = Math.max(1, scene.getPassageS() / 2);
        fast = SmoothRandom.correlated(Noise.hash(diveSeed, Part.CLOUD, 0), TERMS, correlationS);
        slow = SmoothRandom.correlated(Noise.hash(diveSeed, Part.CLOUD, 1), TERMS, SLOWNESS * correlationS);
    }

    /** No cloud at any time: nothing to change. */
    boolean clear() {
        return cover <= 0;
    }

    /** How much of the sun's disc clouds hide, 0 to 1. */
    double hidden(double timeS) {
        if (cover <= 0 || cover >= 1) {
            return cover;
        }
        double above = ROOT_HALF * (slow.at(timeS) + fast.at(timeS)) - level;
        return 1 / (1 + Math.exp(-above / EDGE));
    }

    /** Share of the sky that clouds hide, 0 to 1: what is to be expected of {@link #hidden} while the slow part stands. */
    double skyCover(double timeS) {
        if (cover <= 0 || cover >= 1) {
            return cover;
        }
        // The normal distribution by its logistic neighbour (within 0.01).
        double z = (ROOT_HALF * slow.at(timeS) - level) / ROOT_HALF;
        return 1 / (1 + Math.exp(-1.702 * z));
    }

    /**
     * What the clouds of one moment make of light.
     *
     * @param direct what is left of the sun's direct light, 0 to 1
     * @param sky share of the sky that is hidden, 0 to 1
     * @param transmitted share of irradiance, direct and diffuse, that cloud lets through
     * @param beam share of the direct light that comes through cloud unscattered
     */
    record Effect(double direct, double sky, double transmitted, double beam) {
        /**
         * Factor on irradiance, direct and diffuse together.
         *
         * @param directShare share of the clear irradiance that comes straight from the sun, 0 to 1
         */
        double irradiance(double directShare) {
            double throughCloud = Math.max(0, transmitted - directShare * beam);
            return directShare * direct + (1 - directShare) * (1 - sky) + sky * throughCloud;
        }

        /** Share of the clouded irradiance that comes straight from the sun. */
        double directShare(double clearDirectShare) {
            return Math.min(1, clearDirectShare * direct / irradiance(clearDirectShare));
        }
    }

    /** What the clouds of a time, s from the surfacing, make of light. */
    Effect at(double timeS, double sunZenithDeg) {
        double cosine = Math.max(0.05, Math.cos(Math.toRadians(Math.min(90, sunZenithDeg))));
        double beam = Math.exp(-thickness / cosine);
        double hidden = hidden(timeS);
        // An unbroken layer that absorbs nothing, by Eddington's approximation (from memory).
        double sum = 2.0 / 3 + cosine + (2.0 / 3 - cosine) * beam;
        double transmitted = sum / (4.0 / 3 + (1 - ASYMMETRY) * thickness);
        return new Effect(1 - hidden + hidden * beam, skyCover(timeS), transmitted, beam);
    }
}
