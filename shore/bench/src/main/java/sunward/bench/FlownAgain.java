package sunward.bench;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import sunward.firmware.FloatComputer;
import sunward.firmware.port.Modem;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.ComputerEvents;
import sunward.simulator.NorFlash;
import sunward.simulator.PlanMapping;
import sunward.simulator.Recording;

/**
 * A recording flown again, from boot to the end of the session at the surface, by a float computer made before: what its
 * thread allocates meanwhile is the firmware's doing, and the digest of its messages tells it from any other.
 */
final class FlownAgain implements Modem {
    private static final long SESSION_MS = 0;
    private static final int MOST_BYTES = 1 << 22;

    private final Recording recording;
    private final FloatComputer computer;
    private final ComputerEvents events;
    private final byte[] sent = new byte[MOST_BYTES];
    private int bytes;
    private int messages;

    /** A fresh float with a key, and all that the flight needs. */
    FlownAgain(PlanFile file, Recording recording) {
        this.recording = recording;
        computer = new FloatComputer(
                PlanMapping.floatPlan(file.getPlan(), file.getCalibration(), true, new byte[32]),
                NorFlash.reference(),
                this,
                (head, exposureCode, shutterClosed) -> {});
        events = new ComputerEvents(computer);
    }

    /** Flies it; returns the bytes that the thread allocated meanwhile, or -1 where the machine cannot tell. */
    long fly() {
        ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        long own = Thread.currentThread().getId();
        boolean counts = threads.isThreadAllocatedMemorySupported();
        long before = counts ? threads.getThreadAllocatedBytes(own) : 0;
        flyUncounted();
        return counts ? threads.getThreadAllocatedBytes(own) - before : -1;
    }

    /** The same, not counted; returns the messages sent. */
    int flyUncounted() {
        rise();
        pack();
        session();
        return messages;
    }

    /** From boot to the surface. */
    void rise() {
        bytes = 0;
        messages = 0;
        recording.play(events);
    }

    /** Bins and packing. */
    void pack() {
        computer.pack();
    }

    /** Sending and hearing. */
    void session() {
        boolean more = true;
        while (more) {
            more = computer.sendNext(SESSION_MS);
        }
        computer.hear(SESSION_MS);
    }

    int messages() {
        return messages;
    }

    /** SHA-256 of all messages, one after another. */
    String digest() {
        return digest(List.of(Arrays.copyOf(sent, bytes)));
    }

    /** SHA-256 of messages, one after another. */
    static String digest(List<byte[]> messages) {
        try {
            MessageDigest sha = MessageDigest.getInstance("SHA-256");
            messages.forEach(sha::update);
            return HexFormat.of().formatHex(sha.digest());
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java has SHA-256", e);
        }
    }

    @Override
    public boolean send(byte[] message, int offset, int length) {
        System.arraycopy(message, offset, sent, bytes, length);
        bytes += length;
        messages++;
        return true;
    }

    @Override
    public int receive(byte[] into, int offset, int limit) {
        return 0;
    }
}
