/**
 * Bytes from values and values from bytes: the Protocol Buffers wire format and an adaptive binary range coder.
 *
 * <p>Purpose: bodies of messages, on the float and on shore. In and out: integers and ranges of the caller's byte
 * arrays. Nothing allocates after construction. Errors: what does not fit sets a flag; hostile bytes end in a flag.
 */
package sunward.protocol.bits;
