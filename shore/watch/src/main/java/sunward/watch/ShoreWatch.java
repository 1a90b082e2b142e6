package sunward.watch;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Deque;
import java.util.HexFormat;
import java.util.List;
import java.util.function.LongSupplier;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.schema.Plan;
import sunward.watch.alerts.AlertWatch;
import sunward.watch.alerts.Attention;
import sunward.watch.alerts.CallOut;
import sunward.watch.dives.DerivedStore;
import sunward.watch.dives.DiveProducts;
import sunward.watch.dives.Follower;
import sunward.watch.health.EventLog;
import sunward.watch.health.Metrics;
import sunward.watch.health.Token;
import sunward.watch.intake.FolderDoor;
import sunward.watch.intake.Intake;
import sunward.watch.intake.TcpDoor;
import sunward.watch.live.LiveFleet;
import sunward.watch.page.DiveDesk;
import sunward.watch.page.PageServer;
import sunward.watch.store.MessageStore;
import sunward.watch.store.StoreException;
import sunward.watch.store.StoreFolder;
import sunward.watch.trouble.DiveComparer;
import sunward.watch.trouble.TroubleWatch;

/** All wiring of the watch: doors → intake → raw messages → verdicts and dives → page. */
public final class ShoreWatch implements AutoCloseable {
    /** ms from 1970 to 2000. */
    private static final long EPOCH_2000_MS = 946_684_800_000L;

    /** More arrivals than these waiting for the disk: the watch is busy, and judging waits. */
    private static final int BUSY = 64;

    private final Deque<AutoCloseable> parts = new ArrayDeque<>();
    private final EventLog log;
    private TcpDoor tcpDoor;
    private PageServer page;
    private MessageStore store;
    private DerivedStore derived;

    private ShoreWatch(EventLog log) {
        this.log = log;
    }

    /**
     * Starts a watch; it runs until it is closed.
     *
     * @param logOut where the log's JSON lines go
     * @throws WatchException with one sentence when it cannot run like this; nothing is left running
     */
    public static ShoreWatch start(WatchSettings settings, Clock clock, PrintStream logOut) throws WatchException {
        ShoreWatch watch = new ShoreWatch(new EventLog(logOut, clock));
        try {
            watch.open(settings, clock);
            return watch;
        } catch (IOException | StoreException e) {
            watch.close();
            throw new WatchException(e.getMessage(), e);
        }
    }

    private void open(WatchSettings settings, Clock clock) throws IOException, StoreException {
        LongSupplier clockMs = () -> clock.millis() - EPOCH_2000_MS;
        refuseOpenPorts(settings);
        refuseOwnFiles(settings);
        Metrics metrics = new Metrics();
        StoreFolder folder = keep(StoreFolder.hold(settings.folder()));
        Token token = Token.readOrMake(settings.tokenPath());
        Wake wake = new Wake();
        store = keep(MessageStore.open(folder.messages(), wake));
        derived = keep(DerivedStore.open(folder.derived(), store, settings.keys(), madeWith(settings)));
        Follower follower = keep(new Follower(derived, () -> store.waiting() > BUSY, log));
        wake.follower = follower;
        metrics.gauge("sunward_messages_not_judged_yet", () -> store.lastId() - derived.lastMessageId());
        Intake intake = new Intake(store, settings.limits(), metrics, clockMs);
        follower.start();
        if (settings.watchedFolder() != null) {
            keep(FolderDoor.open(settings.watchedFolder(), intake, log));
        }
        tcpDoor = keep(
                TcpDoor.open(settings.tcp(), settings.certificate(), token, settings.limits(), intake, metrics, log));
        DiveProducts products = products(settings, store, derived);
        Attention attention = new Attention(store, derived, clockMs);
        DiveDesk desk = new DiveDesk(store, derived, products, attention, clockMs);
        page = keep(PageServer.open(
                settings.http(),
                settings.certificate(),
                new PageServer.Surroundings(token, intake, metrics, log, follower, desk)));
        if (settings.scene() != null) {
            DiveComparer comparer = keep(DiveComparer.open(folder.findings(), derived, products, settings.scene()));
            TroubleWatch trouble = keep(new TroubleWatch(derived, comparer, log, clockMs, page::changed));
            attention.watchedBy(trouble);
            follower.listen(trouble::changed);
        }
        CallOut callOut =
                settings.callOut() == null ? null : keep(CallOut.open(settings.callOut(), clock, log, metrics));
        keep(new AlertWatch(attention, log, callOut, () -> page.changed(Collections.emptySortedSet())));
        log.info(
                "watch_started",
                "folder",
                settings.folder(),
                "tcp_port",
                tcpDoor.port(),
                "page_port",
                page.port(),
                "messages",
                store.lastId());
    }

    private static void refuseOpenPorts(WatchSettings settings) throws IOException {
        boolean local = settings.tcp().getAddress().isLoopbackAddress()
                && settings.http().getAddress().isLoopbackAddress();
        if (!local && settings.certificate() == null) {
            throw new IOException(
                    "Other machines may reach this watch only with TLS: give a certificate and its key, or listen"
                            + " on 127.0.0.1 behind a proxy that has them.");
        }
    }

    /** The watched folder is emptied into the store: the watch's own files and secrets must not lie in it. */
    private static void refuseOwnFiles(WatchSettings settings) throws IOException {
        Path watched = settings.watchedFolder();
        if (watched == null || !Files.isDirectory(watched)) {
            return;
        }
        List<Path> own = new ArrayList<>(List.of(settings.folder().resolve("lock"), settings.tokenPath()));
        if (settings.keyFile() != null) {
            own.add(settings.keyFile());
        }
        if (settings.certificate() != null) {
            own.add(settings.certificate().key());
            own.add(settings.certificate().chain());
        }
        for (Path file : own) {
            Path place = file.toAbsolutePath().getParent();
            if (Files.isDirectory(place) && Files.isSameFile(place, watched)) {
                throw new IOException(
                        watched + ": " + file + " is the watch's own and would be taken in as if it were a"
                                + " message; give a watched folder of its own.");
            }
        }
    }

    /** Names what the derived rows depend on besides the raw messages. */
    private static String madeWith(WatchSettings settings) throws IOException {
        String keys = settings.keyFile() == null
                ? "none"
                : HexFormat.of().formatHex(MessageStore.digest(Files.readAllBytes(settings.keyFile())), 0, 8);
        return "wire " + MessageLayout.VERSION + ", keys " + keys;
    }

    private static DiveProducts products(WatchSettings settings, MessageStore store, DerivedStore derived) {
        Plan thinned = LiveFleet.thinned(settings.inputs().plan());
        return new DiveProducts(store, derived, settings.keys(), settings.inputs(), List.of(thinned));
    }

    private <T extends AutoCloseable> T keep(T part) {
        parts.push(part);
        return part;
    }

    /** Port of the TCP door. */
    public int tcpPort() {
        return tcpDoor.port();
    }

    /** Port of the page. */
    public int pagePort() {
        return page.port();
    }

    /** The raw messages. */
    public MessageStore store() {
        return store;
    }

    /** Verdicts and dives. */
    public DerivedStore derived() {
        return derived;
    }

    /**
     * Drops everything derived from the raw messages in a folder that no watch is using, and makes it again.
     *
     * @return number of messages judged
     */
    public static long rebuild(WatchSettings settings) throws WatchException {
        try (StoreFolder folder = StoreFolder.hold(settings.folder())) {
            delete(folder.derived());
            delete(folder.findings());
            try (MessageStore store = MessageStore.open(folder.messages(), () -> {})) {
                contents(folder.derived(), folder.findings(), store, settings);
                return store.lastId();
            }
        } catch (IOException | StoreException e) {
            throw new WatchException(e.getMessage(), e);
        }
    }

    /**
     * Looks whether a folder that no watch is using is sound: the raw messages by {@link MessageStore#check}, the derived
     * tables against the same made again beside them.
     *
     * @return what is wrong, one sentence each
     */
    public static List<String> check(WatchSettings settings) throws WatchException {
        try (StoreFolder folder = StoreFolder.hold(settings.folder())) {
            List<String> wrong = new ArrayList<>(MessageStore.check(folder.messages()));
            Path again = Files.createTempDirectory(folder.path(), "check-");
            Path derived = again.resolve("derived.sqlite");
            Path findings = again.resolve("findings.sqlite");
            Path derivedCopy = again.resolve("kept-derived.sqlite");
            Path findingsCopy = again.resolve("kept-findings.sqlite");
            try (MessageStore store = MessageStore.open(folder.messages(), () -> {})) {
                // Copies: what is kept may lag behind, and catching up would change it.
                copy(folder.derived(), derivedCopy);
                copy(folder.findings(), findingsCopy);
                List<String> kept = contents(derivedCopy, findingsCopy, store, settings);
                List<String> made = contents(derived, findings, store, settings);
                if (!kept.get(0).equals(made.get(0))) {
                    wrong.add("The derived tables are not what the raw messages give; run rebuild without --check.");
                }
                if (!kept.get(1).equals(made.get(1))) {
                    wrong.add(
                            "What was found beside the rehearsals is not what they give; run rebuild without --check.");
                }
            } finally {
                for (Path file : List.of(derived, findings, derivedCopy, findingsCopy)) {
                    delete(file);
                }
                Files.delete(again);
            }
            return wrong;
        } catch (IOException | StoreException e) {
            throw new WatchException(e.getMessage(), e);
        }
    }

    private static void copy(Path database, Path to) throws IOException {
        for (String suffix : List.of("", "-wal")) {
            Path from = database.resolveSibling(database.getFileName() + suffix);
            if (Files.exists(from)) {
                Files.copy(from, to.resolveSibling(to.getFileName() + suffix));
            }
        }
    }

    private static void delete(Path database) throws IOException {
        for (String suffix : List.of("", "-wal", "-shm")) {
            Files.deleteIfExists(database.resolveSibling(database.getFileName() + suffix));
        }
    }

    /** Digests of derived tables and of findings once they have caught up; without a scene nothing is compared. */
    private static List<String> contents(Path file, Path findings, MessageStore store, WatchSettings settings)
            throws IOException, StoreException {
        try (DerivedStore derived = DerivedStore.open(file, store, settings.keys(), madeWith(settings))) {
            while (derived.follow() != null) {
                // follow() takes one batch at a time
            }
            if (settings.scene() == null) {
                return List.of(derived.contents(), "");
            }
            DiveProducts products = products(settings, store, derived);
            try (DiveComparer comparer = DiveComparer.open(findings, derived, products, settings.scene())) {
                comparer.catchUp();
                return List.of(derived.contents(), comparer.contents());
            }
        }
    }

    /** Closes the doors first, then what is behind them. */
    @Override
    public synchronized void close() {
        while (!parts.isEmpty()) {
            try {
                parts.pop().close();
            } catch (Exception e) {
                log.warn("not_closed_well", "sentence", e.getMessage());
            }
        }
    }

    /** Tells the follower of a commit; the store is there before the follower is. */
    private static final class Wake implements Runnable {
        private volatile Follower follower;

        @Override
        public void run() {
            Follower known = follower;
            if (known != null) {
                known.wake();
            }
        }
    }
}
