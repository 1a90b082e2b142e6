package sunward.watch.intake;

import java.util.EnumMap;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.atomic.LongAdder;
import java.util.function.LongSupplier;
import sunward.watch.health.Metrics;
import sunward.watch.store.Arrival;
import sunward.watch.store.MessageStore;
import sunward.watch.store.Receipt;

/** The one way in. Safe for many threads. */
public final class Intake {
    /** By which way an arrival came. */
    public enum Door {
        /** Length-delimited deliveries. */
        TCP,
        /** {@code POST /deliveries}. */
        HTTP,
        /** The watched folder. */
        FOLDER;

        private final String text = name().toLowerCase(Locale.ROOT);
    }

    private final MessageStore store;
    private final LongSupplier clockMs;
    private final long pendingLimit;
    private final AtomicLong pendingBytes = new AtomicLong();
    private final Map<Door, Map<Receipt.Outcome, LongAdder>> counters = new EnumMap<>(Door.class);

    /**
     * An intake into {@code store}.
     *
     * @param clockMs ms since 2000-01-01T00:00:00Z
     */
    public Intake(MessageStore store, Limits limits, Metrics metrics, LongSupplier clockMs) {
        this.store = store;
        this.clockMs = clockMs;
        this.pendingLimit = limits.pendingBytes();
        for (Door door : Door.values()) {
            Map<Receipt.Outcome, LongAdder> byOutcome = new EnumMap<>(Receipt.Outcome.class);
            for (Receipt.Outcome outcome : Receipt.Outcome.values()) {
                String labels = "{door=\"" + door.text + "\",outcome=\""
                        + outcome.name().toLowerCase(Locale.ROOT) + "\"}";
                byOutcome.put(outcome, metrics.counter("sunward_deliveries_total" + labels));
            }
            counters.put(door, byOutcome);
        }
        metrics.gauge("sunward_pending_bytes", pendingBytes::get);
        metrics.gauge("sunward_stored_messages", store::lastId);
    }

    /**
     * Takes one payload. The receipt comes once it is on disk or refused; never throws, never waits.
     *
     * @param bytes exactly as received; not changed afterwards
     * @param sender address or file name, as text
     */
    public CompletableFuture<Receipt> accept(byte[] bytes, Door door, String sender) {
        if (bytes.length == 0 || bytes.length > Limits.MESSAGE_BYTES) {
            Receipt refused = Receipt.refused("A message of " + bytes.length + " bytes is not one of ours: 1 to "
                    + Limits.MESSAGE_BYTES + " bytes are taken.");
            count(door, refused);
            return CompletableFuture.completedFuture(refused);
        }
        pendingBytes.addAndGet(bytes.length);
        return store.append(new Arrival(bytes, clockMs.getAsLong(), door.text, sender))
                .thenApply(receipt -> {
                    pendingBytes.addAndGet(-bytes.length);
                    count(door, receipt);
                    return receipt;
                });
    }

    /** True while so much waits for the disk that doors must stop reading. */
    public boolean crowded() {
        return pendingBytes.get() >= pendingLimit;
    }

    private void count(Door door, Receipt receipt) {
        counters.get(door).get(receipt.outcome()).increment();
    }
}
