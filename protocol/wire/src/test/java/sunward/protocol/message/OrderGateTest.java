package sunward.protocol.message;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;

class OrderGateTest {
    private static final byte[] KEY = "a key for tests only, 32 bytes!!".getBytes(StandardCharsets.US_ASCII);

    /** The float's gate and shore's reader say the same of orders, whole and spoilt. */
    @Test
    void agreesWithTheReader() {
        OrderGate gate = new OrderGate(300, true, KEY);
        KeyRing keys = KeyRing.of(Map.of(300, KEY, 301, KEY));
        int admitted = 0;
        for (int seed = 1; seed <= 5000; seed++) {
            Random random = new Random(seed);
            MessageWriter writer = new MessageWriter(KEY, 270);
            Kind kind = random.nextInt(5) == 0 ? Kind.DIVE : Kind.ORDER;
            writer.begin(
                    kind, random.nextInt(5) > 0, random.nextInt(5) == 0 ? 301 : 300, 0, random.nextInt(4096), 0, 0);
            int length = random.nextInt(200);
            for (int i = 0; i < length; i++) {
                writer.buffer()[writer.bodyOffset() + i] = (byte) random.nextInt();
            }
            byte[] bytes = Arrays.copyOf(writer.buffer(), writer.finish(length));
            if (random.nextInt(3) == 0) {
                bytes[random.nextInt(bytes.length)] ^= (byte) (1 << random.nextInt(8));
            }
            Verdict verdict = MessageReader.read(bytes, keys);
            boolean expected = verdict instanceof Verdict.Accepted accepted
                    && accepted.message().kind() == Kind.ORDER
                    && accepted.message().simulated()
                    && !accepted.message().unsealed()
                    && accepted.message().floatNumber() == 300;
            assertEquals(expected, gate.admits(bytes, bytes.length), "seed " + seed);
            admitted += expected ? 1 : 0;
        }
        assertTrue(admitted > 1000);
    }

    @Test
    void noKeyNoOrdersAndNoReadingBeyondTheEnd() {
        MessageWriter writer = new MessageWriter(KEY, 270);
        writer.begin(Kind.ORDER, false, 5, 0, 1, 0, 0);
        byte[] bytes = Arrays.copyOf(writer.buffer(), writer.finish(3));
        OrderGate gate = new OrderGate(5, false, KEY);
        assertTrue(gate.admits(bytes, bytes.length));
        assertEquals(8, gate.bodyOffset());
        assertEquals(11, gate.bodyEnd(bytes.length));
        assertFalse(new OrderGate(5, false, null).admits(bytes, bytes.length));
        assertFalse(new OrderGate(5, true, KEY).admits(bytes, bytes.length));
        assertFalse(new OrderGate(6, false, KEY).admits(bytes, bytes.length));
        assertFalse(new OrderGate(5 + 256, false, KEY).admits(bytes, bytes.length));
        assertFalse(gate.admits(bytes, bytes.length + 1));
        assertFalse(gate.admits(bytes, 15));
        assertFalse(gate.admits(bytes, 0));
    }

    @Test
    void namesOfBaseAndGroupAreReadOnlyWhereTheyStand() {
        assertEquals(
                Message.NO_BASE,
                message(Kind.DIVE, BlockType.SAMPLES.number(), 1).base());
        assertEquals(0x0102, message(Kind.DIVE, BlockType.SAMPLES.number(), 2).base());
        assertEquals(
                Message.NO_BASE, message(Kind.DIVE, BlockType.BINS.number(), 2).base());
        assertEquals(
                Message.NO_BASE,
                message(Kind.ORDER, BlockType.SAMPLES.number(), 2).base());
        assertNull(message(Kind.DIVE, 0, 3).group());
        assertNull(message(Kind.REPAIR, 0, 2).group());
        assertEquals(new RepairGroup(0x0102, 3), message(Kind.REPAIR, 0, 3).group());
    }

    private static Message message(Kind kind, int block, int length) {
        MessageWriter writer = new MessageWriter(KEY, 270);
        writer.begin(kind, true, 300, 1, 2, block, 3);
        for (int i = 0; i < length; i++) {
            writer.buffer()[writer.bodyOffset() + i] = (byte) (i + 1);
        }
        byte[] bytes = Arrays.copyOf(writer.buffer(), writer.finish(length));
        return ((Verdict.Accepted) MessageReader.read(bytes, KeyRing.of(Map.of(300, KEY)))).message();
    }
}
