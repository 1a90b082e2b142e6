package sunward.watch.dives;

import com.google.protobuf.InvalidProtocolBufferException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.sql.Types;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.SortedSet;
import java.util.StringJoiner;
import java.util.TreeSet;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.schema.Fix;
import sunward.protocol.schema.Ledger;
import sunward.watch.store.Database;
import sunward.watch.store.MessageStore;
import sunward.watch.store.StoreException;
import sunward.watch.store.StoredMessage;

/** {@code derived.sqlite}: verdicts and dives. One thread follows the raw messages; any thread may read. */
public final class DerivedStore implements AutoCloseable {
    /** Version of the tables in {@code derived.sqlite}. */
    public static final int TABLE_VERSION = 2;

    /** "SunD": marks the file as ours. */
    private static final int APPLICATION_ID = 0x53756e44;

    /** Messages judged in one transaction. */
    private static final int BATCH = 2000;

    private static final String DIVE_COLUMNS =
            "float_number, dive, received, conflicting, repairs, seen, planned, first_arrival_ms,"
                    + " last_arrival_ms, simulated, unsealed, surfaced_s, latitude_e5, longitude_e5, faults, assembled, repaired";

    private final Path file;
    private final MessageStore messages;
    private final KeyRing keys;
    private final Connection writer;
    private final Connection reader;

    /** Written by the one thread that follows; a page that reads it waits for no batch. */
    private volatile long lastMessageId;

    private volatile String trouble = "";

    private DerivedStore(Path file, MessageStore messages, KeyRing keys, Connection writer, Connection reader) {
        this.file = file;
        this.messages = messages;
        this.keys = keys;
        this.writer = writer;
        this.reader = reader;
    }

    /**
     * Opens the file; what was made with other keys or by another version of the tables is dropped and made again.
     *
     * @param madeWith names everything but the raw messages that the rows depend on
     */
    public static DerivedStore open(Path file, MessageStore messages, KeyRing keys, String madeWith)
            throws StoreException {
        try {
            Connection writer = Database.openWriter(file, Database.Durability.NORMAL);
            Database.migrate(writer, DerivedStore.class, "derived", TABLE_VERSION, APPLICATION_ID);
            DerivedStore store = new DerivedStore(file, messages, keys, writer, Database.openReader(file));
            store.resume(madeWith);
            return store;
        } catch (SQLException e) {
            throw new StoreException(Database.sentence(file, e), e);
        }
    }

    private void resume(String madeWith) throws SQLException {
        try (Statement statement = writer.createStatement()) {
            try (ResultSet row = statement.executeQuery("SELECT last_message_id, made_with FROM progress")) {
                if (row.next() && row.getString(2).equals(madeWith) && row.getLong(1) <= messages.lastId()) {
                    lastMessageId = row.getLong(1);
                    return;
                }
            }
            statement.executeUpdate("DELETE FROM dive");
            statement.executeUpdate("DELETE FROM verdict");
            statement.executeUpdate("DELETE FROM progress");
        }
        try (PreparedStatement statement = writer.prepareStatement("INSERT INTO progress VALUES (1, 0, ?)")) {
            statement.setString(1, madeWith);
            statement.executeUpdate();
        }
        writer.commit();
    }

    /** What keeps the tables from following the raw messages, as one sentence; empty while all is well. */
    public String trouble() {
        return trouble;
    }

    /** Number of the last message that is in the tables. */
    public long lastMessageId() {
        return lastMessageId;
    }

    /**
     * Takes in up to {@value #BATCH} further messages, in one transaction.
     *
     * @return the dives that changed; null when there was nothing to take in
     */
    public synchronized SortedSet<DiveKey> follow() throws StoreException {
        List<StoredMessage> fresh = messages.after(lastMessageId, BATCH);
        if (fresh.isEmpty()) {
            return null;
        }
        SortedSet<DiveKey> touched = new TreeSet<>();
        try {
            try (PreparedStatement insert =
                    writer.prepareStatement("INSERT INTO verdict VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?)")) {
                for (StoredMessage stored : fresh) {
                    Judged judged = Judged.of(stored, keys);
                    insert(insert, judged);
                    if (judged.accepted()) {
                        touched.add(new DiveKey(
                                judged.message().floatNumber(), judged.message().dive()));
                    }
                }
                insert.executeBatch();
            }
            for (DiveKey key : touched) {
                refresh(key);
            }
            long last = fresh.get(fresh.size() - 1).id();
            try (Statement statement = writer.createStatement()) {
                statement.executeUpdate("UPDATE progress SET last_message_id = " + last);
            }
            writer.commit();
            lastMessageId = last;
            trouble = "";
            return touched;
        } catch (SQLException e) {
            Database.rollBack(writer);
            trouble = Database.sentence(file, e);
            throw new StoreException(trouble, e);
        }
    }

    /** For tests of full disks: a pragma on the writing connection, run between two transactions. */
    void pragma(String text) throws SQLException {
        try (Statement statement = writer.createStatement()) {
            statement.execute(text);
        }
    }

    private static void insert(PreparedStatement insert, Judged judged) throws SQLException {
        StoredMessage stored = judged.stored();
        insert.setLong(1, stored.id());
        insert.setLong(2, stored.arrivalMs());
        insert.setInt(3, stored.bytes().length);
        insert.setBytes(4, MessageStore.digest(stored.bytes()));
        insert.setString(5, judged.accepted() ? "" : judged.rejected().reason().name());
        insert.setString(6, judged.accepted() ? "" : judged.rejected().sentence());
        // MessageLayout draws the header: first bit and width of float, dive, position, kind, block, part, S and U.
        int[][] fields = {{10, 14}, {24, 12}, {36, 12}, {4, 4}, {48, 4}, {52, 12}, {8, 1}, {9, 1}};
        for (int i = 0; i < fields.length; i++) {
            if (judged.hasHeader()) {
                insert.setInt(7 + i, judged.claimed(fields[i][0], fields[i][1]));
            } else {
                insert.setNull(7 + i, Types.INTEGER);
            }
        }
        insert.addBatch();
    }

    /** Makes one dive's row from its verdicts and its ledger: a function of the accepted messages and their arrivals. */
    private void refresh(DiveKey key) throws SQLException, StoreException {
        List<byte[]> digests = new ArrayList<>();
        int received = 0;
        int conflicting = 0;
        int repairs = 0;
        int atPosition = 0;
        int position = -1;
        long first = Long.MAX_VALUE;
        long last = Long.MIN_VALUE;
        int simulated = 0;
        int unsealed = 0;
        Ledger ledger = null;
        List<Long> ids = new ArrayList<>();
        try (PreparedStatement select =
                writer.prepareStatement("SELECT position, digest, arrival_ms, simulated, unsealed, kind,"
                        + " block, message_id FROM verdict WHERE float_number = ? AND dive = ? AND reason = ''"
                        + " ORDER BY position, digest")) {
            select.setInt(1, key.floatNumber());
            select.setInt(2, key.dive());
            try (ResultSet row = select.executeQuery()) {
                while (row.next()) {
                    boolean data = row.getInt(6) == Kind.DIVE.number();
                    if (data) {
                        atPosition = row.getInt(1) == position ? atPosition + 1 : 1;
                        position = row.getInt(1);
                        received += atPosition == 1 ? 1 : atPosition == 2 ? -1 : 0;
                        conflicting += atPosition == 2 ? 1 : 0;
                    }
                    repairs += row.getInt(6) == Kind.REPAIR.number() ? 1 : 0;
                    digests.add(row.getBytes(2));
                    ids.add(row.getLong(8));
                    first = Math.min(first, row.getLong(3));
                    last = Math.max(last, row.getLong(3));
                    simulated |= row.getInt(4);
                    unsealed |= row.getInt(5);
                    if (ledger == null && data && row.getInt(7) == BlockType.LEDGER.number()) {
                        ledger = ledger(row.getLong(8));
                    }
                }
            }
        }
        List<Message> repaired = repairs == 0 ? List.of() : repaired(ids);
        for (Message message : repaired) {
            if (ledger == null && message.block() == BlockType.LEDGER.number()) {
                ledger = ledger(message);
            }
            position = Math.max(position, message.position());
        }
        try (PreparedStatement put = writer.prepareStatement(
                "INSERT OR REPLACE INTO dive (" + DIVE_COLUMNS + ") VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)")) {
            put.setInt(1, key.floatNumber());
            put.setInt(2, key.dive());
            put.setInt(3, received);
            put.setInt(4, conflicting);
            put.setInt(5, repairs);
            put.setInt(6, position + 1);
            put.setLong(8, first);
            put.setLong(9, last);
            put.setInt(10, simulated);
            put.setInt(11, unsealed);
            putLedger(put, ledger);
            put.setBytes(16, assembled(digests));
            put.setInt(17, repaired.size());
            put.executeUpdate();
        }
    }

    private static void putLedger(PreparedStatement put, Ledger ledger) throws SQLException {
        Fix fix = ledger == null || ledger.getFixesCount() == 0 ? null : ledger.getFixes(ledger.getFixesCount() - 1);
        put.setObject(
                7, ledger == null || ledger.getMessagesPlanned() == 0 ? null : (Integer) ledger.getMessagesPlanned());
        put.setObject(
                12,
                ledger == null || ledger.getSurfacedS() == 0
                        ? null
                        : (Long) Integer.toUnsignedLong(ledger.getSurfacedS()));
        put.setObject(13, fix == null ? null : (Integer) fix.getLatitudeE5());
        put.setObject(14, fix == null ? null : (Integer) fix.getLongitudeE5());
        StringJoiner faults = new StringJoiner("; ");
        if (ledger != null) {
            for (int number = 0; number < ledger.getFaultsCount(); number++) {
                if (ledger.getFaults(number) != 0) {
                    faults.add(Faults.words(ledger.getFaults(number)));
                }
            }
        }
        put.setString(15, faults.toString());
    }

    private Ledger ledger(long messageId) throws StoreException {
        StoredMessage stored = messages.message(messageId);
        return stored == null ? null : ledger(Judged.of(stored, keys).message());
    }

    private List<Message> repaired(List<Long> ids) throws StoreException {
        List<Message> accepted = new ArrayList<>();
        for (long id : ids) {
            StoredMessage stored = messages.message(id);
            Message message = stored == null ? null : Judged.of(stored, keys).message();
            if (message != null) {
                accepted.add(message);
            }
        }
        return DiveMessages.repaired(accepted);
    }

    private static Ledger ledger(Message message) {
        if (message == null) {
            return null;
        }
        try {
            return Ledger.parseFrom(message.body());
        } catch (InvalidProtocolBufferException e) {
            return null;
        }
    }

    private static byte[] assembled(List<byte[]> digests) {
        digests.sort(Arrays::compareUnsigned);
        byte[] all = new byte[digests.size() * 32];
        for (int i = 0; i < digests.size(); i++) {
            System.arraycopy(digests.get(i), 0, all, 32 * i, 32);
        }
        return MessageStore.digest(all);
    }

    /** The newest dive of each float, by float number. */
    public List<DiveState> newestDives() throws StoreException {
        return dives("SELECT " + DIVE_COLUMNS + " FROM dive d WHERE dive = (SELECT MAX(dive) FROM dive e WHERE"
                + " e.float_number = d.float_number) ORDER BY float_number");
    }

    /** The dives of one float, newest first, 200 at most. */
    public List<DiveState> divesOf(int floatNumber) throws StoreException {
        return dives(
                "SELECT " + DIVE_COLUMNS + " FROM dive WHERE float_number = ? ORDER BY dive DESC LIMIT 200",
                floatNumber);
    }

    /** Dives whose last message came at {@code sinceMs} or later, newest arrival first, {@code limit} at most. */
    public List<DiveState> recentDives(long sinceMs, int limit) throws StoreException {
        return dives(
                "SELECT " + DIVE_COLUMNS + " FROM dive WHERE last_arrival_ms >= ? ORDER BY last_arrival_ms DESC,"
                        + " float_number, dive DESC LIMIT ?",
                sinceMs,
                limit);
    }

    /** Every dive. */
    public List<DiveKey> allDives() throws StoreException {
        return read(
                "SELECT float_number, dive FROM dive ORDER BY float_number, dive",
                row -> new DiveKey(row.getInt(1), row.getInt(2)));
    }

    /** One dive, or null when no message of it was accepted. */
    public DiveState dive(DiveKey key) throws StoreException {
        List<DiveState> found = dives(
                "SELECT " + DIVE_COLUMNS + " FROM dive WHERE float_number = ? AND dive = ?",
                key.floatNumber(),
                key.dive());
        return found.isEmpty() ? null : found.get(0);
    }

    private List<DiveState> dives(String sql, Object... values) throws StoreException {
        return read(
                sql,
                row -> new DiveState(
                        row.getInt(1),
                        row.getInt(2),
                        row.getInt(3),
                        row.getInt(4),
                        row.getInt(5),
                        row.getInt(17),
                        row.getInt(6),
                        (Integer) row.getObject(7),
                        row.getLong(8),
                        row.getLong(9),
                        row.getBoolean(10),
                        row.getBoolean(11),
                        row.getObject(12) == null ? null : (Long) row.getLong(12),
                        row.getObject(13) == null ? null : (Double) (row.getInt(13) / 1e5),
                        row.getObject(14) == null ? null : (Double) (row.getInt(14) / 1e5),
                        row.getString(15),
                        HexFormat.of().formatHex(row.getBytes(16))),
                values);
    }

    /** Accepted messages of a dive and rejected ones that claim to belong to it, by position, then number. */
    public List<MessageState> messagesOf(DiveKey key) throws StoreException {
        return messageStates(
                "WHERE float_number = ? AND dive = ? ORDER BY position, message_id LIMIT 8192",
                key.floatNumber(),
                key.dive());
    }

    /** Numbers of the newest receipts of a float, 50 at most. */
    List<Long> receiptsOf(int floatNumber) throws StoreException {
        return read(
                "SELECT message_id FROM verdict WHERE float_number = ? AND kind = ? AND reason = '' ORDER BY message_id"
                        + " DESC LIMIT 50",
                row -> row.getLong(1),
                floatNumber,
                Kind.RECEIPT.number());
    }

    /** Rejected messages that came at {@code sinceMs} or later, newest first, {@code limit} at most. */
    public List<MessageState> rejectedSince(long sinceMs, int limit) throws StoreException {
        return messageStates(
                "WHERE reason <> '' AND arrival_ms >= ? ORDER BY arrival_ms DESC, message_id DESC LIMIT ?",
                sinceMs,
                limit);
    }

    private List<MessageState> messageStates(String where, Object... values) throws StoreException {
        return read(
                "SELECT message_id, COALESCE(position, -1), COALESCE(block, -1), COALESCE(part, -1), COALESCE(kind, -1),"
                        + " length, arrival_ms, reason, sentence FROM verdict " + where,
                row -> new MessageState(
                        row.getLong(1),
                        row.getInt(2),
                        row.getInt(3),
                        row.getInt(4),
                        row.getInt(5),
                        row.getInt(6),
                        row.getLong(7),
                        row.getString(8),
                        row.getString(9)),
                values);
    }

    /** How many messages were accepted and how many rejected, in all, and the number of dives and of floats. */
    public long[] totals() throws StoreException {
        // Messages are numbered without gaps: the accepted ones need no count of all rows.
        return read(
                        "SELECT (SELECT last_message_id FROM progress), (SELECT COUNT(*) FROM verdict WHERE reason <> ''),"
                                + " (SELECT COUNT(*) FROM dive), (SELECT COUNT(DISTINCT float_number) FROM dive)",
                        row -> new long[] {
                            row.getLong(1) - row.getLong(2), row.getLong(2), row.getLong(3), row.getLong(4)
                        })
                .get(0);
    }

    /** SHA-256 over every row of every table in a fixed order, hexadecimal: two stores are identical when these are. */
    public String contents() throws StoreException {
        MessageDigest digest = newDigest();
        for (String table : List.of("progress", "verdict", "dive")) {
            read("SELECT * FROM " + table + " ORDER BY 1, 2", row -> {
                int columns = row.getMetaData().getColumnCount();
                for (int i = 1; i <= columns; i++) {
                    Object value = row.getObject(i);
                    String text =
                            value instanceof byte[] bytes ? HexFormat.of().formatHex(bytes) : String.valueOf(value);
                    digest.update((text + "\u001f").getBytes(StandardCharsets.UTF_8));
                }
                return null;
            });
        }
        return HexFormat.of().formatHex(digest.digest());
    }

    private static MessageDigest newDigest() {
        try {
            return MessageDigest.getInstance("SHA-256");
        } catch (java.security.NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java platform has SHA-256", e);
        }
    }

    private interface Row<T> {
        T of(ResultSet row) throws SQLException;
    }

    private <T> List<T> read(String sql, Row<T> maker, Object... values) throws StoreException {
        synchronized (reader) {
            try (PreparedStatement statement = reader.prepareStatement(sql)) {
                for (int i = 0; i < values.length; i++) {
                    statement.setObject(i + 1, values[i]);
                }
                try (ResultSet row = statement.executeQuery()) {
                    List<T> found = new ArrayList<>();
                    while (row.next()) {
                        T made = maker.of(row);
                        if (made != null) {
                            found.add(made);
                        }
                    }
                    return found;
                }
            } catch (SQLException e) {
                throw new StoreException(Database.sentence(file, e), e);
            }
        }
    }

    @Override
    public synchronized void close() throws StoreException {
        try {
            writer.close();
            synchronized (reader) {
                reader.close();
            }
        } catch (SQLException e) {
            throw new StoreException(Database.sentence(file, e), e);
        }
    }

    /** A rejection's reason as words: {@code SEAL_BROKEN} as "seal broken". */
    public static String words(String reason) {
        return reason.toLowerCase(Locale.ROOT).replace('_', ' ');
    }
}
