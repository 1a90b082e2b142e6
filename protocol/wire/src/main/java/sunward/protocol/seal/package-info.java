/**
 * Checksums and seals of messages: CRC-32C, SHA-256 and HMAC-SHA-256, written out so that a float can use them.
 *
 * <p>Purpose: tell whole bytes from damaged ones, and our bytes from forged ones. In: byte ranges. Out: check values.
 * Nothing allocates after construction. Errors: array bounds are the caller's; nothing else can fail.
 */
package sunward.protocol.seal;
