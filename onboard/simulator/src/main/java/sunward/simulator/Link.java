package sunward.simulator;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import sunward.firmware.port.Modem;
import sunward.protocol.message.Kind;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.schema.LinkTruth;

/**
 * The satellite link: takes every message that the float hands over and every order from shore, then loses, spoils,
 * repeats and delays it as the scene says. What happens to a message depends on the link seed, its direction, its kind,
 * dive, place in the sending order and the attempt, and on nothing else. One owner; not for sharing between threads.
 */
final class Link implements Modem {
    private static final int MOST_FLIPPED_BITS = 4;

    private final LinkTruth scene;
    private final long toShore;
    private final long toFloat;
    private final Map<Long, Integer> attempts = new HashMap<>();
    private final List<byte[]> sent = new ArrayList<>();
    private final List<Delivery> deliveries = new ArrayList<>();
    private final List<Delivery> orders = new ArrayList<>();
    private long nowMs;
    private long refusesUntilMs = Long.MIN_VALUE;
    private int lost;
    private int duplicated;
    private int corrupted;

    Link(LinkTruth scene, long linkSeed) {
        this.scene = scene;
        toShore = Noise.hash(linkSeed, Part.LINK);
        toFloat = Noise.hash(linkSeed, Part.ORDER_LINK);
    }

    /** Until then the network takes nothing, ms since 2000. */
    void refuseUntil(long timeMs) {
        refusesUntilMs = timeMs;
    }

    /** Tells the link what time it is, ms since 2000. */
    void setTime(long timeMs) {
        nowMs = timeMs;
    }

    @Override
    public boolean send(byte[] message, int offset, int length) {
        if (nowMs < refusesUntilMs) {
            return false;
        }
        byte[] bytes = Arrays.copyOfRange(message, offset, offset + length);
        sent.add(bytes);
        long event = event(toShore, bytes);
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

    private void deliver(byte[] bytes, long event, int copy) {
        corrupted += spoilt(event, copy) ? 1 : 0;
        deliveries.add(delivery(bytes, event, copy));
    }

    /** Takes an order from shore, to be received by the float when it has come down. */
    void order(byte[] order) {
        long event = event(toFloat, order);
        if (happens(event, 0, scene.getLossPercent())) {
            return;
        }
        orders.add(delivery(order, event, 0));
        if (happens(event, 1, scene.getDuplicatePercent())) {
            orders.add(delivery(order, event, 1));
        }
    }

    private long event(long direction, byte[] bytes) {
        long address = Noise.hash(direction, place(bytes));
        return Noise.hash(address, attempts.merge(address, 1, Integer::sum));
    }

    /** Bytes 3 to 5 of the envelope hold dive and position, twelve bits each; receipts count apart. */
    private static long place(byte[] bytes) {
        if (bytes.length < MessageLayout.HEADER_BYTES) {
            return 0;
        }
        int kind = (bytes[0] & 0xf) == Kind.RECEIPT.number() ? Kind.RECEIPT.number() : 0;
        return (long) kind << 24 | (bytes[3] & 0xff) << 16 | (bytes[4] & 0xff) << 8 | bytes[5] & 0xff;
    }

    private boolean spoilt(long event, int copy) {
        return happens(Noise.hash(event, 2 + copy), 0, scene.getCorruptPercent());
    }

    private Delivery delivery(byte[] bytes, long event, int copy) {
        long own = Noise.hash(event, 2 + copy);
        byte[] received = bytes.clone();
        if (spoilt(event, copy)) {
            flipBits(received, own);
        }
        double delayS = scene.getDelayS() - scene.getDelaySpreadS() * Math.log(Noise.uniform(Noise.hash(own, 1)));
        return new Delivery(nowMs + Math.round(delayS * 1000), received);
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
        orders.sort(Comparator.comparingLong(Delivery::receivedMs));
        while (!orders.isEmpty() && orders.get(0).receivedMs() <= nowMs) {
            byte[] order = orders.remove(0).bytes();
            if (order.length <= limit) { // the network carries no longer ones
                System.arraycopy(order, 0, into, offset, order.length);
                return order.length;
            }
        }
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

    /** What shore has received up to a time, ms since 2000. */
    List<Delivery> deliveriesUntil(long timeMs) {
        return deliveries().stream().filter(d -> d.receivedMs() <= timeMs).toList();
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
