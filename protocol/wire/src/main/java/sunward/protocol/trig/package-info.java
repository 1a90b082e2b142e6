/**
 * Elementary functions that give the same bits on every machine.
 *
 * <p>Purpose: geometry whose results end in message bytes. In and out: doubles, angles in radians. Only additions,
 * multiplications, divisions and square roots, which IEEE 754 fixes to the last bit. Nothing allocates.
 */
package sunward.protocol.trig;
