package sunward.profiles;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import sunward.protocol.bits.BodyWriter;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.message.Verdict;
import sunward.protocol.repair.Repair;
import sunward.protocol.repair.RepairEncoder;
import sunward.protocol.schema.Resend;

class ResendChoiceTest {
    private static final int MESSAGE_BYTES = 340;

    /** A dive of ledger, random bodies, ledger again and repair messages. */
    private static List<Message> dive(Random random, int data, int repairs) {
        MessageWriter writer = new MessageWriter(null, MESSAGE_BYTES);
        List<byte[]> sent = new ArrayList<>();
        int ends = MESSAGE_BYTES - (writer.bodyLimit() - writer.bodyOffset());
        for (int i = 0; i < data; i++) {
            boolean ledger = i == 0 || i == data - 1;
            BlockType block = ledger ? BlockType.LEDGER : BlockType.BINS;
            writer.begin(Kind.DIVE, true, 7, 3, i, block.number(), i);
            BodyWriter body = new BodyWriter();
            body.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit() - 13);
            if (ledger) {
                body.varint(11, data);
            } else {
                byte[] bytes = new byte[50 + random.nextInt(200)];
                random.nextBytes(bytes);
                body.bytes(1, bytes, 0, bytes.length);
            }
            sent.add(Arrays.copyOf(writer.buffer(), writer.finish(body.length())));
        }
        int longest = sent.stream().mapToInt(b -> b.length - ends).max().orElseThrow();
        RepairEncoder encoder = new RepairEncoder(longest);
        encoder.begin(0, data, Math.max(1, repairs), longest);
        sent.forEach(bytes -> encoder.cover(bytes, 0, bytes.length - ends));
        for (int r = 0; r < repairs; r++) {
            writer.begin(Kind.REPAIR, true, 7, 3, data + r, 0, r);
            int length = encoder.start(r, writer.buffer(), writer.bodyOffset());
            for (int i = 0; i < data; i++) {
                encoder.add(i, sent.get(i), 0, sent.get(i).length - ends);
            }
            sent.add(Arrays.copyOf(writer.buffer(), writer.finish(length)));
        }
        return sent.stream()
                .map(bytes -> ((Verdict.Accepted) MessageReader.read(bytes, KeyRing.none())).message())
                .toList();
    }

    /** Over seeds: what is asked for completes the dive, and is at most 1.1 times the bytes that are missing. */
    @Test
    void whatIsAskedForCompletesTheDive() {
        double most = 0;
        for (int seed = 1; seed <= 400; seed++) {
            Random random = new Random(seed);
            int data = 3 + random.nextInt(60);
            int repairs = random.nextInt(14);
            double loss = random.nextDouble() * 0.6;
            List<Message> sent = dive(random, data, repairs);
            List<Message> held = new ArrayList<>(sent);
            held.removeIf(m -> random.nextDouble() < loss);
            int rounds = 0;
            List<Integer> wanted = ResendChoice.positions(held);
            while (!wanted.isEmpty() && rounds < 3) {
                long asked = bytes(sent, new TreeSet<>(wanted));
                long missing = bytes(sent, missing(held, data));
                most = Math.max(most, (double) asked / missing);
                wanted.forEach(position -> held.add(sent.get(position)));
                wanted = ResendChoice.positions(held);
                rounds++;
            }
            // Nothing is known of a dive without a ledger: the first round then fetches it.
            if (!held.isEmpty()) {
                Set<Integer> left = missing(held, data);
                Repair.restore(held).messages().forEach(m -> left.remove(m.position()));
                assertTrue(left.isEmpty(), "seed " + seed + " misses " + left);
            }
        }
        System.out.println("figure wire.resent_over_missing " + most + " 1");
        assertTrue(most <= 1.1, "resent over missing " + most);
    }

    private static Set<Integer> missing(List<Message> held, int data) {
        TreeSet<Integer> missing =
                new TreeSet<>(Stream.iterate(0, i -> i < data, i -> i + 1).toList());
        held.forEach(m -> missing.remove(m.position()));
        return missing;
    }

    private static long bytes(List<Message> sent, Set<Integer> positions) {
        return positions.stream().mapToLong(p -> sent.get(p).bytes().length).sum();
    }

    @Test
    void repairMessagesSpareTheirShare() {
        List<Message> sent = dive(new Random(1), 20, 3);
        List<Message> held = new ArrayList<>(sent);
        held.removeIf(m -> List.of(2, 5, 9, 11, 12).contains(m.position()));
        assertEquals(List.of(2, 5), ResendChoice.positions(held));
    }

    @Test
    void runsNamePositions() {
        Resend part = ResendChoice.part(3, List.of(0, 1, 2, 7, 9, 10), 254);
        assertEquals(List.of(0, 3, 4, 1, 1, 2), part.getRunsList());
        assertEquals(3, part.getDive());
        List<Integer> odd = Stream.iterate(1, i -> i < 400, i -> i + 2).toList();
        assertEquals(128, ResendChoice.part(3, odd, 254).getRunsCount());
        assertTrue(ResendChoice.part(3, odd, 60).getSerializedSize() <= 60);
    }
}
