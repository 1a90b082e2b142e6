package sunward.watch.intake;

import sunward.protocol.message.MessageLayout;

/**
 * What one sender, and all together, may ask of the watch.
 *
 * <p>Memory of the TCP door is bounded by {@code pendingBytes + connections * (frame + window bytes read ahead)}: with the
 * defaults 32 MiB + 1100 * (100 kB + 64 KiB) = 208 MiB if every connection did its worst at once, and less than 1 MiB for
 * a thousand quiet ones beyond Netty's own.
 *
 * @param connections most TCP connections at a time; more are closed at once
 * @param window most deliveries of one connection that wait for their receipts
 * @param pendingBytes payload bytes of all doors that may wait for their commit before senders are made to wait
 * @param messagesPerSecond most deliveries a second of one connection; beyond it the connection is read more slowly
 * @param idleSeconds a connection that says nothing for so long is closed
 * @param frameSeconds a delivery must be whole within this time from its first byte
 * @param firstSeconds a connection must have shown the token within this time
 */
public record Limits(
        int connections,
        int window,
        long pendingBytes,
        int messagesPerSecond,
        int idleSeconds,
        int frameSeconds,
        int firstSeconds) {
    /** Longest payload, bytes. */
    public static final int MESSAGE_BYTES = MessageLayout.MAX_MESSAGE_BYTES;

    /** Longest request on the stream: the payload, the token and their tags. */
    static final int FRAME_BYTES = MESSAGE_BYTES + 1024;

    /** The limits of {@code sunward listen}. */
    public static Limits defaults() {
        return new Limits(1100, 1024, 32L << 20, 50_000, 300, 30, 10);
    }
}
