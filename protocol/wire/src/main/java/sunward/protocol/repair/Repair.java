package sunward.protocol.repair;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.seal.Crc32c;

/** Shore's side of the erasure code: derives messages that were not received from repair messages that were. */
public final class Repair {
    private Repair() {}

    /**
     * What could be derived.
     *
     * @param messages derived messages, by position; each says that it is repaired
     * @param failures one sentence for each group whose messages do not belong together
     */
    public record Restored(List<Message> messages, List<String> failures) {}

    /** One group as its repair messages describe it. */
    private record Group(int first, int messages, int repairs, int digest, int symbolBytes) {
        static Group of(Message repair) {
            byte[] body = repair.body();
            int symbolBytes = body.length - RepairLayout.BODY_HEADER_BYTES;
            if (repair.kind() != Kind.REPAIR || symbolBytes < RepairLayout.SYMBOL_HEADER_BYTES) {
                return null;
            }
            int first = ((body[0] & 0x0f) << 8) | (body[1] & 0xff);
            int messages = body[2] & 0xff;
            int repairs = body[3] & 0xff;
            boolean sound = messages > 0
                    && repair.part() < repairs
                    && messages + repairs <= ErasureCode.MAX_SYMBOLS
                    && first + messages - 1 <= MessageLayout.MAX_POSITION;
            int digest = (body[4] & 0xff) << 24 | (body[5] & 0xff) << 16 | (body[6] & 0xff) << 8 | (body[7] & 0xff);
            return sound ? new Group(first, messages, repairs, digest, symbolBytes) : null;
        }

        String words() {
            return "repair group of positions " + first + " to " + (first + messages - 1);
        }
    }

    /**
     * Derives what is missing.
     *
     * @param accepted messages of one dive of one float, no two with the same position
     */
    public static Restored restore(Collection<Message> accepted) {
        Map<Integer, Message> byPosition = new HashMap<>();
        Map<Group, SortedMap<Integer, Message>> groups = new HashMap<>();
        for (Message message : accepted) {
            byPosition.put(message.position(), message);
            Group group = Group.of(message);
            if (group != null) {
                groups.computeIfAbsent(group, g -> new TreeMap<>()).put(message.part(), message);
            }
        }
        List<Message> restored = new ArrayList<>();
        List<String> failures = new ArrayList<>();
        List<Group> ordered = new ArrayList<>(groups.keySet());
        ordered.sort(
                (a, b) -> a.first != b.first ? Integer.compare(a.first, b.first) : Integer.compare(a.digest, b.digest));
        for (Group group : ordered) {
            restore(group, byPosition, groups.get(group), restored, failures);
        }
        restored.sort((a, b) -> Integer.compare(a.position(), b.position()));
        return new Restored(restored, failures);
    }

    private static void restore(
            Group group,
            Map<Integer, Message> byPosition,
            SortedMap<Integer, Message> repairs,
            List<Message> restored,
            List<String> failures) {
        byte[][] symbols = new byte[group.messages][];
        int[] known = new int[group.messages];
        byte[][] values = new byte[group.messages][];
        int found = 0;
        for (int i = 0; i < group.messages; i++) {
            Message message = byPosition.get(group.first + i);
            if (message == null || message.kind() == Kind.REPAIR) {
                continue;
            }
            symbols[i] = symbol(message, group.symbolBytes);
            if (symbols[i] == null) {
                failures.add(group.words() + ": the message at position " + message.position()
                        + " is longer than the group allows, so nothing was repaired");
                return;
            }
            known[found] = i;
            values[found++] = symbols[i];
        }
        int received = found;
        for (Map.Entry<Integer, Message> repair : repairs.entrySet()) {
            if (found < group.messages) {
                byte[] body = repair.getValue().body();
                known[found] = group.messages + repair.getKey();
                values[found++] = Arrays.copyOfRange(body, RepairLayout.BODY_HEADER_BYTES, body.length);
            }
        }
        if (received == group.messages || found < group.messages) {
            return;
        }
        List<Message> derived = interpolate(group, symbols, known, values, repairs.get(repairs.firstKey()));
        if (derived == null) {
            failures.add(group.words() + ": the messages received do not belong together, so nothing was repaired");
        } else {
            restored.addAll(derived);
        }
    }

    private static List<Message> interpolate(
            Group group, byte[][] symbols, int[] known, byte[][] values, Message sibling) {
        int[] coefficients = new int[group.messages];
        List<Message> derived = new ArrayList<>();
        for (int i = 0; i < group.messages; i++) {
            if (symbols[i] != null) {
                continue;
            }
            symbols[i] = new byte[group.symbolBytes];
            ErasureCode.coefficients(known, group.messages, i, coefficients);
            for (int j = 0; j < group.messages; j++) {
                ErasureCode.addScaled(coefficients[j], values[j], 0, group.symbolBytes, symbols[i], 0);
            }
            Message message = message(symbols[i], sibling, group.first + i);
            if (message == null) {
                return null;
            }
            derived.add(message);
        }
        int digest = 0;
        for (byte[] symbol : symbols) {
            digest = Crc32c.continued(digest, symbol, 0, symbol.length);
        }
        return digest == group.digest ? derived : null;
    }

    private static byte[] symbol(Message message, int symbolBytes) {
        if (message.bodyLength() + RepairLayout.SYMBOL_HEADER_BYTES > symbolBytes) {
            return null;
        }
        byte[] symbol = new byte[symbolBytes];
        RepairLayout.writeHead(message.bytes(), 0, message.bodyLength(), symbol);
        System.arraycopy(message.body(), 0, symbol, RepairLayout.SYMBOL_HEADER_BYTES, message.bodyLength());
        return symbol;
    }

    private static Message message(byte[] symbol, Message sibling, int position) {
        int kind = (symbol[0] & 0xff) >>> 4;
        int bodyLength = (symbol[0] & 0x0f) << 16 | (symbol[1] & 0xff) << 8 | (symbol[2] & 0xff);
        int end = RepairLayout.SYMBOL_HEADER_BYTES + bodyLength;
        if (Kind.ofNumber(kind) == null || end > symbol.length) {
            return null;
        }
        int blockAndPart = (symbol[3] & 0xff) << 8 | (symbol[4] & 0xff);
        byte[] body = Arrays.copyOfRange(symbol, RepairLayout.SYMBOL_HEADER_BYTES, end);
        return Message.restored(sibling, position, kind, blockAndPart, body);
    }
}
