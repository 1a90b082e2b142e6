package sunward.simulator;

import sunward.protocol.schema.Clock;

/** The float's clock: right when a fix sets it, then gaining or losing at a rate of its own. */
final class FloatClock {
    private static final double MS_PER_DAY = 86_400_000;

    private final double gain;
    private long setMs;

    FloatClock(Clock scene, long instrumentSeed) {
        gain = scene.getDriftSPerDay() * 1000 / MS_PER_DAY * Noise.gaussian(Noise.hash(instrumentSeed, Part.CLOCK));
    }

    /** Sets it right. */
    void set(long timeMs) {
        setMs = timeMs;
    }

    /** What it shows at a time, ms. */
    long at(long timeMs) {
        return timeMs + Math.round(gain * (timeMs - setMs));
    }
}
