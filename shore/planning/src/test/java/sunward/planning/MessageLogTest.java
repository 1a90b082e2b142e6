package sunward.planning;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.repair.RepairEncoder;
import sunward.simulator.Delivery;

class MessageLogTest {
    private static final long SURFACED_MS = 1_000_000;

    private static List<byte[]> messages(int count) {
        MessageWriter writer = new MessageWriter(null, 340);
        Random random = new Random(1);
        List<byte[]> messages = new ArrayList<>();
        for (int i = 0; i < count; i++) {
            int block = i == 0 ? BlockType.LEDGER.number() : BlockType.BINS.number();
            writer.begin(Kind.DIVE, true, 1, 1, i, block, Math.max(0, i - 1));
            byte[] body = new byte[300];
            random.nextBytes(body);
            System.arraycopy(body, 0, writer.buffer(), writer.bodyOffset(), body.length);
            messages.add(Arrays.copyOf(writer.buffer(), writer.finish(body.length)));
        }
        return messages;
    }

    private static byte[] flipped(byte[] bytes, int bit) {
        byte[] copy = bytes.clone();
        copy[bit / 8] ^= (byte) (1 << bit % 8);
        return copy;
    }

    @Test
    void tellsWhatBecameOfEachMessage() {
        List<byte[]> sent = messages(6);
        List<Delivery> delivered = List.of(
                new Delivery(SURFACED_MS + 9_000, sent.get(3)),
                new Delivery(SURFACED_MS + 10_000, sent.get(0)),
                new Delivery(SURFACED_MS + 11_000, flipped(sent.get(4), 2001)),
                new Delivery(SURFACED_MS + 12_500, sent.get(3)),
                new Delivery(SURFACED_MS + 13_000, flipped(sent.get(5), 42)),
                new Delivery(SURFACED_MS + 14_000, sent.get(5)));
        MessageLog log = MessageLog.of(sent, delivered, KeyRing.none());
        assertEquals(
                List.of("received", "lost", "lost", "received", "spoilt", "received"),
                log.entries().stream().map(MessageLog.Entry::state).toList());
        assertEquals(1, log.repeats());
        List<ReportData.MessageBar> bars = log.bars(SURFACED_MS, List.of("A", "B"), message -> 1);
        assertEquals("ledger", bars.get(0).block());
        assertEquals("", bars.get(0).head());
        assertEquals("B", bars.get(3).head());
        assertEquals(9, bars.get(3).arrivalS());
        assertEquals(2, bars.get(3).copies());
        assertEquals(312, bars.get(3).bytes());
        assertEquals(12, bars.get(3).overheadBytes());
        assertTrue(Double.isNaN(bars.get(1).arrivalS()));
        assertTrue(bars.get(4).note().contains("checksum"), bars.get(4).note());
    }

    @Test
    void aLostMessageMadeGoodByRepairSaysSo() {
        List<byte[]> sent = new ArrayList<>(messages(3));
        RepairEncoder encoder = new RepairEncoder(300);
        encoder.begin(0, 3, 1, 300);
        sent.forEach(message -> encoder.cover(message, 0, 300));
        MessageWriter writer = new MessageWriter(null, 340);
        writer.begin(Kind.REPAIR, true, 1, 1, 3, 0, 0);
        int length = encoder.start(0, writer.buffer(), writer.bodyOffset());
        for (int i = 0; i < 3; i++) {
            encoder.add(i, sent.get(i), 0, 300);
        }
        sent.add(Arrays.copyOf(writer.buffer(), writer.finish(length)));
        List<Delivery> delivered =
                List.of(new Delivery(1, sent.get(0)), new Delivery(2, sent.get(2)), new Delivery(3, sent.get(3)));
        MessageLog log = MessageLog.of(sent, delivered, KeyRing.none());
        assertEquals(
                List.of("received", "repaired", "received", "received"),
                log.entries().stream().map(MessageLog.Entry::state).toList());
        assertEquals(0, log.count("lost"));
    }
}
