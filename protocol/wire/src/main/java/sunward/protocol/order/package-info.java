/**
 * What both ends must agree on about orders: which settings of a plan they may change, and how a float answers.
 *
 * <p>Purpose: one dictionary for the float and for shore. In: nothing. Out: enumerations; the bodies' layout stands in
 * {@code protocol/WIRE.md} and in the schema's order.proto.
 */
package sunward.protocol.order;
