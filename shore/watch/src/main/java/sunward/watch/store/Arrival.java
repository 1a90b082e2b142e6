package sunward.watch.store;

/**
 * One payload as it came in.
 *
 * @param bytes the payload exactly as received; the caller never changes it afterwards
 * @param arrivalMs ms since 2000-01-01T00:00:00Z without leap seconds
 * @param door by which way it came: {@code tcp}, {@code http} or {@code folder}
 * @param sender who brought it: address or file name, as text
 */
// Handed on once, never compared.
@SuppressWarnings("ArrayRecordComponent")
public record Arrival(byte[] bytes, long arrivalMs, String door, String sender) {}
