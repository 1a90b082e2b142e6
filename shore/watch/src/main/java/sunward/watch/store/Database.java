package sunward.watch.store;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import org.sqlite.SQLiteConfig;
import org.sqlite.SQLiteErrorCode;
import org.sqlite.SQLiteException;

/** Opens SQLite files the way the watch wants them, and brings their tables up to date by numbered scripts. */
public final class Database {
    static {
        // The driver's logging front end would say on standard error, between our JSON lines, that it has nothing
        // behind it.
        if (System.getProperty("slf4j.internal.verbosity") == null) {
            System.setProperty("slf4j.internal.verbosity", "ERROR");
        }
    }

    private Database() {}

    /** How hard a commit is pressed to disk. */
    public enum Durability {
        /** Each commit is on disk when it returns: for what must never be lost. */
        FULL(SQLiteConfig.SynchronousMode.FULL),
        /** Whole after a crash, though the last commits may be gone after a power cut: for what can be made again. */
        NORMAL(SQLiteConfig.SynchronousMode.NORMAL);

        private final SQLiteConfig.SynchronousMode mode;

        Durability(SQLiteConfig.SynchronousMode mode) {
            this.mode = mode;
        }
    }

    /** A connection that may write. Automatic commit is off. */
    public static Connection openWriter(Path file, Durability durability) throws SQLException {
        SQLiteConfig config = new SQLiteConfig();
        config.setJournalMode(SQLiteConfig.JournalMode.WAL);
        config.setSynchronous(durability.mode);
        config.setBusyTimeout(10_000);
        config.enforceForeignKeys(true);
        config.setJournalSizeLimit(64 << 20);
        Connection connection = config.createConnection("jdbc:sqlite:" + file);
        connection.setAutoCommit(false);
        return connection;
    }

    /** Undoes what a failed transaction did, so that the connection can be used again. */
    public static void rollBack(Connection connection) {
        try {
            connection.rollback();
        } catch (SQLException e) {
            // On a full disk SQLite has undone it already; then the driver begins no new transaction.
            // From there on each statement would count alone, and every commit fail.
            try (Statement statement = connection.createStatement()) {
                statement.execute("BEGIN");
            } catch (SQLException also) {
                // The first failure is on its way out with its sentence, and the next use will fail and tell its own.
            }
        }
    }

    /** A connection that only reads. */
    public static Connection openReader(Path file) throws SQLException {
        SQLiteConfig config = new SQLiteConfig();
        config.setReadOnly(true);
        config.setBusyTimeout(10_000);
        return config.createConnection("jdbc:sqlite:" + file);
    }

    /**
     * Runs the scripts {@code NAME-1.sql}, {@code NAME-2.sql} … beside {@code owner} that this file has not seen, each in a
     * transaction of its own together with its number.
     *
     * @throws StoreException when the file was written by a newer version or by something else
     */
    public static void migrate(Connection connection, Class<?> owner, String name, int latest, int applicationId)
            throws SQLException, StoreException {
        int found = number(connection, "PRAGMA user_version");
        int foundApplication = number(connection, "PRAGMA application_id");
        if (found == 0 && number(connection, "SELECT COUNT(*) FROM sqlite_schema") > 0
                || found > 0 && foundApplication != applicationId) {
            throw new StoreException("The file is a database, but not one of this watch's; give another folder.");
        }
        if (found > latest) {
            throw new StoreException("The store has table version " + found + " and this program knows " + latest
                    + " at most; use the newer program that wrote it.");
        }
        for (int version = found + 1; version <= latest; version++) {
            try (Statement statement = connection.createStatement()) {
                statement.executeUpdate(script(owner, name + "-" + version + ".sql"));
                statement.execute("PRAGMA application_id = " + applicationId);
                statement.execute("PRAGMA user_version = " + version);
            }
            connection.commit();
        }
    }

    /** The first column of the first row, as an int. */
    public static int number(Connection connection, String query) throws SQLException {
        try (Statement statement = connection.createStatement();
                ResultSet row = statement.executeQuery(query)) {
            row.next();
            return row.getInt(1);
        }
    }

    /** What went wrong, for someone who looks after the machine. */
    public static String sentence(Path file, SQLException problem) {
        SQLiteErrorCode code = problem instanceof SQLiteException sqlite
                ? SQLiteErrorCode.getErrorCode(sqlite.getResultCode().code & 0xff)
                : SQLiteErrorCode.UNKNOWN_ERROR;
        String disk = file.toAbsolutePath().getParent() + ": ";
        return switch (code) {
            case SQLITE_FULL -> disk + "the disk is full; make room, and the watch goes on by itself.";
            case SQLITE_READONLY, SQLITE_PERM, SQLITE_CANTOPEN ->
                disk + "the disk cannot be written to; make it writable, and the watch goes on by itself.";
            case SQLITE_CORRUPT, SQLITE_NOTADB ->
                disk + file.getFileName() + " is damaged; stop the watch, keep the file, and go on from a backup.";
            default -> disk + "the store could not be written (" + firstLine(problem) + "); look at the disk.";
        };
    }

    /** Why a file or folder cannot be used; the exceptions of files tell no more than the name of one. */
    public static String reason(IOException problem) {
        if (problem instanceof FileAlreadyExistsException) {
            return "a file of that name is in the way";
        }
        if (problem instanceof NoSuchFileException) {
            return "nothing can be made there";
        }
        if (problem instanceof AccessDeniedException) {
            return "this user may not write there";
        }
        return problem instanceof FileSystemException where && where.getReason() != null
                ? where.getReason()
                : String.valueOf(problem.getMessage());
    }

    private static String firstLine(SQLException problem) {
        String text = String.valueOf(problem.getMessage());
        int end = text.indexOf('\n');
        return end < 0 ? text : text.substring(0, end);
    }

    private static String script(Class<?> owner, String name) {
        try (InputStream in = owner.getResourceAsStream(name)) {
            if (in == null) {
                throw new IllegalStateException("script=" + name + " is missing from the jar");
            }
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        } catch (IOException e) {
            throw new IllegalStateException("script=" + name, e);
        }
    }

    /**
     * SQLite's native part is unpacked on each start, and a killed process leaves its copy behind: keep them in one folder
     * of ours and empty it. Call it only while holding the folder's lock.
     */
    static void unpackInto(Path folder) throws IOException {
        Files.createDirectories(folder);
        try (var old = Files.newDirectoryStream(folder, "sqlite-*")) {
            for (Path file : old) {
                Files.deleteIfExists(file);
            }
        }
        if (System.getProperty("org.sqlite.tmpdir") == null) {
            System.setProperty("org.sqlite.tmpdir", folder.toString());
        }
    }
}
