/**
 * The message envelope: what every satellite payload starts and ends with, whatever it carries.
 *
 * <p>Purpose: name, mark and protect one payload so that it can be verified, parsed and placed in its dive alone.
 * In: bytes as received. Out: {@link sunward.protocol.message.Verdict}, never an exception.
 * Layout and numbers: {@code protocol/WIRE.md}; {@link sunward.protocol.message.MessageLayout} draws the bytes.
 */
package sunward.protocol.message;
