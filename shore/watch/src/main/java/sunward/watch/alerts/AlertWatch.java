package sunward.watch.alerts;

import java.util.LinkedHashMap;
import java.util.Map;
import sunward.watch.health.EventLog;
import sunward.watch.store.StoreException;

/**
 * Looks at the list every {@value #EVERY_MS} ms: what is new goes into the log and out to the call-out, what is over into the
 * log. What stands when the watch starts counts as new: after a restart it is told once more, under the same id.
 */
public final class AlertWatch implements AutoCloseable {
    private static final long EVERY_MS = 2000;

    private final Attention attention;
    private final EventLog log;
    private final CallOut callOut;
    private final Runnable changed;
    private final Thread thread = new Thread(this::run, "alert-watch");
    private Map<String, Alert> standing = Map.of();
    private volatile boolean closing;

    /**
     * Starts.
     *
     * @param callOut null: nobody is called
     * @param changed hears that the list is another; must return at once
     */
    public AlertWatch(Attention attention, EventLog log, CallOut callOut, Runnable changed) {
        this.attention = attention;
        this.log = log;
        this.callOut = callOut;
        this.changed = changed;
        thread.setDaemon(true);
        thread.start();
    }

    private void run() {
        while (!closing) {
            try {
                look();
                Thread.sleep(EVERY_MS);
            } catch (InterruptedException e) {
                return;
            } catch (StoreException | RuntimeException e) {
                log.warn("alerts_not_listed", "sentence", e.getMessage());
                pause();
            }
        }
    }

    private void pause() {
        try {
            Thread.sleep(EVERY_MS);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    private void look() throws StoreException {
        Map<String, Alert> now = new LinkedHashMap<>();
        for (Alert alert : attention.now()) {
            now.put(alert.id(), alert);
        }
        for (Alert alert : now.values()) {
            if (!standing.containsKey(alert.id())) {
                tell("alert", alert);
                if (callOut != null) {
                    callOut.send(alert);
                }
            }
        }
        for (Alert alert : standing.values()) {
            if (!now.containsKey(alert.id())) {
                tell("alert_over", alert);
            }
        }
        boolean another = !now.keySet().equals(standing.keySet());
        standing = now;
        if (another) {
            changed.run();
        }
    }

    private void tell(String event, Alert alert) {
        Object[] words = alert.dive() == null
                ? new Object[] {"id", alert.id(), "what", alert.what(), "why", alert.why()}
                : new Object[] {
                    "id",
                    alert.id(),
                    "float",
                    alert.dive().floatNumber(),
                    "dive",
                    alert.dive().dive(),
                    "what",
                    alert.what(),
                    "why",
                    alert.why()
                };
        if (event.equals("alert")) {
            log.warn(event, words);
        } else {
            log.info(event, words);
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
