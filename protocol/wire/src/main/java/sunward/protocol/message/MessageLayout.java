package sunward.protocol.message;

/**
 * Where each field of a message lies. All integers are big-endian; bit 7 is the highest bit of a byte.
 *
 * <pre>
 *  byte   0        1        2        3        4        5        6        7        8 ...            end
 *      +--------+-----------------+--------------------------+-----------------+----------------+--------+
 *      | V4 K4  | S U   float 14  |   dive 12  position 12   | block 4 part 12 |      body      |  seal  |
 *      +--------+-----------------+--------------------------+-----------------+----------------+--------+
 *  V version, K kind, S simulated, U unsealed
 *  seal: 8 bytes of HMAC-SHA-256 when U = 0, 4 bytes of CRC-32C when U = 1, over everything before it
 * </pre>
 */
public final class MessageLayout {
    /** Wire version that this code writes; 0 until the envelope, the codec and the firmware are all final. */
    public static final int VERSION = 0;

    /** Bytes before the body. */
    public static final int HEADER_BYTES = 8;

    /** Bytes of the seal of a keyed float: HMAC-SHA-256, cut to its first eight bytes. */
    public static final int SEALED_BYTES = 8;

    /** Bytes of the seal of an unkeyed float: CRC-32C. */
    public static final int UNSEALED_BYTES = 4;

    /** Mark in byte 1: a simulator made the message. */
    static final int SIMULATED = 0x80;

    /** Mark in byte 1: the message has a checksum instead of a seal. */
    static final int UNSEALED = 0x40;

    /** Shortest message of any link profile, bytes. */
    public static final int MIN_MESSAGE_BYTES = HEADER_BYTES + UNSEALED_BYTES;

    /** Longest message of any link profile, bytes. */
    public static final int MAX_MESSAGE_BYTES = 100_000;

    /** Largest float number (14 bits); 0 is never used. */
    public static final int MAX_FLOAT = (1 << 14) - 1;

    /** Largest dive number (12 bits). */
    public static final int MAX_DIVE = (1 << 12) - 1;

    /** Largest position in a dive's sending order (12 bits). */
    public static final int MAX_POSITION = (1 << 12) - 1;

    /** Largest part number of a block (12 bits). */
    public static final int MAX_PART = (1 << 12) - 1;

    private MessageLayout() {}
}
