package sunward.watch.page;

import io.vertx.core.Vertx;
import io.vertx.core.http.HttpServerResponse;
import java.util.HashMap;
import java.util.Map;
import java.util.SortedSet;
import java.util.StringJoiner;
import java.util.TreeSet;
import sunward.watch.dives.DiveKey;

/**
 * Server-sent events: which dives changed, at most forty times a second. A browser that reads slowly misses no change: what
 * is new for it is kept as a set of dives, at most {@value #DIVES} of them and after that "all", and sent when it reads again.
 * Everything runs on one event loop but {@link #changed}.
 */
final class LiveEvents {
    private static final int VIEWERS = 200;
    private static final int DIVES = 200;
    private static final long PULSE_MS = 25;
    private static final long HEARTBEAT_MS = 15_000;

    private final Map<HttpServerResponse, Pending> viewers = new HashMap<>();
    private final Object newsLock = new Object();
    private Pending news = new Pending();
    private long quietMs;

    /** What a viewer has not been told yet. */
    private static final class Pending {
        private final SortedSet<DiveKey> dives = new TreeSet<>();
        private boolean any;
        private boolean all;

        void add(Pending other) {
            any |= other.any;
            all |= other.all;
            dives.addAll(other.dives);
            if (dives.size() > DIVES) {
                all = true;
            }
            if (all) {
                dives.clear();
            }
        }

        String text() {
            StringJoiner list = new StringJoiner(",", "[", "]");
            dives.forEach(key -> list.add("\"" + key.floatNumber() + "/" + key.dive() + "\""));
            return "event: change\ndata: {\"all\":" + all + ",\"dives\":" + list + "}\n\n";
        }
    }

    /** Starts the pulse on the calling event loop. */
    void start(Vertx vertx) {
        vertx.setPeriodic(PULSE_MS, timer -> pulse());
    }

    /** These dives changed; may be called from any thread. */
    void changed(SortedSet<DiveKey> dives) {
        Pending change = new Pending();
        change.any = true;
        change.dives.addAll(dives);
        synchronized (newsLock) {
            news.add(change);
        }
    }

    /** A viewer that stays; false when there are too many. */
    boolean join(HttpServerResponse response) {
        if (viewers.size() >= VIEWERS) {
            return false;
        }
        response.putHeader("Content-Type", "text/event-stream; charset=utf-8");
        response.putHeader("Cache-Control", "no-store");
        response.setChunked(true);
        response.closeHandler(closed -> viewers.remove(response));
        response.exceptionHandler(problem -> viewers.remove(response));
        viewers.put(response, new Pending());
        send(response, "retry: 2000\n\n");
        return true;
    }

    private void pulse() {
        Pending fresh;
        synchronized (newsLock) {
            fresh = news;
            news = new Pending();
        }
        quietMs += PULSE_MS;
        boolean heartbeat = quietMs >= HEARTBEAT_MS;
        if (heartbeat) {
            quietMs = 0;
        }
        for (Map.Entry<HttpServerResponse, Pending> viewer : viewers.entrySet()) {
            HttpServerResponse response = viewer.getKey();
            viewer.getValue().add(fresh);
            if (response.ended() || response.closed() || response.writeQueueFull()) {
                continue;
            }
            if (viewer.getValue().any) {
                send(response, viewer.getValue().text());
                viewer.setValue(new Pending());
            } else if (heartbeat) {
                send(response, ": still here\n\n");
            }
        }
    }

    // A write to a viewer that has gone ends in its close handler.
    @SuppressWarnings("FutureReturnValueIgnored")
    private static void send(HttpServerResponse response, String text) {
        response.write(text);
    }
}
