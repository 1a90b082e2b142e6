package sunward.protocol.repair;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.message.Verdict;

class RepairTest {
    private static final byte[] KEY = "a key for tests only, 32 bytes!!".getBytes(StandardCharsets.US_ASCII);
    private static final int MESSAGE_BYTES = 340;

    private static Message read(byte[] bytes) {
        Verdict verdict = MessageReader.read(bytes, KeyRing.of(Map.of(7, KEY)));
        return assertAccepted(verdict);
    }

    private static Message assertAccepted(Verdict verdict) {
        assertTrue(verdict instanceof Verdict.Accepted, verdict.toString());
        return ((Verdict.Accepted) verdict).message();
    }

    /** A dive's data messages of random bodies followed by its repair messages, as bytes. */
    private static List<byte[]> group(Random random, int first, int messages, int repairs) {
        MessageWriter writer = new MessageWriter(KEY, MESSAGE_BYTES);
        int limit = writer.bodyLimit() - writer.bodyOffset() - RepairLayout.RESERVED_BYTES;
        List<byte[]> sent = new ArrayList<>();
        int longest = 0;
        int[] lengths = new int[messages];
        for (int i = 0; i < messages; i++) {
            lengths[i] = random.nextInt(limit + 1);
            longest = Math.max(longest, lengths[i]);
            writer.begin(Kind.DIVE, true, 7, 3, first + i, random.nextInt(6), random.nextInt(4096));
            for (int b = 0; b < lengths[i]; b++) {
                writer.buffer()[writer.bodyOffset() + b] = (byte) random.nextInt(256);
            }
            sent.add(Arrays.copyOf(writer.buffer(), writer.finish(lengths[i])));
        }
        RepairEncoder encoder = new RepairEncoder(limit);
        encoder.begin(first, messages, repairs, longest);
        for (int i = 0; i < messages; i++) {
            encoder.cover(sent.get(i), 0, lengths[i]);
        }
        for (int r = 0; r < repairs; r++) {
            writer.begin(Kind.REPAIR, true, 7, 3, first + messages + r, 0, r);
            int length = encoder.start(r, writer.buffer(), writer.bodyOffset());
            for (int i = 0; i < messages; i++) {
                encoder.add(i, sent.get(i), 0, lengths[i]);
            }
            sent.add(Arrays.copyOf(writer.buffer(), writer.finish(length)));
        }
        return sent;
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10})
    void anyLossUpToTheRepairCountIsRestored(long seed) {
        Random random = new Random(seed);
        int messages = 1 + random.nextInt(80);
        int repairs = 1 + random.nextInt(20);
        int first = random.nextInt(100);
        List<byte[]> sent = group(random, first, messages, repairs);
        List<Message> all = new ArrayList<>(sent.stream().map(RepairTest::read).toList());
        Collections.shuffle(all, random);
        List<Message> arrived = all.subList(0, messages);
        Repair.Restored restored = Repair.restore(arrived);
        assertEquals(List.of(), restored.failures(), "seed " + seed);
        List<Message> whole = new ArrayList<>(arrived);
        whole.addAll(restored.messages());
        for (int i = 0; i < messages; i++) {
            int position = first + i;
            Message found = whole.stream()
                    .filter(m -> m.position() == position)
                    .findFirst()
                    .orElseThrow();
            Message original = read(sent.get(i));
            assertArrayEquals(original.body(), found.body(), "seed " + seed + " position " + position);
            assertEquals(original.block(), found.block());
            assertEquals(original.part(), found.part());
            assertEquals(!arrived.contains(found), found.repaired());
        }
    }

    /** Two groups, and one repair message of a third that says to protect the same messages as one of them. */
    @Test
    void everyGroupIsRepairedByItsOwn() {
        Random random = new Random(3);
        List<byte[]> sent = new ArrayList<>(group(random, 12, 8, 2));
        sent.addAll(group(random, 0, 10, 2));
        List<Message> arrived =
                new ArrayList<>(sent.stream().map(RepairTest::read).toList());
        arrived.removeIf(m -> m.position() == 14 || m.position() == 3 || m.position() == 4);
        List<Integer> restored = Repair.restore(arrived).messages().stream()
                .map(Message::position)
                .toList();
        assertEquals(List.of(3, 4, 14), restored);
        arrived.add(read(group(random, 0, 10, 16).get(25)));
        assertEquals(
                List.of(3, 4, 14),
                Repair.restore(arrived).messages().stream()
                        .map(Message::position)
                        .toList());
    }

    @Test
    void oneTooManyLostRestoresNothingAndInventsNothing() {
        List<byte[]> sent = group(new Random(1), 0, 20, 4);
        List<Message> arrived =
                sent.subList(5, 24).stream().map(RepairTest::read).toList();
        Repair.Restored restored = Repair.restore(arrived);
        assertEquals(List.of(), restored.messages());
        assertEquals(List.of(), restored.failures());
    }

    /** Two dives under one number: the digest notices that data and repair messages do not belong together. */
    @Test
    void messagesThatDoNotBelongTogetherAreNoticed() {
        List<byte[]> sent = group(new Random(1), 0, 20, 4);
        List<byte[]> other = group(new Random(2), 0, 20, 4);
        List<Message> arrived = new ArrayList<>();
        other.subList(0, 18).forEach(bytes -> arrived.add(read(bytes)));
        sent.subList(20, 24).forEach(bytes -> arrived.add(read(bytes)));
        Repair.Restored restored = Repair.restore(arrived);
        assertEquals(List.of(), restored.messages());
        assertFalse(restored.failures().isEmpty());
        assertTrue(
                restored.failures().get(0).contains("positions 0 to 19"),
                restored.failures().get(0));
    }

    private static Message repairWith(byte[] original, int at, int value) {
        MessageWriter writer = new MessageWriter(KEY, MESSAGE_BYTES);
        Message message = read(original);
        byte[] body = message.body();
        if (at >= 0) {
            body[at] = (byte) value;
        }
        writer.begin(Kind.REPAIR, true, 7, 3, message.position(), 0, at < 0 ? value : message.part());
        System.arraycopy(body, 0, writer.buffer(), writer.bodyOffset(), body.length);
        return read(Arrays.copyOf(writer.buffer(), writer.finish(body.length)));
    }

    /** Repair messages that name no group (k 0, part beyond m, more than 255, positions beyond the last) restore nothing. */
    @Test
    void repairMessagesThatNameNoGroupAreLeftAside() {
        List<byte[]> sent = group(new Random(3), 0, 6, 2);
        List<Message> data = sent.subList(1, 6).stream().map(RepairTest::read).toList();
        int[][] changes = {{2, 0}, {3, 0}, {2, 254}, {-1, 2}, {0, 0x0f}};
        for (int[] change : changes) {
            List<Message> arrived = new ArrayList<>(data);
            Message spoilt = repairWith(sent.get(6), change[0], change[1]);
            if (change[0] == 0) {
                spoilt = repairWith(spoilt.bytes(), 1, 0xfe);
            }
            arrived.add(spoilt);
            assertEquals(List.of(), Repair.restore(arrived).messages(), Arrays.toString(change));
        }
        MessageWriter writer = new MessageWriter(KEY, MESSAGE_BYTES);
        for (int length : new int[] {0, 2, 12}) {
            writer.begin(Kind.REPAIR, true, 7, 3, 6, 0, 0);
            List<Message> arrived = new ArrayList<>(data);
            arrived.add(read(Arrays.copyOf(writer.buffer(), writer.finish(length))));
            assertEquals(List.of(), Repair.restore(arrived).messages(), length + " bytes of body");
        }
    }

    /** A data message longer than the group's symbol, and a symbol that is no message: said, and nothing derived. */
    @Test
    void groupsThatCannotBeTrueAreNamed() {
        List<byte[]> sent = group(new Random(4), 0, 6, 2);
        Message repair = read(sent.get(6));
        MessageWriter writer = new MessageWriter(KEY, MESSAGE_BYTES);
        byte[] body = repair.body();
        writer.begin(Kind.REPAIR, true, 7, 3, 6, 0, 0);
        System.arraycopy(body, 0, writer.buffer(), writer.bodyOffset(), body.length);
        Message cut = read(Arrays.copyOf(writer.buffer(), writer.finish(20)));
        List<Message> arrived = new ArrayList<>();
        sent.subList(1, 6).forEach(bytes -> arrived.add(read(bytes)));
        arrived.add(cut);
        Repair.Restored restored = Repair.restore(arrived);
        assertEquals(List.of(), restored.messages());
        assertTrue(restored.failures().get(0).contains("longer than the group allows"), restored.toString());
        // The first byte of a symbol is the kind: any other first byte of the repair symbol makes another kind.
        int found = 0;
        for (int value = 0; value < 256; value++) {
            List<Message> others = new ArrayList<>();
            sent.subList(1, 6).forEach(bytes -> others.add(read(bytes)));
            others.add(repairWith(sent.get(6), 8, value));
            found += Repair.restore(others).messages().size();
        }
        assertEquals(1, found, "only the true byte restores");
    }
}
