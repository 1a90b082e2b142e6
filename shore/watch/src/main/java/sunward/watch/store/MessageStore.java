package sunward.watch.store;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Consumer;

/**
 * The raw messages on disk: append-only, each distinct payload once, every further arrival of the same bytes as a line of
 * its own. One thread writes; whatever waits when it comes round is committed together, and each arrival's receipt is
 * given only after that commit was forced to disk.
 *
 * <p>Safe for many threads.
 */
public final class MessageStore implements AutoCloseable {
    /** Version of the tables in {@code messages.sqlite}. */
    public static final int TABLE_VERSION = 1;

    /** "SunM": marks the file as ours. */
    private static final int APPLICATION_ID = 0x53756e4d;

    /** Most arrivals in one commit: bounds the time that a receipt waits and the memory of a commit. */
    static final int GROUP = 1024;

    /** Most arrivals that wait; beyond it the store refuses. */
    private static final int WAITING = 65_536;

    /** How often a disk in trouble is tried while nothing comes. */
    private static final long PROBE_MS = 2000;

    private static final String CLOSED = "The watch is stopping; send again when it is back.";

    private final Path file;
    private final BlockingQueue<Waiting> queue = new LinkedBlockingQueue<>(WAITING);
    private final Thread writerThread;
    private final AtomicLong lastId = new AtomicLong();
    private final Object readLock = new Object();
    private final Runnable afterCommit;
    private Connection reader;
    private Writer writer;
    private volatile boolean closing;
    private volatile String trouble = "";

    // Never compared.
    @SuppressWarnings("ArrayRecordComponent")
    private record Waiting(Arrival arrival, byte[] digest, CompletableFuture<Receipt> receipt) {}

    private MessageStore(Path file, Runnable afterCommit) {
        this.file = file;
        this.afterCommit = afterCommit;
        this.writerThread = new Thread(this::writeUntilClosed, "store-writer");
    }

    /**
     * Opens or makes the store.
     *
     * @param afterCommit called on the writer's thread after each commit; must return at once
     * @throws StoreException when the file is not ours, is newer than this program, or the disk refuses
     */
    public static MessageStore open(Path file, Runnable afterCommit) throws StoreException {
        MessageStore store = new MessageStore(file, afterCommit);
        try {
            store.writer = new Writer(file);
            store.reader = Database.openReader(file);
            store.lastId.set(store.longOf("SELECT COALESCE(MAX(id), 0) FROM message"));
        } catch (SQLException e) {
            throw new StoreException(Database.sentence(file, e), e);
        }
        store.writerThread.start();
        return store;
    }

    /** Takes one arrival; the receipt comes when it is on disk or refused. Never throws, never waits. */
    public CompletableFuture<Receipt> append(Arrival arrival) {
        CompletableFuture<Receipt> receipt = new CompletableFuture<>();
        if (closing) {
            receipt.complete(Receipt.refused(CLOSED));
        } else if (!queue.offer(new Waiting(arrival, digest(arrival.bytes()), receipt))) {
            receipt.complete(Receipt.refused("More messages wait than the watch can hold; send again in a moment."));
        }
        return receipt;
    }

    private void writeUntilClosed() {
        List<Waiting> group = new ArrayList<>(GROUP);
        try {
            while (!closing || !queue.isEmpty()) {
                Waiting first = trouble.isEmpty() ? queue.take() : queue.poll(PROBE_MS, TimeUnit.MILLISECONDS);
                if (first == null) {
                    probe();
                    continue;
                }
                group.add(first);
                queue.drainTo(group, GROUP - 1);
                group.removeIf(waiting -> waiting.receipt == null);
                if (!group.isEmpty()) {
                    write(group);
                    group.clear();
                }
            }
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        } finally {
            closing = true;
            for (Waiting late = queue.poll(); late != null; late = queue.poll()) {
                if (late.receipt != null) {
                    late.receipt.complete(Receipt.refused(CLOSED));
                }
            }
        }
    }

    /** While nothing comes, looks whether the disk takes writes again: what is over must not be shown as trouble. */
    private void probe() {
        try {
            if (writer == null) {
                writer = new Writer(file);
            }
            writer.touch();
            trouble = "";
            afterCommit.run();
        } catch (SQLException | StoreException e) {
            trouble = e instanceof SQLException sql ? Database.sentence(file, sql) : e.getMessage();
            dropWriter();
        }
    }

    /** One commit. After a failure nothing of the group is on disk, and the next group starts on a fresh connection. */
    private void write(List<Waiting> group) {
        boolean[] fresh;
        try {
            if (writer == null) {
                writer = new Writer(file);
            }
            fresh = writer.insert(group);
            writer.commit();
            lastId.set(writer.lastId());
            trouble = "";
        } catch (SQLException | StoreException e) {
            trouble = e instanceof SQLException sql ? Database.sentence(file, sql) : e.getMessage();
            dropWriter();
            for (Waiting waiting : group) {
                waiting.receipt.complete(Receipt.refused(trouble));
            }
            return;
        }
        for (int i = 0; i < fresh.length; i++) {
            group.get(i).receipt.complete(fresh[i] ? Receipt.STORED : Receipt.REPEATED);
        }
        afterCommit.run();
    }

    private void dropWriter() {
        try {
            if (writer != null) {
                writer.close();
            }
        } catch (SQLException e) {
            // The disk is in trouble already and the sentence about it is out; closing can add nothing.
        } finally {
            writer = null;
        }
    }

    /** What keeps the store from writing, as one sentence; empty while all is well. */
    public String trouble() {
        return trouble;
    }

    /** How many arrivals wait for their commit. */
    public int waiting() {
        return queue.size();
    }

    /** Number of the newest message on disk; the number of distinct messages too. */
    public long lastId() {
        return lastId.get();
    }

    /** Up to {@code limit} messages after {@code id}, in the order in which they were written. */
    public List<StoredMessage> after(long id, int limit) throws StoreException {
        return query(
                "SELECT id, arrival_ms, door, sender, bytes FROM message WHERE id > ? ORDER BY id LIMIT ?", id, limit);
    }

    /** The message of this number, or null. */
    public StoredMessage message(long id) throws StoreException {
        List<StoredMessage> found =
                query("SELECT id, arrival_ms, door, sender, bytes FROM message WHERE id = ? LIMIT ?", id, 1);
        return found.isEmpty() ? null : found.get(0);
    }

    /** How many arrivals brought bytes that were there already. */
    public long repeats() throws StoreException {
        synchronized (readLock) {
            try {
                return longOf("SELECT COALESCE(MAX(id), 0) FROM repeat_arrival");
            } catch (SQLException e) {
                throw new StoreException(Database.sentence(file, e), e);
            }
        }
    }

    private List<StoredMessage> query(String sql, long first, int limit) throws StoreException {
        synchronized (readLock) {
            try (PreparedStatement statement = reader.prepareStatement(sql)) {
                statement.setLong(1, first);
                statement.setInt(2, limit);
                try (ResultSet row = statement.executeQuery()) {
                    List<StoredMessage> found = new ArrayList<>();
                    while (row.next()) {
                        found.add(new StoredMessage(
                                row.getLong(1), row.getLong(2), row.getString(3), row.getString(4), row.getBytes(5)));
                    }
                    return found;
                }
            } catch (SQLException e) {
                throw new StoreException(Database.sentence(file, e), e);
            }
        }
    }

    private long longOf(String sql) throws SQLException {
        try (Statement statement = reader.createStatement();
                ResultSet row = statement.executeQuery(sql)) {
            row.next();
            return row.getLong(1);
        }
    }

    /**
     * Copies the store, as it stands at this instant, while it is in use.
     *
     * @param target a file that does not exist yet
     */
    public static void backup(Path file, Path target) throws StoreException {
        if (Files.exists(target)) {
            throw new StoreException(target + ": the file exists already; give a new name for the backup.");
        }
        if (!Files.isRegularFile(file)) {
            throw new StoreException(file + ": there is no store to back up; give the folder of a watch.");
        }
        Path part = target.resolveSibling(target.getFileName() + ".part");
        Path folder = target.toAbsolutePath().getParent();
        if (!Files.isDirectory(folder) || !Files.isWritable(folder)) {
            throw new StoreException(target + ": no file can be made in " + folder + "; give another place.");
        }
        try (Connection connection = Database.openReader(file);
                PreparedStatement statement = connection.prepareStatement("VACUUM INTO ?")) {
            Files.deleteIfExists(part);
            statement.setString(1, part.toString());
            statement.executeUpdate();
            try (FileChannel channel = FileChannel.open(part, StandardOpenOption.WRITE)) {
                channel.force(true);
            }
            Files.move(part, target, StandardCopyOption.ATOMIC_MOVE);
        } catch (SQLException e) {
            remove(part);
            throw new StoreException(
                    target + ": the backup could not be made. "
                            + Database.sentence(target, e).replace(", and the watch goes on by itself", ""),
                    e);
        } catch (IOException e) {
            remove(part);
            throw new StoreException(
                    target + ": the backup could not be written (" + Database.reason(e) + "); give another place.", e);
        }
    }

    private static void remove(Path part) {
        try {
            Files.deleteIfExists(part);
        } catch (IOException e) {
            // The disk is in trouble and the sentence about it is on its way.
        }
    }

    /** Hands over every payload of a store, which a watch may be using, in order of arrival. */
    public static void each(Path file, Consumer<byte[]> to) throws StoreException {
        try (Connection connection = Database.openReader(file);
                Statement statement = connection.createStatement();
                ResultSet row = statement.executeQuery("SELECT bytes FROM message ORDER BY id")) {
            while (row.next()) {
                to.accept(row.getBytes(1));
            }
        } catch (SQLException e) {
            throw new StoreException(Database.sentence(file, e), e);
        }
    }

    /**
     * Looks through the whole file: SQLite's own check, the ties between the tables, and every message against its digest.
     *
     * @return what is wrong, one sentence each; empty when the store is sound
     */
    public static List<String> check(Path file) throws StoreException {
        List<String> wrong = new ArrayList<>();
        try (Connection connection = Database.openReader(file);
                Statement statement = connection.createStatement()) {
            try (ResultSet row = statement.executeQuery("PRAGMA integrity_check")) {
                while (row.next()) {
                    if (!row.getString(1).equals("ok")) {
                        wrong.add("The file is damaged: " + row.getString(1) + ".");
                    }
                }
            }
            try (ResultSet row = statement.executeQuery("PRAGMA foreign_key_check")) {
                while (row.next()) {
                    wrong.add("Line " + row.getLong(2) + " of " + row.getString(1)
                            + " names a message that is not there.");
                }
            }
            long expected = 1;
            try (ResultSet row = statement.executeQuery("SELECT id, digest, bytes FROM message ORDER BY id")) {
                while (row.next()) {
                    long id = row.getLong(1);
                    if (id != expected) {
                        wrong.add("Message " + expected + " is missing before message " + id + ".");
                    }
                    expected = id + 1;
                    if (!MessageDigest.isEqual(row.getBytes(2), digest(row.getBytes(3)))) {
                        wrong.add("Message " + id + " does not match its digest.");
                    }
                }
            }
        } catch (SQLException e) {
            throw new StoreException(Database.sentence(file, e), e);
        }
        return wrong;
    }

    /** SHA-256 of a payload: by it the store knows bytes that it has already. */
    public static byte[] digest(byte[] bytes) {
        try {
            return MessageDigest.getInstance("SHA-256").digest(bytes);
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java platform has SHA-256", e);
        }
    }

    /** Writes what waits, then closes the file. */
    @Override
    public void close() throws StoreException {
        closing = true;
        // An arrival without a receipt ends the writer's wait; where there is no room for it the writer is not waiting.
        queue.offer(new Waiting(null, null, null));
        try {
            writerThread.join();
            dropWriter();
            synchronized (readLock) {
                reader.close();
            }
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        } catch (SQLException e) {
            throw new StoreException(Database.sentence(file, e), e);
        }
    }

    /** For tests of full and read-only disks: a pragma on the writing connection, run between two commits. */
    void pragma(String text) throws SQLException {
        try (Statement statement = writer.connection.createStatement()) {
            statement.execute(text);
        }
    }

    /** The writing connection with its statements. Only the writer's thread uses it. */
    private static final class Writer {
        private final Connection connection;
        private final PreparedStatement insertMessage;
        private final PreparedStatement insertRepeat;
        private long lastId;

        Writer(Path file) throws SQLException, StoreException {
            connection = Database.openWriter(file, Database.Durability.FULL);
            Database.migrate(connection, MessageStore.class, "store", TABLE_VERSION, APPLICATION_ID);
            insertMessage = connection.prepareStatement("INSERT INTO message (digest, arrival_ms, door, sender, bytes)"
                    + " VALUES (?, ?, ?, ?, ?) ON CONFLICT (digest) DO NOTHING");
            insertRepeat =
                    connection.prepareStatement("INSERT INTO repeat_arrival (message_id, arrival_ms, door, sender)"
                            + " SELECT id, ?, ?, ? FROM message WHERE digest = ?");
            try (Statement statement = connection.createStatement();
                    ResultSet row = statement.executeQuery("SELECT COALESCE(MAX(id), 0) FROM message")) {
                row.next();
                lastId = row.getLong(1);
            }
            connection.commit();
        }

        /** Which of the group are new; of the others it is written down that they came again. */
        boolean[] insert(List<Waiting> group) throws SQLException {
            for (Waiting waiting : group) {
                insertMessage.setBytes(1, waiting.digest);
                insertMessage.setLong(2, waiting.arrival.arrivalMs());
                insertMessage.setString(3, waiting.arrival.door());
                insertMessage.setString(4, waiting.arrival.sender());
                insertMessage.setBytes(5, waiting.arrival.bytes());
                insertMessage.addBatch();
            }
            int[] written = insertMessage.executeBatch();
            boolean[] fresh = new boolean[written.length];
            for (int i = 0; i < written.length; i++) {
                fresh[i] = written[i] == 1;
                if (fresh[i]) {
                    lastId++;
                } else {
                    insertRepeat.setLong(1, group.get(i).arrival.arrivalMs());
                    insertRepeat.setString(2, group.get(i).arrival.door());
                    insertRepeat.setString(3, group.get(i).arrival.sender());
                    insertRepeat.setBytes(4, group.get(i).digest);
                    insertRepeat.executeUpdate();
                }
            }
            return fresh;
        }

        void commit() throws SQLException {
            connection.commit();
        }

        /** Writes a page as it is, and forces it to disk. */
        void touch() throws SQLException {
            try (Statement statement = connection.createStatement()) {
                statement.execute("PRAGMA user_version = " + TABLE_VERSION);
            }
            connection.commit();
        }

        long lastId() {
            return lastId;
        }

        void close() throws SQLException {
            connection.close();
        }
    }
}
