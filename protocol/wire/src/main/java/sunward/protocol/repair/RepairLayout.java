package sunward.protocol.repair;

/**
 * The body of a repair message, and the symbol that each protected message stands for. All integers big-endian.
 *
 * <pre>
 *  body    0        1        2        3        4                 8 ...
 *      +-----------------+--------+--------+-------------------+---------------------+
 *      | 0 4  first 12   |   k    |   m    | CRC-32C of group  | repair symbol, S    |
 *      +-----------------+--------+--------+-------------------+---------------------+
 *  symbol  0        1        2        3        4        5 ...
 *      +--------+-----------------+-----------------+--------------------------------+
 *      | kind 4   body length 20  | block 4 part 12 | body, then zeros up to S       |
 *      +--------+-----------------+-----------------+--------------------------------+
 *  first  position of the group's first protected message; the others follow it without a gap
 *  k, m   protected messages, repair messages; the repair message's part is its number, 0 to m - 1
 * </pre>
 *
 * <p>The group's CRC-32C covers the {@code k} symbols, padded, in order of position: a group restored from messages that do
 * not belong together is noticed and dropped. {@code S} is the longest symbol of the group.
 */
public final class RepairLayout {
    /** Bytes before the repair symbol. */
    public static final int BODY_HEADER_BYTES = 8;

    /** Bytes of a symbol before the protected body. */
    public static final int SYMBOL_HEADER_BYTES = 5;

    /** How much shorter a protected body must be than the longest body of the link. */
    public static final int RESERVED_BYTES = BODY_HEADER_BYTES + SYMBOL_HEADER_BYTES;

    private RepairLayout() {}

    /** Writes the five bytes of a symbol's head, taken from a message's header. */
    static void writeHead(byte[] message, int offset, int bodyLength, byte[] into) {
        into[0] = (byte) ((message[offset] & 0x0f) << 4 | bodyLength >>> 16);
        into[1] = (byte) (bodyLength >>> 8);
        into[2] = (byte) bodyLength;
        into[3] = message[offset + 6];
        into[4] = message[offset + 7];
    }
}
