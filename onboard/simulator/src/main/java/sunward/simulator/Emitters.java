package sunward.simulator;

/**
 * When the float's own lights are lit: those of fluorometer and backscatter meter, which shine into the water that the heads look
 * at. How bright they are is the scene's; how they look to a head, {@link TrueInstrument}'s. Here they are lit at any time.
 */
final class Emitters {
    /**
     * Share of an exposure during which they are lit, 0 to 1.
     *
     * @param startMs when the exposure begins
     * @param exposureS how long it is, s
     */
    double litShare(long startMs, double exposureS) {
        return 1;
    }
}
