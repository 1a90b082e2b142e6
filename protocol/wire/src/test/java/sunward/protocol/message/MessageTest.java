package sunward.protocol.message;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import org.junit.jupiter.api.Test;
import sunward.protocol.message.Verdict.Accepted;
import sunward.protocol.message.Verdict.Reason;
import sunward.protocol.message.Verdict.Rejected;

/** The envelope: what is written is read, and nothing else is. */
class MessageTest {
    private static final byte[] KEY =
            "an invented key for tests, thirty-two+".getBytes(java.nio.charset.StandardCharsets.US_ASCII);
    private static final KeyRing RING = KeyRing.of(Map.of(77, KEY));

    private static byte[] message(byte[] key, Kind kind, int floatNumber, byte[] body) {
        MessageWriter writer = new MessageWriter(key, 340);
        writer.begin(kind, true, floatNumber, 4001, 2, BlockType.BINS.number(), 3);
        System.arraycopy(body, 0, writer.buffer(), writer.bodyOffset(), body.length);
        return Arrays.copyOf(writer.buffer(), writer.finish(body.length));
    }

    private static Message accepted(byte[] bytes, KeyRing keys) {
        return assertInstanceOf(Accepted.class, MessageReader.read(bytes, keys)).message();
    }

    private static Rejected rejected(byte[] bytes, KeyRing keys, Reason reason) {
        Rejected rejected = assertInstanceOf(Rejected.class, MessageReader.read(bytes, keys));
        assertEquals(reason, rejected.reason(), rejected.sentence());
        return rejected;
    }

    @Test
    void everyFieldComesBackAtItsExtremes() {
        for (int seed = 1; seed <= 2000; seed++) {
            Random random = new Random(seed);
            byte[] key = random.nextBoolean() ? KEY : null;
            MessageWriter writer = new MessageWriter(key, 400);
            int floatNumber = key == null ? edge(random, 1, MessageLayout.MAX_FLOAT) : 77;
            int dive = edge(random, 0, MessageLayout.MAX_DIVE);
            int position = edge(random, 0, MessageLayout.MAX_POSITION);
            int block = edge(random, 0, 15);
            int part = edge(random, 0, MessageLayout.MAX_PART);
            boolean simulated = random.nextBoolean();
            byte[] body = new byte[edge(random, 0, writer.bodyLimit() - writer.bodyOffset())];
            random.nextBytes(body);
            writer.begin(Kind.DIVE, simulated, floatNumber, dive, position, block, part);
            System.arraycopy(body, 0, writer.buffer(), writer.bodyOffset(), body.length);
            byte[] bytes = Arrays.copyOf(writer.buffer(), writer.finish(body.length));
            Message read = accepted(bytes, key == null ? KeyRing.none() : RING);
            String what = "seed " + seed;
            assertEquals(MessageLayout.VERSION, read.version(), what);
            assertEquals(Kind.DIVE, read.kind(), what);
            assertEquals(simulated, read.simulated(), what);
            assertEquals(key == null, read.unsealed(), what);
            assertEquals(floatNumber, read.floatNumber(), what);
            assertEquals(dive, read.dive(), what);
            assertEquals(position, read.position(), what);
            assertEquals(block, read.block(), what);
            assertEquals(part, read.part(), what);
            assertEquals(body.length, read.bodyLength(), what);
            assertArrayEquals(body, read.body(), what);
            assertArrayEquals(bytes, read.bytes(), what);
            assertFalse(read.repaired(), what);
        }
    }

    private static int edge(Random random, int min, int max) {
        return switch (random.nextInt(4)) {
            case 0 -> min;
            case 1 -> max;
            default -> min + random.nextInt(max - min + 1);
        };
    }

    @Test
    void anyFlippedBitIsRejectedSealedAndUnsealed() {
        byte[] body = new byte[60];
        new Random(5).nextBytes(body);
        for (byte[] key : new byte[][] {null, KEY}) {
            byte[] bytes = message(key, Kind.DIVE, 77, body);
            KeyRing keys = key == null ? KeyRing.none() : RING;
            accepted(bytes, keys);
            for (int bit = 0; bit < 8 * bytes.length; bit++) {
                byte[] flipped = bytes.clone();
                flipped[bit / 8] ^= (byte) (1 << bit % 8);
                assertInstanceOf(Rejected.class, MessageReader.read(flipped, keys), "bit " + bit);
            }
            for (int length = 0; length < bytes.length; length++) {
                assertInstanceOf(Rejected.class, MessageReader.read(Arrays.copyOf(bytes, length), keys));
            }
            assertInstanceOf(Rejected.class, MessageReader.read(Arrays.copyOf(bytes, bytes.length + 1), keys));
        }
    }

    @Test
    void eachFaultHasItsReasonAndItsValues() {
        byte[] body = {1, 2, 3};
        byte[] open = message(null, Kind.DIVE, 77, body);
        byte[] sealed = message(KEY, Kind.DIVE, 77, body);
        rejected(null, RING, Reason.TOO_SHORT);
        assertTrue(rejected(new byte[11], RING, Reason.TOO_SHORT).sentence().contains("11 bytes"));
        assertTrue(rejected(new byte[100_001], RING, Reason.TOO_LONG).sentence().contains("100001"));
        assertTrue(rejected(open, RING, Reason.UNSEALED_BUT_KEYED).sentence().contains("float 77"));
        assertTrue(rejected(sealed, KeyRing.none(), Reason.NO_KEY).sentence().contains("float 77"));
        rejected(sealed, KeyRing.of(Map.of(77, new byte[32])), Reason.SEAL_BROKEN);
        rejected(Arrays.copyOf(sealed, 13), RING, Reason.TOO_SHORT);
        byte[] newer = open.clone();
        newer[0] = (byte) 0x91;
        assertTrue(rejected(newer, KeyRing.none(), Reason.VERSION_TOO_NEW)
                .sentence()
                .contains("version (9;"));
        byte[] damaged = open.clone();
        damaged[9] ^= 4;
        rejected(damaged, KeyRing.none(), Reason.DAMAGED);
    }

    @Test
    void versionsOutsideTheRangeAreOldOrNew() {
        assertEquals(
                Reason.VERSION_TOO_OLD, MessageReader.versionVerdict(1, 2, 4).reason());
        assertEquals(
                Reason.VERSION_TOO_NEW, MessageReader.versionVerdict(5, 2, 4).reason());
        for (int version = 2; version <= 4; version++) {
            assertNull(MessageReader.versionVerdict(version, 2, 4));
        }
    }

    @Test
    void wholeBytesWithImpossibleHeadersAreNamed() {
        byte[] kindNine = message(null, Kind.DIVE, 77, new byte[0]);
        kindNine[0] = 9;
        rejected(resummed(kindNine), KeyRing.none(), Reason.UNKNOWN_KIND);
        byte[] nobody = message(null, Kind.DIVE, 77, new byte[0]);
        nobody[2] = 0;
        rejected(resummed(nobody), KeyRing.none(), Reason.FLOAT_ZERO);
    }

    private static byte[] resummed(byte[] bytes) {
        int end = bytes.length - 4;
        int crc = sunward.protocol.seal.Crc32c.of(bytes, 0, end);
        java.nio.ByteBuffer.wrap(bytes).putInt(end, crc);
        return bytes;
    }

    @Test
    void randomBytesAreNeverAcceptedAndNeverThrow() {
        Set<Integer> floats = Set.of(77);
        for (int seed = 1; seed <= 20_000; seed++) {
            Random random = new Random(seed);
            byte[] bytes = new byte[random.nextInt(400)];
            random.nextBytes(bytes);
            if (bytes.length > 0 && random.nextBoolean()) {
                bytes[0] = 1;
            }
            assertInstanceOf(Rejected.class, MessageReader.read(bytes, floats.contains(seed) ? RING : KeyRing.none()));
        }
    }

    @Test
    void baseAndGroupAreReadWhereTheyExist() {
        MessageWriter writer = new MessageWriter(null, 100);
        writer.begin(Kind.DIVE, false, 1, 1, 9, BlockType.SAMPLES.number(), 0);
        writer.buffer()[8] = 0x01;
        writer.buffer()[9] = 0x02;
        Message samples = accepted(Arrays.copyOf(writer.buffer(), writer.finish(2)), KeyRing.none());
        assertEquals(0x102, samples.base());
        assertNull(samples.group());
        writer.begin(Kind.REPAIR, false, 1, 1, 60, 0, 0);
        writer.buffer()[8] = 0;
        writer.buffer()[9] = 4;
        writer.buffer()[10] = 50;
        Message repair = accepted(Arrays.copyOf(writer.buffer(), writer.finish(3)), KeyRing.none());
        assertEquals(new RepairGroup(4, 50), repair.group());
        assertEquals(Message.NO_BASE, repair.base());
        assertNull(accepted(message(null, Kind.REPAIR, 1, new byte[2]), KeyRing.none())
                .group());
    }

    @Test
    void writerRefusesWhatDoesNotFitItsField() {
        MessageWriter writer = new MessageWriter(null, 100);
        assertThrows(IllegalArgumentException.class, () -> writer.begin(Kind.DIVE, true, 0, 0, 0, 0, 0));
        assertThrows(IllegalArgumentException.class, () -> writer.begin(Kind.DIVE, true, 16384, 0, 0, 0, 0));
        assertThrows(IllegalArgumentException.class, () -> writer.begin(Kind.DIVE, true, 1, 4096, 0, 0, 0));
        assertThrows(IllegalArgumentException.class, () -> writer.begin(Kind.DIVE, true, 1, 0, 4096, 0, 0));
        assertThrows(IllegalArgumentException.class, () -> writer.begin(Kind.DIVE, true, 1, 0, 0, 16, 0));
        assertThrows(IllegalArgumentException.class, () -> writer.finish(89));
    }

    @Test
    void aRingNeverPrintsItsKeys() {
        assertEquals("key", RING.toString());
    }
}
