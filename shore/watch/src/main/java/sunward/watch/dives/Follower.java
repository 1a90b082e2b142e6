package sunward.watch.dives;

import java.util.List;
import java.util.SortedSet;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import java.util.function.Consumer;
import sunward.watch.health.EventLog;
import sunward.watch.store.StoreException;

/** The thread that takes new messages into the derived tables and tells listeners which dives changed. */
public final class Follower implements AutoCloseable {
    /** After trouble with the derived file, wait this long. */
    private static final long TROUBLE_MS = 1000;

    /** Acknowledging goes before judging: while arrivals wait for the disk, rest between batches, but never longer than this. */
    private static final long LONGEST_REST_MS = 1000;

    private static final long REST_MS = 20;

    private final DerivedStore derived;
    private final BooleanSupplier busy;
    private final EventLog log;
    private final Semaphore news = new Semaphore(1);
    private final List<Consumer<SortedSet<DiveKey>>> listeners = new CopyOnWriteArrayList<>();
    private final Thread thread = new Thread(this::run, "dive-follower");
    private volatile boolean closing;

    /**
     * Follows once {@link #start} is called.
     *
     * @param busy true while arrivals wait for the disk
     */
    public Follower(DerivedStore derived, BooleanSupplier busy, EventLog log) {
        this.derived = derived;
        this.busy = busy;
        this.log = log;
    }

    /** Starts to follow. */
    public void start() {
        thread.start();
    }

    /** There may be new messages. Returns at once; may be called from any thread. */
    public void wake() {
        if (news.availablePermits() == 0) {
            news.release();
        }
    }

    /** Is told, on the follower's thread, which dives changed; the set is empty when only rejected messages came. */
    public void listen(Consumer<SortedSet<DiveKey>> listener) {
        listeners.add(listener);
    }

    private void run() {
        try {
            while (!closing) {
                boolean woken = news.tryAcquire(1, TimeUnit.SECONDS);
                if (woken || !closing) {
                    catchUp();
                }
            }
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    private void catchUp() throws InterruptedException {
        try {
            for (SortedSet<DiveKey> changed = derived.follow();
                    changed != null && !closing;
                    changed = derived.follow()) {
                for (Consumer<SortedSet<DiveKey>> listener : listeners) {
                    listener.accept(changed);
                }
                for (long rested = 0; busy.getAsBoolean() && rested < LONGEST_REST_MS && !closing; rested += REST_MS) {
                    Thread.sleep(REST_MS);
                }
            }
        } catch (StoreException e) {
            log.warn("derived_tables_behind", "sentence", e.getMessage());
            Thread.sleep(TROUBLE_MS);
        }
    }

    /** Stops after the batch at hand. */
    @Override
    public void close() {
        closing = true;
        wake();
        try {
            thread.join();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }
}
