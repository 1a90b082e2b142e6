package sunward.firmware.port;

/** The satellite modem, seen as a letter box. */
public interface Modem {
    /**
     * Hands over one message.
     *
     * @return true when the network took it (shore may still never see it)
     */
    boolean send(byte[] message, int offset, int length);

    /**
     * Takes the next waiting order.
     *
     * @return its length, or 0 when none waits
     */
    int receive(byte[] into, int offset, int limit);
}
