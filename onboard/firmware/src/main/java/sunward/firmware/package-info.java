/**
 * The float computer: from raw scans of the heads to sealed messages in the outbox.
 *
 * <p>Purpose: choose heads by predicted shading, set exposures, bin by the head's own pressure, pack what was seen into
 * the plan's messages and hand them to the modem. {@link sunward.firmware.FloatComputer} holds all wiring; every other
 * class is one idea. In: events with their time. Out: orders to the heads, bytes in flash, messages. Units stand in the
 * names; times are milliseconds since 2000-01-01T00:00:00Z. Frame: x forward, y starboard, z down; pitch positive bow
 * up, roll positive starboard down, rotation order heading, pitch, roll; azimuths clockwise from true north.
 * Assumptions: everything is allocated before the first event; same events give the same bytes on every machine, so only
 * {@code + - * / sqrt floor} and {@link sunward.protocol.trig.Trig} are used. Errors: trouble is counted and told in the
 * ledger, never thrown.
 */
package sunward.firmware;
