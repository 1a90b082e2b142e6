package sunward.planning;

import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.function.ToIntFunction;
import java.util.stream.Collectors;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;
import sunward.protocol.repair.Repair;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Codecs;
import sunward.simulator.Delivery;

/**
 * What became of each message of a dive: only a rehearsal knows, because only it has both ends. A delivery that cannot be
 * read is put down to the message that it differs from least.
 */
final class MessageLog {
    /**
     * One message that the float handed over.
     *
     * @param message as it was sent
     * @param sendings how often it was sent
     * @param deliveries how often anything of it arrived
     * @param accepted how many of these could be used
     * @param firstArrivalMs first arrival, ms since 2000; -1 when nothing arrived
     * @param complaint why a delivery of it was rejected; empty when none was
     * @param repaired true when it did not arrive and repair messages made it good
     */
    record Entry(
            Message message,
            int sendings,
            int deliveries,
            int accepted,
            long firstArrivalMs,
            String complaint,
            boolean repaired) {
        /** In one word. */
        String state() {
            return accepted > 0 ? "received" : repaired ? "repaired" : deliveries > 0 ? "spoilt" : "lost";
        }
    }

    private static final int MOST_SAMPLES = 1024;

    private final List<Entry> entries;

    private MessageLog(List<Entry> entries) {
        this.entries = List.copyOf(entries);
    }

    static MessageLog of(List<byte[]> handedOver, List<Delivery> delivered, KeyRing keys) {
        Map<ByteBuffer, Integer> sendings = new LinkedHashMap<>();
        handedOver.forEach(bytes -> sendings.merge(ByteBuffer.wrap(bytes), 1, Integer::sum));
        List<byte[]> sent = sendings.keySet().stream().map(ByteBuffer::array).toList();
        int[] deliveries = new int[sent.size()];
        int[] accepted = new int[sent.size()];
        long[] first = new long[sent.size()];
        String[] complaint = new String[sent.size()];
        for (Delivery delivery : delivered) {
            int of = closest(sent, delivery.bytes());
            if (of < 0) {
                continue;
            }
            if (deliveries[of]++ == 0) {
                first[of] = delivery.receivedMs();
            }
            if (MessageReader.read(delivery.bytes(), keys) instanceof Verdict.Rejected rejected) {
                complaint[of] = rejected.sentence();
            } else {
                accepted[of]++;
            }
        }
        List<Message> messages = new ArrayList<>();
        for (byte[] bytes : sent) {
            if (MessageReader.read(bytes, keys) instanceof Verdict.Accepted sound) {
                messages.add(sound.message());
            } else {
                throw new IllegalStateException("the float handed over a message that does not verify, the "
                        + (messages.size() + 1) + "th of " + sent.size());
            }
        }
        Set<Integer> repaired = repaired(messages, accepted);
        List<Entry> entries = new ArrayList<>();
        for (int i = 0; i < sent.size(); i++) {
            Message message = messages.get(i);
            entries.add(new Entry(
                    message,
                    sendings.get(ByteBuffer.wrap(sent.get(i))),
                    deliveries[i],
                    accepted[i],
                    deliveries[i] > 0 ? first[i] : -1,
                    complaint[i] == null ? "" : complaint[i],
                    message.kind() == Kind.DIVE && repaired.contains(message.position())));
        }
        return new MessageLog(entries);
    }

    private static Set<Integer> repaired(List<Message> sent, int[] accepted) {
        List<Message> had = new ArrayList<>();
        for (int i = 0; i < accepted.length; i++) {
            if (accepted[i] > 0) {
                had.add(sent.get(i));
            }
        }
        return Repair.restore(had).messages().stream().map(Message::position).collect(Collectors.toSet());
    }

    /** Every message once, in the order of first sending. */
    List<Entry> entries() {
        return entries;
    }

    long count(String state) {
        return entries.stream().filter(e -> e.state().equals(state)).count();
    }

    /** Deliveries of messages that had already arrived whole. */
    int repeats() {
        return entries.stream().mapToInt(e -> Math.max(0, e.accepted() - 1)).sum();
    }

    /** Sendings of messages that the float had sent before. */
    int sentAgain() {
        return entries.stream().mapToInt(e -> e.sendings() - 1).sum();
    }

    /** Bytes of all messages, each counted once. */
    int bytes() {
        return entries.stream().mapToInt(e -> e.message().bytes().length).sum();
    }

    /** Bytes sent again. */
    int bytesSentAgain() {
        return entries.stream()
                .mapToInt(e -> (e.sendings() - 1) * e.message().bytes().length)
                .sum();
    }

    /** Orders that the float answered, whether or not shore saw the receipt. */
    long ordersAnswered() {
        return entries.stream().filter(e -> e.message().kind() == Kind.RECEIPT).count();
    }

    /** Positions of the messages of a kind that shore has neither as sent nor repaired, in words. */
    String neverHad(Kind kind) {
        return entries.stream()
                .filter(e -> e.message().kind() == kind && e.accepted() == 0 && !e.repaired())
                .map(e -> Integer.toString(e.message().position()))
                .collect(Collectors.joining(", "));
    }

    /** Messages that came whole, those that came more than once counted once. */
    long whole() {
        return count("received");
    }

    /** Messages of which nothing but spoilt bytes arrived, repair or not. */
    long onlySpoilt() {
        return entries.stream()
                .filter(e -> e.deliveries() > 0 && e.accepted() == 0)
                .count();
    }

    /** What shore holds of the dive itself, in words. */
    String dataInHand() {
        List<Entry> data =
                entries.stream().filter(e -> e.message().kind() == Kind.DIVE).toList();
        long repaired = data.stream().filter(e -> e.state().equals("repaired")).count();
        long whole = data.stream().filter(e -> e.accepted() > 0).count();
        return String.format(
                Locale.ROOT,
                "%d of %d data messages in hand, %d of them made good by repair",
                whole + repaired,
                data.size(),
                repaired);
    }

    /**
     * As the report shows them.
     *
     * @param surfacedMs when the float reached the surface, ms since 2000
     * @param headNames names of the heads, in the plan's order
     * @param headOf head of a message that carries bins
     */
    List<ReportData.MessageBar> bars(long surfacedMs, List<String> headNames, ToIntFunction<Message> headOf) {
        List<ReportData.MessageBar> bars = new ArrayList<>();
        for (Entry entry : entries) {
            Message message = entry.message();
            int bytes = message.bytes().length;
            bars.add(new ReportData.MessageBar(
                    message.position(),
                    carries(message),
                    carriesBins(message) ? headNames.get(headOf.applyAsInt(message)) : "",
                    bytes,
                    bytes - message.bodyLength(),
                    entry.state(),
                    entry.sendings(),
                    entry.deliveries(),
                    entry.firstArrivalMs() < 0 ? Double.NaN : (entry.firstArrivalMs() - surfacedMs) / 1000.0,
                    entry.complaint()));
        }
        return bars;
    }

    /** The head whose bins a message carries, from 0. */
    static int head(Message message) {
        byte[] body = message.body();
        BlockCodec codec = Codecs.ofBody(body);
        BlockHeader header = new BlockHeader();
        return codec == null
                        || codec.decoder(MOST_SAMPLES).begin(body, 0, body.length, header) == BlockCodec.Decoder.SPOILT
                ? 0
                : header.head;
    }

    private static boolean carriesBins(Message message) {
        return message.kind() == Kind.DIVE && message.block() == BlockType.BINS.number();
    }

    /** What a message carries, in words. */
    static String carries(Message message) {
        if (message.kind() != Kind.DIVE) {
            return message.kind() == Kind.REPAIR ? "repair" : "receipt";
        }
        BlockType block = BlockType.ofNumber(message.block());
        if (block == null) {
            return "block " + message.block();
        }
        return switch (block) {
            case LEDGER -> "ledger";
            case FIRST_LOOK -> "first look";
            case OUTLINE -> "outline";
            case BINS -> "bins";
            case SAMPLES -> "samples";
            case ANCILLARY -> "water and attitude";
        };
    }

    private static int closest(List<byte[]> sent, byte[] bytes) {
        int best = -1;
        int fewest = Integer.MAX_VALUE;
        for (int i = 0; i < sent.size(); i++) {
            if (sent.get(i).length == bytes.length) {
                int differing = differing(sent.get(i), bytes);
                if (differing < fewest) {
                    fewest = differing;
                    best = i;
                }
            }
        }
        return best;
    }

    private static int differing(byte[] a, byte[] b) {
        int count = 0;
        for (int i = 0; i < a.length; i++) {
            count += a[i] == b[i] ? 0 : 1;
        }
        return count;
    }
}
