package sunward.simulator;

/**
 * What a dive cost the float, and what became of its messages.
 *
 * @param ramBytes state of the firmware
 * @param flashBytes flash that the dive took
 * @param instants instants at which the heads were read
 * @param lightScans scans with the shutter open
 * @param darkScans scans with the shutter closed
 * @param messagesSent handed to the modem and taken
 * @param messagesWaiting left in the float when the session ended
 * @param messagesLost of those sent, how many nothing arrived of
 * @param copiesDuplicated second copies that arrived
 * @param copiesCorrupted copies that arrived spoilt
 * @param sessionS time at the surface from the first to the last message, s
 * @param pumpJ joules, like all that follow; the figures of the plan are assumed
 * @param headsJ heads while profiling
 * @param sensorsJ other sensors while profiling
 * @param computerJ computer while profiling and sending
 * @param modemJ modem
 * @param sleepJ from dive to dive
 */
public record FloatAccount(
        int ramBytes,
        int flashBytes,
        int instants,
        int lightScans,
        int darkScans,
        int messagesSent,
        int messagesWaiting,
        int messagesLost,
        int copiesDuplicated,
        int copiesCorrupted,
        double sessionS,
        double pumpJ,
        double headsJ,
        double sensorsJ,
        double computerJ,
        double modemJ,
        double sleepJ) {
    /** Joules of the whole dive. */
    public double totalJ() {
        return pumpJ + headsJ + sensorsJ + computerJ + modemJ + sleepJ;
    }
}
