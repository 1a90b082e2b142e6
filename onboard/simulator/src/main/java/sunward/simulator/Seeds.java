package sunward.simulator;

/**
 * The four seeds of a dive's randomness. Dives that share a seed share what it governs, whatever else differs.
 *
 * @param dive waves, motion, weather and the noise of every reading
 * @param instrument how the true heads and sensors differ from what the laboratory says of them
 * @param scene how the true sea and sky differ from the published tables
 * @param link what happens to each message
 */
public record Seeds(long dive, long instrument, long scene, long link) {
    /** All four seeds from one number; they stay independent of each other. */
    public static Seeds all(long seed) {
        return new Seeds(Noise.hash(seed, 1), Noise.hash(seed, 2), Noise.hash(seed, 3), Noise.hash(seed, 4));
    }
}
