package sunward.watch.store;

/**
 * A payload in the store.
 *
 * @param id 1 for the first ever written, then counting up without gaps
 * @param arrivalMs ms since 2000-01-01T00:00:00Z
 * @param door by which way it came
 * @param sender who brought it
 * @param bytes exactly as received
 */
// Read once, never compared.
@SuppressWarnings("ArrayRecordComponent")
public record StoredMessage(long id, long arrivalMs, String door, String sender, byte[] bytes) {}
