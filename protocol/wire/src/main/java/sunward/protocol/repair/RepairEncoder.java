package sunward.protocol.repair;

import java.util.Arrays;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.seal.Crc32c;

/**
 * Makes the repair messages' bodies of one group, without allocation after construction. The protected messages are shown
 * in order of position, once for the group's digest ({@link #begin}, {@link #cover}), then once for each repair message
 * ({@link #start}, {@link #add}), so that they may stay in flash.
 */
public final class RepairEncoder {
    private final byte[] head = new byte[RepairLayout.SYMBOL_HEADER_BYTES];
    private final byte[] zeros;
    private final int[] known = new int[ErasureCode.MAX_SYMBOLS];
    private final int[] coefficients = new int[ErasureCode.MAX_SYMBOLS];
    private int first;
    private int messages;
    private int repairs;
    private int symbolBytes;
    private int digest;
    private byte[] body;
    private int bodyOffset;

    /** Makes an encoder for protected bodies of at most this many bytes. */
    public RepairEncoder(int maxBodyBytes) {
        zeros = new byte[maxBodyBytes];
        for (int i = 0; i < known.length; i++) {
            known[i] = i;
        }
    }

    /**
     * Starts a group.
     *
     * @param firstPosition position of the first protected message
     * @param messageCount protected messages, at least 1
     * @param repairCount repair messages; the two together at most {@link ErasureCode#MAX_SYMBOLS}
     * @param longestBodyBytes the longest body among the protected messages
     */
    public void begin(int firstPosition, int messageCount, int repairCount, int longestBodyBytes) {
        first = firstPosition;
        messages = messageCount;
        repairs = repairCount;
        symbolBytes = RepairLayout.SYMBOL_HEADER_BYTES + longestBodyBytes;
        digest = 0;
    }

    /** Shows the next protected message, header included, for the group's digest. */
    public void cover(byte[] message, int offset, int bodyLength) {
        RepairLayout.writeHead(message, offset, bodyLength, head);
        digest = Crc32c.continued(digest, head, 0, head.length);
        digest = Crc32c.continued(digest, message, offset + MessageLayout.HEADER_BYTES, bodyLength);
        digest = Crc32c.continued(digest, zeros, 0, symbolBytes - head.length - bodyLength);
    }

    /**
     * Starts the body of one repair message.
     *
     * @param repair its number, from 0
     * @return length of the body, bytes
     */
    public int start(int repair, byte[] into, int offset) {
        body = into;
        bodyOffset = offset;
        into[offset] = (byte) (first >>> 8);
        into[offset + 1] = (byte) first;
        into[offset + 2] = (byte) messages;
        into[offset + 3] = (byte) repairs;
        for (int i = 0; i < 4; i++) {
            into[offset + 4 + i] = (byte) (digest >>> (24 - 8 * i));
        }
        int symbol = offset + RepairLayout.BODY_HEADER_BYTES;
        Arrays.fill(into, symbol, symbol + symbolBytes, (byte) 0);
        ErasureCode.coefficients(known, messages, messages + repair, coefficients);
        return RepairLayout.BODY_HEADER_BYTES + symbolBytes;
    }

    /** Adds protected message {@code index}, from 0 in order of position, header included, to the body started. */
    public void add(int index, byte[] message, int offset, int bodyLength) {
        RepairLayout.writeHead(message, offset, bodyLength, head);
        int symbol = bodyOffset + RepairLayout.BODY_HEADER_BYTES;
        int coefficient = coefficients[index];
        ErasureCode.addScaled(coefficient, head, 0, head.length, body, symbol);
        ErasureCode.addScaled(
                coefficient, message, offset + MessageLayout.HEADER_BYTES, bodyLength, body, symbol + head.length);
    }

    /** Bytes of RAM in the encoder's arrays. */
    public int ramBytes() {
        return head.length + zeros.length + 4 * (known.length + coefficients.length);
    }
}
