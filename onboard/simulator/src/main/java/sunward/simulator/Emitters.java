package sunward.simulator;

/**
 * When the float's own lights are lit: those of fluorometer and backscatter meter, which shine into the water that the heads look
 * at. They flash when the float computer says so, unless their blanking has failed: then they are lit at any time. How bright
 * they are is the scene's; how they look to a head, {@link TrueInstrument}'s.
 */
final class Emitters {
    private final double flashMs;
    private final boolean always;
    private long litFromMs = Long.MIN_VALUE;

    Emitters(double flashMs, boolean always) {
        this.flashMs = flashMs;
        this.always = always;
    }

    /** They begin to flash. */
    void flashed(long timeMs) {
        litFromMs = timeMs;
    }

    /**
     * Share of an exposure during which they are lit, 0 to 1.
     *
     * @param startMs when the exposure begins, not before the last flash began
     * @param exposureS how long it is, s
     */
    double litShare(long startMs, double exposureS) {
        if (always) {
            return 1;
        }
        double lit = litFromMs == Long.MIN_VALUE ? 0 : litFromMs + flashMs - startMs;
        return Math.max(0, Math.min(1, lit / (exposureS * 1000)));
    }
}
