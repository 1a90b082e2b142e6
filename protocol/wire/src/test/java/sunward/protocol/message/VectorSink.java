package sunward.protocol.message;

/** Takes vectors. */
interface VectorSink {
    /**
     * Takes one.
     *
     * @param key of its float, or null
     * @param given what an encoder was given, as lines
     */
    void add(String name, byte[] key, String given, byte[] bytes);
}
