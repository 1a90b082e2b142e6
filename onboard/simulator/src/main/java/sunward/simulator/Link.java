package sunward.simulator;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import sunward.firmware.port.Modem;
import sunward.protocol.schema.LinkTruth;

/**
 * The satellite link: takes every message that the float hands over, then loses, spoils, repeats and delays it as the
 * scene says. What happens to a message depends on the link seed, the dive, the message's place in the sending order and
 * the attempt, and on nothing else. One owner; not for sharing between threads.
 */
final class Link implements Modem {
    private static final int MOST_FLIPPED_BITS = 4;

    private final LinkTruth scene;
    private final long address;
    private final Map<Integer, Integer> attempts = new HashMap<>();
    private final List<byte[]> sent = new ArrayList<>();
    private final List<Delivery> deliveries = new ArrayList<>();
    private long nowMs;
    private int lost;
    private int duplicated;
    private int corrupted;

    Link(LinkTruth scene, long linkSeed) {
        this.scene = scene;
        this.address = Noise.hash(linkSeed, Part.LINK);
    }

    /** Tells the link what time it is, ms since 2000. */
    void setTime(long timeMs) {
        nowMs = timeMs;
    }

    @Override
    public boolean send(byte[] message, int offset, int length) {
        byte[] bytes = Arrays.copyOfRange(message, offset, offset + length);
        sent.add(bytes);
        int place = diveAndPosition(bytes);
        int attempt = attempts.merge(place, 1, Integer::sum);
        long event = Noise.hash(address, place, attempt);
        if (happens(event, 0, scene.getLossPercent())) {
            lost++;
            return true;
        }
        deliver(bytes, event, 0);
        if (happens(event, 1, scene.getDuplicatePercent())) {
            duplicated++;
            deliver(bytes, event, 1);
        }
        return true;
    }

    /** Bytes 3 to 5 of the envelope hold dive and position, twelve bits each; whatever is shorter goes as 0. */
    private static int diveAndPosition(byte[] bytes) {
        return bytes.length < 6 ? 0 : (bytes[3] & 0xff) << 16 | (bytes[4] & 0xff) << 8 | bytes[5] & 0xff;
    }

    private void deliver(byte[] bytes, long event, int copy) {
        long own = Noise.hash(event, 2 + copy);
        byte[] received = bytes.clone();
        if (happens(own, 0, scene.getCorruptPercent())) {
            corrupted++;
            flipBits(received, own);
        }
        double delayS = scene.getDelayS() - scene.getDelaySpreadS() * Math.log(Noise.uniform(Noise.hash(own, 1)));
        deliveries.add(new Delivery(nowMs + Math.round(delayS * 1000), received));
    }

    private static void flipBits(byte[] received, long own) {
        int flips = 1 + (int) (MOST_FLIPPED_BITS * Noise.uniform(Noise.hash(own, 2)));
        for (int i = 0; i < flips; i++) {
            int bit = (int) (received.length * 8 * Noise.uniform(Noise.hash(own, 3 + i)));
            received[bit / 8] ^= (byte) (1 << bit % 8);
        }
    }

    private static boolean happens(long event, long what, double percent) {
        return Noise.uniform(Noise.hash(event, what)) * 100 < percent;
    }

    @Override
    public int receive(byte[] into, int offset, int limit) {
        return 0;
    }

    /** Every message handed over, in order. */
    List<byte[]> sent() {
        return List.copyOf(sent);
    }

    /** What shore receives, in order of arrival; what arrives together keeps the order of sending. */
    List<Delivery> deliveries() {
        List<Delivery> ordered = new ArrayList<>(deliveries);
        ordered.sort(Comparator.comparingLong(Delivery::receivedMs));
        return List.copyOf(ordered);
    }

    /** Messages of which nothing arrives. */
    int lost() {
        return lost;
    }

    /** Messages of which two copies arrive. */
    int duplicated() {
        return duplicated;
    }

    /** Copies that arrive spoilt. */
    int corrupted() {
        return corrupted;
    }
}
