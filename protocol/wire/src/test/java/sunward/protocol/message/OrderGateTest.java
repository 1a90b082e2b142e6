package sunward.protocol.message;

import static org.junit.jupiter.api.Assertions.assertEquals;
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
}
