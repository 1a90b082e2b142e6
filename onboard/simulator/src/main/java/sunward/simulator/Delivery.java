package sunward.simulator;

/**
 * A message as shore receives it, spoilt or not.
 *
 * @param receivedMs time of receipt, ms since 2000-01-01T00:00:00Z
 * @param bytes what was received; not to be changed
 */
@SuppressWarnings("ArrayRecordComponent") // Handed on, never compared: identity is all that a delivery needs.
public record Delivery(long receivedMs, byte[] bytes) {}
