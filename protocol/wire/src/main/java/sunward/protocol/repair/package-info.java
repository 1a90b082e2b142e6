/**
 * Repair of lost messages: a systematic Reed-Solomon erasure code over GF(256).
 *
 * <p>Purpose: from any {@code k} of {@code k + m} messages of a group, make the missing ones again. In: bodies of equal,
 * padded length. Out: bodies. Sources: RFC 5510 (Lacan, Roca, Peltotalo and Peltotalo 2009), field polynomial 0x11D. Both
 * directions are the same act, interpolation, so float and shore share one method. Nothing here allocates.
 */
package sunward.protocol.repair;
