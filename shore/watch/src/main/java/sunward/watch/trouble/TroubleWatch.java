package sunward.watch.trouble;

import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.Consumer;
import java.util.function.LongSupplier;
import sunward.planning.ExpectedDive;
import sunward.profiles.DiveProduct;
import sunward.profiles.ShoreInputs;
import sunward.protocol.schema.Scene;
import sunward.watch.dives.DerivedStore;
import sunward.watch.dives.DiveKey;
import sunward.watch.dives.DiveProducts;
import sunward.watch.dives.DiveState;
import sunward.watch.health.EventLog;
import sunward.watch.store.StoreException;

/**
 * Compares each dive with a rehearsal once it is whole or nothing came for {@value #QUIET_MS} ms; one at a time, on a thread of
 * its own that nothing waits for. Findings live in memory: of the {@value #KEPT} dives looked at last.
 */
public final class TroubleWatch implements AutoCloseable {
    static final long QUIET_MS = 60_000;
    private static final int KEPT = 2000;
    private static final long PAUSE_MS = 500;

    private final DerivedStore derived;
    private final DiveProducts products;
    private final Scene scene;
    private final EventLog log;
    private final LongSupplier clockMs;
    private final Consumer<SortedSet<DiveKey>> told;
    private final Set<DiveKey> waiting = new LinkedHashSet<>();
    private final Map<DiveKey, List<Finding>> findings = new LinkedHashMap<>() {
        @Override
        protected boolean removeEldestEntry(Map.Entry<DiveKey, List<Finding>> eldest) {
            return size() > KEPT;
        }
    };
    private final Thread thread = new Thread(this::run, "trouble-watch");
    private volatile boolean closing;

    /**
     * Starts.
     *
     * @param scene the sea to rehearse in; its place and time are replaced
     * @param told hears of dives whose findings are new
     */
    public TroubleWatch(
            DerivedStore derived,
            DiveProducts products,
            Scene scene,
            EventLog log,
            LongSupplier clockMs,
            Consumer<SortedSet<DiveKey>> told) {
        this.derived = derived;
        this.products = products;
        this.scene = scene;
        this.log = log;
        this.clockMs = clockMs;
        this.told = told;
        thread.setDaemon(true);
        thread.start();
    }

    /** These dives changed; any thread. More than can be remembered are let go: the newest stay. */
    public synchronized void changed(SortedSet<DiveKey> dives) {
        waiting.removeAll(dives);
        waiting.addAll(dives);
        while (waiting.size() > KEPT) {
            waiting.remove(waiting.iterator().next());
        }
    }

    /** What is known of a dive; empty: nothing departs, or it was not compared yet. */
    public synchronized List<Finding> of(DiveKey key) {
        return findings.getOrDefault(key, List.of());
    }

    /** Everything found, by dive. */
    public synchronized Map<DiveKey, List<Finding>> all() {
        Map<DiveKey, List<Finding>> found = new TreeMap<>(findings);
        found.values().removeIf(List::isEmpty);
        return found;
    }

    private void run() {
        while (!closing) {
            try {
                DiveKey ready = ready();
                if (ready == null) {
                    Thread.sleep(PAUSE_MS);
                } else {
                    check(ready);
                }
            } catch (InterruptedException e) {
                return;
            } catch (StoreException | RuntimeException e) {
                // One dive that cannot be compared must not end the watch over the others.
                log.warn("dive_not_compared", "sentence", e.getMessage());
            }
        }
    }

    private DiveKey ready() throws StoreException {
        List<DiveKey> candidates;
        synchronized (this) {
            candidates = List.copyOf(waiting);
        }
        for (DiveKey key : candidates) {
            DiveState state = derived.dive(key);
            boolean whole = state != null && state.planned() != null && state.missing() == 0;
            if (state == null || whole || clockMs.getAsLong() - state.lastArrivalMs() > QUIET_MS) {
                synchronized (this) {
                    waiting.remove(key);
                }
                if (state != null && state.surfacedS() != null && state.latitudeDeg() != null) {
                    return key;
                }
            }
        }
        return null;
    }

    private void check(DiveKey key) throws StoreException {
        DiveState state = derived.dive(key);
        DiveProduct got = products.product(key);
        ShoreInputs inputs = products.inputsOf(key.floatNumber());
        DiveProduct expected = ExpectedDive.of(
                inputs.plan(),
                inputs.calibration(),
                scene,
                state.latitudeDeg(),
                state.longitudeDeg(),
                state.surfacedS());
        if (got == null || expected == null) {
            return;
        }
        List<Finding> found = DiveCheck.findings(got, expected, inputs.plan());
        List<Finding> before;
        synchronized (this) {
            before = findings.put(key, found);
        }
        if (!found.equals(before == null ? List.of() : before)) {
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
