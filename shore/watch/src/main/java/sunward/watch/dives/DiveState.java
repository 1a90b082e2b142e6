package sunward.watch.dives;

/**
 * What is known of one dive, as far as its messages tell.
 *
 * @param received positions of data with exactly one accepted message
 * @param conflicting positions with several accepted messages that differ
 * @param repairs accepted repair messages
 * @param repaired positions of data that did not come and that repair messages make good
 * @param seen highest position of data seen + 1
 * @param planned messages of data that the float meant to send; null until a ledger came
 * @param firstArrivalMs ms since 2000-01-01T00:00:00Z
 * @param lastArrivalMs ms since 2000-01-01T00:00:00Z
 * @param simulated a simulator made at least one of the messages
 * @param unsealed at least one of the messages is protected by a checksum only
 * @param surfacedS s since 2000-01-01T00:00:00Z; null until a ledger came
 * @param latitudeDeg of the last fix; null without one
 * @param longitudeDeg of the last fix; null without one
 * @param faults faults that the float reported, in words, separated by "; "
 * @param assembled SHA-256 of the set of accepted messages, hexadecimal
 */
public record DiveState(
        int floatNumber,
        int dive,
        int received,
        int conflicting,
        int repairs,
        int repaired,
        int seen,
        Integer planned,
        long firstArrivalMs,
        long lastArrivalMs,
        boolean simulated,
        boolean unsealed,
        Long surfacedS,
        Double latitudeDeg,
        Double longitudeDeg,
        String faults,
        String assembled) {
    /** Messages that this dive is known to have: planned when known, otherwise what was seen of it. */
    public int expected() {
        return planned == null ? seen : Math.max(planned, seen);
    }

    /** Messages of data known to be missing and not made good by repair. */
    public int missing() {
        return expected() - received - conflicting - repaired;
    }
}
