package sunward.watch.trouble;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.function.Consumer;
import java.util.function.LongSupplier;
import sunward.watch.dives.DerivedStore;
import sunward.watch.dives.DiveKey;
import sunward.watch.dives.DiveState;
import sunward.watch.health.EventLog;
import sunward.watch.store.StoreException;

/**
 * Has each dive compared once it is whole or nothing came for {@value #QUIET_MS} ms; one at a time, on a thread of its own that
 * nothing waits for. Dives that changed while no watch ran are taken up at the start.
 */
public final class TroubleWatch implements AutoCloseable {
    static final long QUIET_MS = 60_000;

    /** Dives that may wait; of more the oldest are let go until the next start. */
    private static final int WAITING = 100_000;

    private static final long PAUSE_MS = 500;

    /** A dive that still grows is looked at again after so long. */
    private static final long AGAIN_MS = 5000;

    private final DerivedStore derived;
    private final DiveComparer comparer;
    private final EventLog log;
    private final LongSupplier clockMs;
    private final Consumer<SortedSet<DiveKey>> told;

    /** When to look at which dive, ms since 2000; 0: at once. */
    private final Map<DiveKey, Long> waiting = new LinkedHashMap<>();

    private final Thread thread = new Thread(this::run, "trouble-watch");
    private volatile boolean closing;

    /**
     * Starts.
     *
     * @param told hears of dives whose findings are new
     */
    public TroubleWatch(
            DerivedStore derived,
            DiveComparer comparer,
            EventLog log,
            LongSupplier clockMs,
            Consumer<SortedSet<DiveKey>> told) {
        this.derived = derived;
        this.comparer = comparer;
        this.log = log;
        this.clockMs = clockMs;
        this.told = told;
        thread.setDaemon(true);
        thread.start();
    }

    /** These dives changed; any thread. */
    public synchronized void changed(SortedSet<DiveKey> dives) {
        for (DiveKey key : dives) {
            waiting.remove(key);
            waiting.put(key, 0L);
        }
        while (waiting.size() > WAITING) {
            waiting.remove(waiting.keySet().iterator().next());
        }
    }

    /** What is known of a dive; empty: nothing departs, or it was not compared yet. */
    public List<Finding> of(DiveKey key) throws StoreException {
        return comparer.of(key);
    }

    private void run() {
        boolean resumed = false;
        while (!closing) {
            try {
                if (!resumed) {
                    resume();
                    resumed = true;
                }
                DiveState ready = ready();
                if (ready == null) {
                    Thread.sleep(PAUSE_MS);
                } else {
                    compare(ready);
                }
            } catch (InterruptedException e) {
                return;
            } catch (StoreException | RuntimeException e) {
                // One dive that cannot be compared must not end the watch over the others.
                log.warn("dive_not_compared", "sentence", e.getMessage());
            }
        }
    }

    private void resume() throws StoreException {
        for (DiveKey key : derived.allDives()) {
            if (comparer.due(derived.dive(key))) {
                synchronized (this) {
                    waiting.putIfAbsent(key, 0L);
                }
            }
        }
    }

    private DiveState ready() throws StoreException {
        long now = clockMs.getAsLong();
        List<DiveKey> candidates;
        synchronized (this) {
            candidates = waiting.entrySet().stream()
                    .filter(one -> one.getValue() <= now)
                    .map(Map.Entry::getKey)
                    .toList();
        }
        for (DiveKey key : candidates) {
            DiveState state = derived.dive(key);
            boolean whole = state != null && state.planned() != null && state.missing() == 0;
            boolean ready = state == null || whole || now - state.lastArrivalMs() > QUIET_MS;
            synchronized (this) {
                if (ready) {
                    waiting.remove(key);
                } else {
                    waiting.computeIfPresent(key, (same, when) -> now + AGAIN_MS);
                }
            }
            if (ready && state != null) {
                return state;
            }
        }
        return null;
    }

    private void compare(DiveState state) throws StoreException {
        DiveKey key = new DiveKey(state.floatNumber(), state.dive());
        List<Finding> before = comparer.of(key);
        comparer.compare(state);
        if (!comparer.of(key).equals(before)) {
            told.accept(new TreeSet<>(Set.of(key)));
        }
    }

    @Override
    public void close() {
        closing = true;
        thread.interrupt();
        try {
            thread.join(5000);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }
}
