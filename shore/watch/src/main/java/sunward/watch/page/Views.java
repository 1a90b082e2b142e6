package sunward.watch.page;

import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.LongSupplier;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.Kind;
import sunward.watch.alerts.Alert;
import sunward.watch.alerts.Attention;
import sunward.watch.dives.DerivedStore;
import sunward.watch.dives.DiveKey;
import sunward.watch.dives.DiveState;
import sunward.watch.dives.MessageState;
import sunward.watch.store.MessageStore;
import sunward.watch.store.StoreException;
import sunward.watch.store.StoredMessage;

/** What the pages show, as JSON-ready maps. Times leave as UTC text; keys carry units. */
final class Views {
    private static final long EPOCH_2000_MS = 946_684_800_000L;

    /** Rejected messages are shown for a day. */
    private static final long REJECTED_MS = 24 * 3_600_000;

    private static final int LIST = 500;

    private final MessageStore store;
    private final DerivedStore derived;
    private final LongSupplier clockMs;
    private final Attention attention;

    Views(MessageStore store, DerivedStore derived, Attention attention, LongSupplier clockMs) {
        this.store = store;
        this.derived = derived;
        this.attention = attention;
        this.clockMs = clockMs;
    }

    /** What needs a person, then every float with its newest dive. */
    Map<String, Object> fleet() throws StoreException {
        Map<String, Object> view = new LinkedHashMap<>();
        view.put("now_utc", utc(clockMs.getAsLong()));
        view.put("attention", needs());
        List<Map<String, Object>> floats = new ArrayList<>();
        for (DiveState dive : derived.newestDives()) {
            floats.add(dive(dive));
        }
        view.put("floats", floats);
        return view;
    }

    /** One dive with its messages, or null when there is none. */
    Map<String, Object> dive(DiveKey key) throws StoreException {
        DiveState state = derived.dive(key);
        if (state == null) {
            return null;
        }
        Map<String, Object> view = dive(state);
        List<Map<String, Object>> messages = new ArrayList<>();
        for (MessageState message : derived.messagesOf(key)) {
            messages.add(message(message));
        }
        view.put("messages", messages);
        view.put("assembled_sha256", state.assembled());
        view.put(
                "findings",
                attention.findings(key).stream()
                        .map(one -> Map.of("what", one.what(), "evidence", one.evidence()))
                        .toList());
        List<Map<String, Object>> siblings = new ArrayList<>();
        for (DiveState other : derived.divesOf(key.floatNumber())) {
            siblings.add(dive(other));
        }
        view.put("dives_of_float", siblings);
        return view;
    }

    /** The dives that got messages last, to choose from. */
    Map<String, Object> recent() throws StoreException {
        List<Map<String, Object>> dives = new ArrayList<>();
        for (DiveState dive : derived.recentDives(Long.MIN_VALUE, LIST)) {
            dives.add(dive(dive));
        }
        return Map.of("dives", dives);
    }

    /** How the watch itself is. */
    Map<String, Object> health() throws StoreException {
        long behind = store.lastId() - derived.lastMessageId();
        long[] totals = derived.totals();
        Runtime runtime = Runtime.getRuntime();
        Map<String, Object> view = new LinkedHashMap<>();
        view.put("well", store.trouble().isEmpty() && derived.trouble().isEmpty());
        view.put("keeping", store.trouble().isEmpty());
        view.put("trouble", store.trouble().isEmpty() ? derived.trouble() : store.trouble());
        view.put("stored_messages", store.lastId());
        view.put("repeated_arrivals", store.repeats());
        view.put("accepted_messages", totals[0]);
        view.put("rejected_messages", totals[1]);
        view.put("dives", totals[2]);
        view.put("floats", totals[3]);
        view.put("waiting_for_disk", store.waiting());
        view.put("not_judged_yet", behind);
        view.put("memory_in_use_mb", (runtime.totalMemory() - runtime.freeMemory()) >> 20);
        view.put("memory_limit_mb", runtime.maxMemory() >> 20);
        List<Map<String, Object>> rejected = new ArrayList<>();
        for (MessageState message : derived.rejectedSince(clockMs.getAsLong() - REJECTED_MS, 100)) {
            Map<String, Object> one = message(message);
            StoredMessage stored = store.message(message.id());
            one.put("door", stored == null ? "" : stored.door());
            one.put("sender", stored == null ? "" : stored.sender());
            rejected.add(one);
        }
        view.put("rejected_last_day", rejected);
        return view;
    }

    private List<Map<String, Object>> needs() throws StoreException {
        List<Map<String, Object>> items = new ArrayList<>();
        for (Alert alert : attention.now()) {
            Map<String, Object> item = new LinkedHashMap<>();
            item.put("what", alert.what());
            item.put("why", alert.why());
            item.put(
                    "dive",
                    alert.dive() == null
                            ? null
                            : alert.dive().floatNumber() + "/" + alert.dive().dive());
            items.add(item);
        }
        return items;
    }

    private static Map<String, Object> dive(DiveState dive) {
        Map<String, Object> view = new LinkedHashMap<>();
        view.put("float_number", dive.floatNumber());
        view.put("dive", dive.dive());
        view.put("received", dive.received());
        view.put("conflicting", dive.conflicting());
        view.put("repairs", dive.repairs());
        view.put("repaired", dive.repaired());
        view.put("missing", dive.missing());
        view.put("expected", dive.expected());
        view.put("planned", dive.planned());
        view.put("first_arrival_utc", utc(dive.firstArrivalMs()));
        view.put("last_arrival_utc", utc(dive.lastArrivalMs()));
        view.put("simulated", dive.simulated());
        view.put("unsealed", dive.unsealed());
        view.put("surfaced_utc", dive.surfacedS() == null ? null : utc(dive.surfacedS() * 1000));
        view.put("latitude_deg", dive.latitudeDeg());
        view.put("longitude_deg", dive.longitudeDeg());
        view.put("faults", dive.faults());
        return view;
    }

    private static Map<String, Object> message(MessageState message) {
        Kind kind = Kind.ofNumber(message.kind());
        BlockType block = BlockType.ofNumber(message.block());
        Map<String, Object> view = new LinkedHashMap<>();
        view.put("id", message.id());
        view.put("position", message.position());
        view.put("kind", kind == null ? "unknown" : DerivedStore.words(kind.name()));
        view.put("block", kind != Kind.DIVE || block == null ? "" : DerivedStore.words(block.name()));
        view.put("part", message.part());
        view.put("bytes", message.length());
        view.put("arrival_utc", utc(message.arrivalMs()));
        view.put("reason", DerivedStore.words(message.reason()));
        view.put("sentence", message.sentence());
        return view;
    }

    private static String utc(long ms2000) {
        return Instant.ofEpochMilli(ms2000 + EPOCH_2000_MS)
                .truncatedTo(ChronoUnit.SECONDS)
                .toString();
    }
}
