package sunward.firmware.port;

/** Orders to the heads; what they read comes back as an event ({@code FloatComputer.onScan}). */
public interface Sensors {
    /**
     * Starts one exposure.
     *
     * @param head head, from 0
     * @param exposureCode shortest exposure doubled this many times
     * @param shutterClosed true for a dark
     */
    void expose(int head, int exposureCode, boolean shutterClosed);

    /** Lets the float's own emitters (fluorometer, backscatter) flash now: no head is open. */
    default void flash() {}
}
