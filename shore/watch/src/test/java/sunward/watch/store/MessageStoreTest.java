package sunward.watch.store;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.concurrent.CompletableFuture;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import sunward.watch.store.Receipt.Outcome;

class MessageStoreTest {
    @TempDir
    Path folder;

    private Path file() {
        return folder.resolve("messages.sqlite");
    }

    private static Arrival arrival(byte[] bytes) {
        return new Arrival(bytes, 42, "tcp", "here");
    }

    private static byte[] bytes(long seed, int length) {
        byte[] bytes = new byte[length];
        new SplittableRandom(seed).nextBytes(bytes);
        return bytes;
    }

    @Test
    void keepsEveryMessageOnceAndExactlyAsReceived() throws Exception {
        List<byte[]> sent = new ArrayList<>();
        for (int i = 0; i < 3000; i++) {
            sent.add(bytes(i % 2000, 1 + i % 2000 % 500));
        }
        try (MessageStore store = MessageStore.open(file(), () -> {})) {
            List<CompletableFuture<Receipt>> receipts = new ArrayList<>();
            for (byte[] bytes : sent) {
                receipts.add(store.append(arrival(bytes)));
            }
            for (int i = 0; i < receipts.size(); i++) {
                assertEquals(
                        i < 2000 ? Outcome.STORED : Outcome.REPEATED,
                        receipts.get(i).join().outcome(),
                        "arrival " + i);
            }
            assertEquals(1000, store.repeats());
        }
        try (MessageStore store = MessageStore.open(file(), () -> {})) {
            assertEquals(2000, store.lastId());
            List<StoredMessage> back = store.after(0, 5000);
            assertEquals(2000, back.size());
            for (int i = 0; i < back.size(); i++) {
                assertEquals(i + 1, back.get(i).id());
                assertArrayEquals(sent.get(i), back.get(i).bytes());
                assertEquals(42, back.get(i).arrivalMs());
                assertEquals("tcp", back.get(i).door());
            }
        }
        assertEquals(List.of(), MessageStore.check(file()));
    }

    @Test
    void commitsWhatWaitsTogether() throws Exception {
        List<CompletableFuture<Receipt>> receipts = new ArrayList<>();
        int[] commits = {0};
        try (MessageStore store = MessageStore.open(file(), () -> commits[0]++)) {
            for (int i = 0; i < 5000; i++) {
                receipts.add(store.append(arrival(bytes(i, 340))));
            }
            receipts.forEach(CompletableFuture::join);
        }
        assertTrue(commits[0] < 1000, commits[0] + " commits for 5000 arrivals that were waiting together");
    }

    @Test
    void rawMessagesCannotBeChangedOrDeleted() throws Exception {
        try (MessageStore store = MessageStore.open(file(), () -> {})) {
            store.append(arrival(bytes(1, 10))).join();
            store.append(arrival(bytes(1, 10))).join();
        }
        try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file());
                Statement statement = connection.createStatement()) {
            for (String attack : List.of(
                    "UPDATE message SET bytes = x'00'",
                    "DELETE FROM message",
                    "UPDATE repeat_arrival SET door = 'x'",
                    "DELETE FROM repeat_arrival")) {
                assertThrows(SQLException.class, () -> statement.executeUpdate(attack), attack);
            }
        }
    }

    @Test
    @Timeout(60)
    void fullDiskRefusesWithASentenceLosesNothingAndGoesOnByItself() throws Exception {
        try (MessageStore store = MessageStore.open(file(), () -> {})) {
            int kept = 0;
            for (int i = 0; i < 50; i++) {
                kept += store.append(arrival(bytes(i, 300))).join().kept() ? 1 : 0;
            }
            assertEquals(50, kept);
            store.pragma("PRAGMA max_page_count = " + (Files.size(file()) / 4096 + 2));
            Receipt receipt = Receipt.STORED;
            for (int i = 50; i < 5000 && receipt.kept(); i++) {
                receipt = store.append(arrival(bytes(i, 4000))).join();
                kept += receipt.kept() ? 1 : 0;
            }
            assertEquals(Outcome.REFUSED, receipt.outcome());
            assertTrue(receipt.sentence().contains("the disk is full; make room"), receipt.sentence());
            assertEquals(receipt.sentence(), store.trouble());
            assertEquals(kept, store.after(0, 10_000).size());
            // The next commit opens the file afresh, without the limit: as if room had been made.
            assertEquals(
                    Outcome.STORED,
                    store.append(arrival(bytes(9999, 4000))).join().outcome());
            assertEquals("", store.trouble());
            assertEquals(kept + 1, store.after(0, 10_000).size());
            // Trouble that is over is not told any longer, though nothing more comes.
            store.pragma("PRAGMA max_page_count = 1");
            assertEquals(
                    Outcome.REFUSED,
                    store.append(arrival(bytes(10_000, 8000))).join().outcome());
            while (!store.trouble().isEmpty()) {
                Thread.sleep(20);
            }
            assertEquals(kept + 1, store.after(0, 10_000).size());
        }
        assertEquals(List.of(), MessageStore.check(file()));
    }

    @Test
    void readOnlyDiskRefusesWithASentenceAndGoesOnByItself() throws Exception {
        try (MessageStore store = MessageStore.open(file(), () -> {})) {
            assertTrue(store.append(arrival(bytes(1, 300))).join().kept());
            store.pragma("PRAGMA query_only = ON");
            Receipt receipt = store.append(arrival(bytes(2, 300))).join();
            assertEquals(Outcome.REFUSED, receipt.outcome());
            assertTrue(
                    receipt.sentence().contains("the disk cannot be written to; make it writable"), receipt.sentence());
            assertEquals(
                    Outcome.STORED, store.append(arrival(bytes(2, 300))).join().outcome());
            assertEquals(2, store.lastId());
        }
    }

    @Test
    void backupOfARunningStoreIsWholeAndOpens() throws Exception {
        Path copy = folder.resolve("copy.sqlite");
        try (MessageStore store = MessageStore.open(file(), () -> {})) {
            for (int i = 0; i < 200; i++) {
                store.append(arrival(bytes(i, 340))).join();
            }
            MessageStore.backup(file(), copy);
            store.append(arrival(bytes(200, 340))).join();
            StoreException twice = assertThrows(StoreException.class, () -> MessageStore.backup(file(), copy));
            assertTrue(twice.getMessage().contains("exists already"), twice.getMessage());
        }
        assertEquals(List.of(), MessageStore.check(copy));
        try (MessageStore store = MessageStore.open(copy, () -> {})) {
            assertEquals(200, store.lastId());
        }
    }

    @Test
    void checkNamesAMessageThatIsNotWhatItWas() throws Exception {
        try (MessageStore store = MessageStore.open(file(), () -> {})) {
            for (int i = 0; i < 5; i++) {
                store.append(arrival(bytes(i, 34))).join();
            }
        }
        try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file());
                Statement statement = connection.createStatement()) {
            statement.executeUpdate("DROP TRIGGER message_keeps");
            statement.executeUpdate("UPDATE message SET bytes = x'00' WHERE id = 3");
        }
        assertEquals(List.of("Message 3 does not match its digest."), MessageStore.check(file()));
    }

    @Test
    void refusesFilesThatAreNotItsOwnOrNewer() throws Exception {
        Path other = folder.resolve("other.sqlite");
        try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + other);
                Statement statement = connection.createStatement()) {
            statement.executeUpdate("CREATE TABLE cakes (name TEXT)");
        }
        assertTrue(assertThrows(StoreException.class, () -> MessageStore.open(other, () -> {}))
                .getMessage()
                .contains("not one of this watch's"));
        MessageStore.open(file(), () -> {}).close();
        try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file());
                Statement statement = connection.createStatement()) {
            statement.execute("PRAGMA user_version = 99");
        }
        assertTrue(assertThrows(StoreException.class, () -> MessageStore.open(file(), () -> {}))
                .getMessage()
                .contains("table version 99"));
        Files.writeString(
                folder.resolve("text.sqlite"), "these are the words of a file that is no database\n".repeat(100));
        assertThrows(StoreException.class, () -> MessageStore.open(folder.resolve("text.sqlite"), () -> {}));
    }

    @Test
    void oneFolderOneProcess() throws Exception {
        try (StoreFolder held = StoreFolder.hold(folder)) {
            assertFalse(Files.exists(held.messages()));
            assertTrue(assertThrows(StoreException.class, () -> StoreFolder.hold(folder))
                    .getMessage()
                    .contains("another watch is using this folder"));
        }
        StoreFolder.hold(folder).close();
    }
}
