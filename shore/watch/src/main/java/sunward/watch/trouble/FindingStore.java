package sunward.watch.trouble;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.sql.Types;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HexFormat;
import java.util.List;
import java.util.StringJoiner;
import sunward.protocol.schema.Plan;
import sunward.watch.dives.DiveKey;
import sunward.watch.store.Database;
import sunward.watch.store.MessageStore;
import sunward.watch.store.StoreException;

/** {@code findings.sqlite}: dives beside their rehearsals. Safe for many threads. */
final class FindingStore implements AutoCloseable {
    /** Version of the tables. */
    static final int TABLE_VERSION = 1;

    /** "SunF": marks the file as ours. */
    private static final int APPLICATION_ID = 0x53756e46;

    private static final ObjectMapper JSON = new ObjectMapper();

    private final Path file;
    private final String comparedWith;
    private final Connection connection;

    private FindingStore(Path file, String comparedWith, Connection connection) {
        this.file = file;
        this.comparedWith = comparedWith;
        this.connection = connection;
    }

    /**
     * Opens or makes the file.
     *
     * @param comparedWith names everything but the messages that a row depends on; rows made with another count as missing
     */
    static FindingStore open(Path file, String comparedWith) throws StoreException {
        try {
            Connection connection = Database.openWriter(file, Database.Durability.NORMAL);
            Database.migrate(connection, FindingStore.class, "findings", TABLE_VERSION, APPLICATION_ID);
            return new FindingStore(file, comparedWith, connection);
        } catch (SQLException e) {
            throw new StoreException(Database.sentence(file, e), e);
        }
    }

    /** True when the dive with exactly these messages was compared with exactly this. */
    synchronized boolean has(DiveKey key, String assembled) throws StoreException {
        try (PreparedStatement select = connection.prepareStatement(
                "SELECT 1 FROM comparison WHERE float_number = ? AND dive = ? AND assembled = ? AND compared_with = ?")) {
            select.setInt(1, key.floatNumber());
            select.setInt(2, key.dive());
            select.setString(3, assembled);
            select.setString(4, comparedWith);
            try (ResultSet row = select.executeQuery()) {
                return row.next();
            }
        } catch (SQLException e) {
            throw failed(e);
        }
    }

    /** Findings of a dive, its own first; empty when nothing departs or it was not compared yet. */
    synchronized List<Finding> of(DiveKey key) throws StoreException {
        try (PreparedStatement select = connection.prepareStatement(
                "SELECT findings, earlier FROM comparison WHERE float_number = ? AND dive = ? AND compared_with = ?")) {
            select.setInt(1, key.floatNumber());
            select.setInt(2, key.dive());
            select.setString(3, comparedWith);
            try (ResultSet row = select.executeQuery()) {
                List<Finding> found = new ArrayList<>();
                if (row.next()) {
                    found.addAll(list(row.getString(1)));
                    found.addAll(list(row.getString(2)));
                }
                return found;
            }
        } catch (SQLException e) {
            throw failed(e);
        }
    }

    /**
     * Keeps a comparison, and looks anew at this dive and the later ones of its float that look back on it: the same rows come
     * out in whatever order dives are compared.
     *
     * @param compared null: the dive cannot be compared
     */
    synchronized void put(DiveKey key, String assembled, Compared compared, Plan plan) throws StoreException {
        try {
            insert(key, assembled, compared == null ? nothing(key) : compared);
            List<Compared> dives = dives(key);
            for (int i = 0; i < dives.size(); i++) {
                int ahead = dives.get(i).dive();
                if (ahead >= key.dive()) {
                    List<Compared> window = dives.subList(Math.max(0, i + 1 - EarlierDives.WINDOW), i + 1);
                    setEarlier(new DiveKey(key.floatNumber(), ahead), EarlierDives.findings(window, plan));
                }
            }
            connection.commit();
        } catch (SQLException e) {
            Database.rollBack(connection);
            throw failed(e);
        }
    }

    private static Compared nothing(DiveKey key) {
        return new Compared(key.dive(), Double.NaN, Double.NaN, List.of(), List.of());
    }

    private void insert(DiveKey key, String assembled, Compared compared) throws SQLException {
        try (PreparedStatement put = connection.prepareStatement(
                "INSERT OR REPLACE INTO comparison (float_number, dive,"
                        + " assembled, compared_with, blue, green, heads, findings, earlier) VALUES (?,?,?,?,?,?,?,?,'[]')")) {
            put.setInt(1, key.floatNumber());
            put.setInt(2, key.dive());
            put.setString(3, assembled);
            put.setString(4, comparedWith);
            number(put, 5, compared.blue());
            number(put, 6, compared.green());
            StringJoiner heads = new StringJoiner(",");
            compared.heads().forEach(ratio -> heads.add(Double.isFinite(ratio) ? Double.toString(ratio) : "-"));
            put.setString(7, heads.toString());
            put.setString(8, text(compared.findings()));
            put.executeUpdate();
        }
    }

    private static void number(PreparedStatement put, int column, double value) throws SQLException {
        if (Double.isFinite(value)) {
            put.setDouble(column, value);
        } else {
            put.setNull(column, Types.REAL);
        }
    }

    /** The dives of the float from a window before the key's to a window after it, in order, without their findings. */
    private List<Compared> dives(DiveKey key) throws SQLException {
        List<Compared> dives =
                new ArrayList<>(half(key, "dive < ? ORDER BY dive DESC LIMIT " + (EarlierDives.WINDOW - 1)));
        Collections.reverse(dives);
        dives.addAll(half(key, "dive >= ? ORDER BY dive LIMIT " + EarlierDives.WINDOW));
        return dives;
    }

    private List<Compared> half(DiveKey key, String where) throws SQLException {
        try (PreparedStatement select = connection.prepareStatement(
                "SELECT dive, blue, green, heads FROM comparison WHERE float_number = ? AND compared_with = ? AND "
                        + where)) {
            select.setInt(1, key.floatNumber());
            select.setString(2, comparedWith);
            select.setInt(3, key.dive());
            List<Compared> dives = new ArrayList<>();
            try (ResultSet row = select.executeQuery()) {
                while (row.next()) {
                    List<Double> heads = new ArrayList<>();
                    for (String ratio : row.getString(4).split(",", -1)) {
                        heads.add(ratio.isEmpty() || ratio.equals("-") ? Double.NaN : Double.parseDouble(ratio));
                    }
                    dives.add(new Compared(row.getInt(1), number(row, 2), number(row, 3), heads, List.of()));
                }
            }
            return dives;
        }
    }

    private static double number(ResultSet row, int column) throws SQLException {
        double value = row.getDouble(column);
        return row.wasNull() ? Double.NaN : value;
    }

    private void setEarlier(DiveKey key, List<Finding> findings) throws SQLException {
        try (PreparedStatement put =
                connection.prepareStatement("UPDATE comparison SET earlier = ? WHERE float_number = ? AND dive = ?")) {
            put.setString(1, text(findings));
            put.setInt(2, key.floatNumber());
            put.setInt(3, key.dive());
            put.executeUpdate();
        }
    }

    private static String text(List<Finding> findings) {
        try {
            return JSON.writeValueAsString(findings);
        } catch (JsonProcessingException e) {
            throw new IllegalStateException("findings are two texts each", e);
        }
    }

    private static List<Finding> list(String text) {
        try {
            return List.of(JSON.readValue(text, Finding[].class));
        } catch (JsonProcessingException e) {
            throw new IllegalStateException("the table holds what text() made", e);
        }
    }

    /** Digest over every row, hexadecimal: two stores are identical when these are. */
    synchronized String contents() throws StoreException {
        StringBuilder all = new StringBuilder();
        try (Statement statement = connection.createStatement();
                ResultSet row = statement.executeQuery("SELECT * FROM comparison ORDER BY float_number, dive")) {
            while (row.next()) {
                for (int i = 1; i <= row.getMetaData().getColumnCount(); i++) {
                    all.append(row.getObject(i)).append('\u001f');
                }
            }
            return HexFormat.of().formatHex(MessageStore.digest(all.toString().getBytes(StandardCharsets.UTF_8)));
        } catch (SQLException e) {
            throw failed(e);
        }
    }

    private StoreException failed(SQLException e) {
        return new StoreException(Database.sentence(file, e), e);
    }

    @Override
    public synchronized void close() throws StoreException {
        try {
            connection.close();
        } catch (SQLException e) {
            throw failed(e);
        }
    }
}
