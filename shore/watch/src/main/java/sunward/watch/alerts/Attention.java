package sunward.watch.alerts;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.LongSupplier;
import sunward.watch.dives.DerivedStore;
import sunward.watch.dives.DiveKey;
import sunward.watch.dives.DiveState;
import sunward.watch.dives.MessageState;
import sunward.watch.store.MessageStore;
import sunward.watch.store.StoreException;
import sunward.watch.trouble.Finding;
import sunward.watch.trouble.TroubleWatch;

/** What needs a person at this moment. Safe for many threads. */
public final class Attention {
    private static final long HOUR_MS = 3_600_000;

    /** A dive with messages missing is looked at when nothing came for so long. */
    private static final long QUIET_MS = 6 * HOUR_MS;

    /** Rejected messages are shown for a day, and dives that stay short for two weeks. */
    private static final long REJECTED_MS = 24 * HOUR_MS;

    private static final long RECENT_MS = 14 * 24 * HOUR_MS;
    private static final int DIVES = 500;

    private final MessageStore store;
    private final DerivedStore derived;
    private final LongSupplier clockMs;
    private volatile TroubleWatch trouble;

    /** Over these stores; {@code clockMs} in ms since 2000-01-01T00:00:00Z. */
    public Attention(MessageStore store, DerivedStore derived, LongSupplier clockMs) {
        this.store = store;
        this.derived = derived;
        this.clockMs = clockMs;
    }

    /** Tells what this finds, too, from now on. */
    public void watchedBy(TroubleWatch watch) {
        trouble = watch;
    }

    /** What was found in a dive; empty when nothing was, or nobody looks. */
    public List<Finding> findings(DiveKey key) throws StoreException {
        TroubleWatch watch = trouble;
        return watch == null ? List.of() : watch.of(key);
    }

    /** The list, the watch's own troubles first, then by dive, the newest arrivals first. */
    public List<Alert> now() throws StoreException {
        List<Alert> alerts = new ArrayList<>();
        long now = clockMs.getAsLong();
        if (!store.trouble().isEmpty()) {
            alerts.add(new Alert("store", "Messages cannot be kept", store.trouble(), null));
        }
        if (!derived.trouble().isEmpty()) {
            alerts.add(new Alert("derived", "Messages are kept, but not judged", derived.trouble(), null));
        }
        Map<String, Integer> rejected = new TreeMap<>();
        for (MessageState message : derived.rejectedSince(now - REJECTED_MS, 1000)) {
            rejected.merge(message.reason(), 1, Integer::sum);
        }
        rejected.forEach((reason, count) -> alerts.add(new Alert(
                "rejected " + reason,
                String.format(Locale.ROOT, "%d rejected in the last day: %s", count, DerivedStore.words(reason)),
                "The health page says which and why; their bytes are kept.",
                null)));
        for (DiveState dive : derived.recentDives(now - RECENT_MS, DIVES)) {
            add(alerts, dive, now);
        }
        return alerts;
    }

    private void add(List<Alert> alerts, DiveState dive, long now) throws StoreException {
        DiveKey key = new DiveKey(dive.floatNumber(), dive.dive());
        String name = "Float " + dive.floatNumber() + ", dive " + dive.dive();
        for (Finding finding : findings(key)) {
            alerts.add(new Alert("finding " + finding.what(), name + ": " + finding.what(), finding.evidence(), key));
        }
        if (dive.conflicting() > 0) {
            alerts.add(new Alert(
                    "contradictory",
                    name + ": valid messages contradict each other",
                    "Positions with several valid messages that differ: " + dive.conflicting()
                            + "; none of these messages is used. Look whether two floats have the same number.",
                    key));
        }
        if (!dive.faults().isEmpty()) {
            alerts.add(new Alert("fault", name + ": the float reports a fault", dive.faults() + ".", key));
        }
        if (dive.missing() > 0 && now - dive.lastArrivalMs() > QUIET_MS) {
            alerts.add(new Alert(
                    "missing",
                    name + ": " + dive.missing() + " of " + dive.expected() + " messages missing",
                    "Nothing came for " + (now - dive.lastArrivalMs()) / HOUR_MS
                            + " hours; what did come is decoded, and the rest can be asked for.",
                    key));
        }
    }
}
