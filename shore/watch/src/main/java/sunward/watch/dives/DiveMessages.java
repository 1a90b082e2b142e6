package sunward.watch.dives;

import com.google.protobuf.InvalidProtocolBufferException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.repair.Repair;
import sunward.protocol.schema.Receipt;
import sunward.watch.store.MessageStore;
import sunward.watch.store.StoreException;
import sunward.watch.store.StoredMessage;

/** The accepted messages behind a dive, and what repair makes of them. Safe for many threads. */
public final class DiveMessages {
    private final MessageStore store;
    private final DerivedStore derived;
    private final KeyRing keys;

    /** Messages judged with these keys. */
    public DiveMessages(MessageStore store, DerivedStore derived, KeyRing keys) {
        this.store = store;
        this.derived = derived;
        this.keys = keys;
    }

    /** Accepted messages of the dive, by position, then number. */
    public List<Message> accepted(DiveKey key) throws StoreException {
        List<Message> messages = new ArrayList<>();
        for (MessageState one : derived.messagesOf(key)) {
            Message message = one.reason().isEmpty() ? message(one.id()) : null;
            if (message != null) {
                messages.add(message);
            }
        }
        return messages;
    }

    /** True when the float's key is here: only then can orders to it be made. */
    public boolean hasKey(int floatNumber) {
        return keys.has(floatNumber);
    }

    KeyRing keys() {
        return keys;
    }

    /** Largest order number that the float's receipts name; 0 when none came. */
    public int lastOrder(int floatNumber) throws StoreException {
        int last = 0;
        for (long id : derived.receiptsOf(floatNumber)) {
            Message message = message(id);
            try {
                last = message == null
                        ? last
                        : Math.max(last, Receipt.parseFrom(message.body()).getLastOrder());
            } catch (InvalidProtocolBufferException e) {
                // A receipt that cannot be read names no order.
            }
        }
        return last;
    }

    private Message message(long id) throws StoreException {
        StoredMessage stored = store.message(id);
        return stored == null ? null : Judged.of(stored, keys).message();
    }

    /** Messages of data that repair derives from these; positions where valid messages differ are of no use to it. */
    public static List<Message> repaired(List<Message> accepted) {
        TreeMap<Integer, Message> single = new TreeMap<>();
        Set<Integer> contradictory = new HashSet<>();
        for (Message message : accepted) {
            if (message.kind() == Kind.DIVE || message.kind() == Kind.REPAIR) {
                Message other = single.putIfAbsent(message.position(), message);
                if (other != null && !Arrays.equals(other.bytes(), message.bytes())) {
                    contradictory.add(message.position());
                }
            }
        }
        single.keySet().removeAll(contradictory);
        TreeSet<Integer> held = new TreeSet<>(single.keySet());
        return Repair.restore(new ArrayList<>(single.values())).messages().stream()
                .filter(message -> !held.contains(message.position()) && !contradictory.contains(message.position()))
                .toList();
    }
}
