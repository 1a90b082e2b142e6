package sunward.protocol.message;

import sunward.protocol.seal.DirectionKeys;
import sunward.protocol.seal.HmacSha256;

/**
 * The float's ear for orders: lets through whole orders to this float under its own key and nothing else, without
 * allocation after construction. {@link MessageReader} judges the same bytes on shore, with words. A float without a key
 * takes no orders: anyone could have made them.
 */
public final class OrderGate {
    private final int floatNumber;
    private final boolean simulated;
    private final HmacSha256 seal;
    private final byte[] expected = new byte[MessageLayout.SEALED_BYTES];

    /**
     * Makes a gate.
     *
     * @param floatKey the float's key, or null: nothing is let through
     * @param simulated true for a float that a simulator flies: orders must then be marked so, and must not else
     */
    public OrderGate(int floatNumber, boolean simulated, byte[] floatKey) {
        this.floatNumber = floatNumber;
        this.simulated = simulated;
        this.seal = floatKey == null ? null : new DirectionKeys(floatKey).toFloat();
    }

    /** True when {@code bytes[0 .. length)} is an order that this float may read. */
    public boolean admits(byte[] bytes, int length) {
        int end = length - MessageLayout.SEALED_BYTES;
        if (seal == null || end < MessageLayout.HEADER_BYTES || length > bytes.length) {
            return false;
        }
        int marks = simulated ? MessageLayout.SIMULATED : 0;
        boolean ours = bytes[0] == (byte) (MessageLayout.VERSION << 4 | Kind.ORDER.number())
                && bytes[1] == (byte) (marks | floatNumber >>> 8)
                && bytes[2] == (byte) floatNumber;
        if (!ours) {
            return false;
        }
        seal.update(bytes, 0, end);
        seal.finish(expected, 0, expected.length);
        return HmacSha256.same(expected, 0, bytes, end, expected.length);
    }

    /** Where the body starts. */
    public int bodyOffset() {
        return MessageLayout.HEADER_BYTES;
    }

    /** Where the body of an order of this length ends. */
    public int bodyEnd(int length) {
        return length - MessageLayout.SEALED_BYTES;
    }
}
