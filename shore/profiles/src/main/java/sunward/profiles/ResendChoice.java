package sunward.profiles;

import com.google.protobuf.InvalidProtocolBufferException;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.TreeMap;
import java.util.TreeSet;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.RepairGroup;
import sunward.protocol.repair.Repair;
import sunward.protocol.schema.Ledger;
import sunward.protocol.schema.Resend;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.FirstLook;
import sunward.protocol.spectra.FirstLookCodec;

/**
 * Which messages, sent again, would complete a dive: no more than are missing, and fewer where repair messages stand in for
 * the rest.
 */
public final class ResendChoice {
    /** Most runs of positions in one order; WIRE.md, section 7. */
    private static final int MOST_RUNS = 64;

    private static final int MAX_SAMPLES = 1024;

    private final TreeMap<Integer, Message> held = new TreeMap<>();
    private int planned;

    private ResendChoice(Collection<Message> accepted) {
        for (Message message : accepted) {
            if (message.kind() == Kind.DIVE || message.kind() == Kind.REPAIR) {
                held.putIfAbsent(message.position(), message);
            }
        }
        Repair.restore(new ArrayList<>(held.values())).messages().forEach(m -> held.put(m.position(), m));
        planned = held.values().stream().mapToInt(ResendChoice::planned).max().orElse(0);
    }

    /**
     * Positions to ask for, ascending; empty when nothing is missing as far as shore can tell. Without ledger and first look these are
     * the first message and the gaps below the last position that shore knows of.
     *
     * @param accepted accepted messages of one dive of one float, copies allowed
     */
    public static List<Integer> positions(Collection<Message> accepted) {
        return new ResendChoice(accepted).positions();
    }

    /** The same as the part of an order: as many of the positions as one order of so many bytes of body can name. */
    public static Resend part(int dive, List<Integer> positions, int bodyBytes) {
        Resend part = Resend.newBuilder().setDive(dive).build();
        int end = 0;
        int i = 0;
        while (i < positions.size() && part.getRunsCount() < 2 * MOST_RUNS) {
            int first = positions.get(i);
            int count = 1;
            while (i + count < positions.size() && positions.get(i + count) == first + count) {
                count++;
            }
            Resend longer = part.toBuilder().addRuns(first - end).addRuns(count).build();
            if (longer.getSerializedSize() > bodyBytes) {
                break;
            }
            part = longer;
            end = first + count;
            i += count;
        }
        return part;
    }

    private static int planned(Message message) {
        if (message.kind() != Kind.DIVE) {
            return 0;
        }
        if (message.block() == BlockType.FIRST_LOOK.number()) {
            byte[] body = message.body();
            FirstLook look = new FirstLook(FirstLook.MAX_HEADS, MAX_SAMPLES);
            boolean sound = new FirstLookCodec(MAX_SAMPLES).decode(body, 0, body.length, new BlockHeader(), look);
            return sound ? look.messagesPlanned : 0;
        }
        if (message.block() != BlockType.LEDGER.number()) {
            return 0;
        }
        try {
            return Ledger.parseFrom(message.body()).getMessagesPlanned();
        } catch (InvalidProtocolBufferException e) {
            return 0;
        }
    }

    private List<Integer> positions() {
        TreeMap<Integer, Integer> groups = new TreeMap<>(); // size of each group by its first position
        TreeMap<Integer, Integer> repairs = new TreeMap<>(); // repair messages at hand of each
        for (Message message : held.values()) {
            RepairGroup group = message.group();
            if (group != null) {
                groups.put(group.firstPosition(), group.messages());
                repairs.merge(group.firstPosition(), 1, Integer::sum);
            }
        }
        int end = planned;
        if (end == 0) {
            end = groups.isEmpty()
                    ? held.isEmpty() ? 0 : held.lastKey() + 1
                    : groups.lastKey() + groups.lastEntry().getValue();
        }
        TreeSet<Integer> missing = new TreeSet<>();
        for (int position = 0; position < end; position++) {
            if (!held.containsKey(position)) {
                missing.add(position);
            }
        }
        // Each repair message at hand stands in for one message of its group: the last ones, worth least, are not sent.
        groups.forEach((first, size) -> {
            List<Integer> ofGroup = new ArrayList<>(missing.subSet(first, first + size));
            int spared = Math.min(ofGroup.size(), repairs.get(first));
            missing.removeAll(ofGroup.subList(ofGroup.size() - spared, ofGroup.size()));
        });
        return new ArrayList<>(missing);
    }
}
