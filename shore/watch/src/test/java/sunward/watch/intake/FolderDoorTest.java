package sunward.watch.intake;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import java.util.stream.Stream;
import java.util.zip.GZIPOutputStream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;
import org.apache.commons.compress.archivers.tar.TarArchiveEntry;
import org.apache.commons.compress.archivers.tar.TarArchiveOutputStream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import sunward.watch.MadeMessages;
import sunward.watch.health.EventLog;
import sunward.watch.health.Metrics;
import sunward.watch.store.MessageStore;

@Timeout(60)
class FolderDoorTest {
    @TempDir
    Path folder;

    private final List<byte[]> dive = MadeMessages.dive(3, 1, 12, 1);
    private Path watched;
    private MessageStore store;
    private FolderDoor door;

    @BeforeEach
    void open() throws Exception {
        watched = folder.resolve("in");
        store = MessageStore.open(folder.resolve("messages.sqlite"), () -> {});
        EventLog log = new EventLog(
                new PrintStream(OutputStream.nullOutputStream(), false, StandardCharsets.UTF_8), Clock.systemUTC());
        door = FolderDoor.open(watched, new Intake(store, Limits.defaults(), new Metrics(), () -> 0), log);
    }

    @AfterEach
    void close() throws Exception {
        door.close();
        store.close();
    }

    private void put(String name, byte[] bytes) throws IOException {
        Path part = watched.resolve(name + ".part");
        Files.write(part, bytes);
        Files.move(part, watched.resolve(name));
    }

    private void await(Path file) throws InterruptedException {
        while (!Files.exists(file)) {
            Thread.sleep(20);
        }
    }

    private byte[] zip(Object... namesAndBytes) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        try (ZipOutputStream zip = new ZipOutputStream(out)) {
            for (int i = 0; i < namesAndBytes.length; i += 2) {
                zip.putNextEntry(new ZipEntry((String) namesAndBytes[i]));
                zip.write((byte[]) namesAndBytes[i + 1]);
            }
        }
        return out.toByteArray();
    }

    private byte[] gzip(byte[] bytes) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        try (GZIPOutputStream gzip = new GZIPOutputStream(out)) {
            gzip.write(bytes);
        }
        return out.toByteArray();
    }

    private byte[] tar(byte[]... files) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        try (TarArchiveOutputStream tar = new TarArchiveOutputStream(out)) {
            for (int i = 0; i < files.length; i++) {
                TarArchiveEntry entry = new TarArchiveEntry("m" + i + ".msg");
                entry.setSize(files[i].length);
                tar.putArchiveEntry(entry);
                tar.write(files[i]);
                tar.closeArchiveEntry();
            }
        }
        return out.toByteArray();
    }

    @Test
    void takesFilesAndArchivesAndMovesThemAsideAfterTheyAreOnDisk() throws Exception {
        put("a.msg", dive.get(0));
        put("b.zip", zip("x/1", dive.get(1), "../../escape", dive.get(2), "x/", new byte[0]));
        put("c.tar", tar(dive.get(3), dive.get(4)));
        put("d.tgz", gzip(tar(dive.get(5), dive.get(6))));
        put("e.gz", gzip(dive.get(7)));
        for (String name : List.of("a.msg", "b.zip", "c.tar", "d.tgz", "e.gz")) {
            await(watched.resolve("taken").resolve(name));
        }
        assertEquals(8, store.lastId());
        for (int i = 0; i < 8; i++) {
            assertArrayEquals(dive.get(i), store.message(i + 1).bytes(), "message " + i);
            assertEquals("folder", store.message(i + 1).door());
        }
        assertFalse(Files.exists(folder.resolve("escape")) || Files.exists(watched.resolve("../../escape")));
        try (Stream<Path> left = Files.list(watched)) {
            assertEquals(2, left.count(), "only the folders taken and refused are left");
        }
    }

    @Test
    void aSecondFileOfTheSameNameOverwritesNothing() throws Exception {
        put("same.msg", dive.get(0));
        await(watched.resolve("taken/same.msg"));
        put("same.msg", dive.get(1));
        await(watched.resolve("taken/same.msg-2"));
        assertArrayEquals(dive.get(0), Files.readAllBytes(watched.resolve("taken/same.msg")));
        assertEquals(2, store.lastId());
    }

    @Test
    void bombsNestedAndDamagedArchivesAreRefusedWithAReason() throws Exception {
        Object[] many = new Object[2 * (Archives.ENTRIES + 1)];
        for (int i = 0; i < many.length; i += 2) {
            many[i] = "m" + i;
            many[i + 1] = new byte[] {1};
        }
        byte[] whole = zip("1", dive.get(1), "2", dive.get(2));
        put("nested.zip", zip("inner.zip", zip("x", dive.get(0))));
        put("bomb.zip", zip("zeros", new byte[50_000_000]));
        put("bomb.gz", gzip(new byte[50_000_000]));
        put("many.zip", zip(many));
        put("cut.zip", java.util.Arrays.copyOf(whole, whole.length / 3));
        put("nothing.zip", zip());
        put("long.bin", new byte[Limits.MESSAGE_BYTES + 1]);
        put("empty.bin", new byte[0]);
        String[][] expected = {
            {"nested.zip", "archive inside the archive"},
            {"bomb.zip", "no message: 1 to 100000 bytes"},
            {"bomb.gz", "no message: 1 to 100000 bytes"},
            {"many.zip", "more than 10000 files"},
            {"cut.zip", "damaged"},
            {"nothing.zip", "holds no file"},
            {"long.bin", "A message of 100001 bytes"},
            {"empty.bin", "A message of 0 bytes"},
        };
        for (String[] row : expected) {
            Path reason = watched.resolve("refused/" + row[0] + ".reason.txt");
            await(reason);
            String sentence = "";
            while (!sentence.endsWith("\n")) {
                sentence = Files.readString(reason);
            }
            assertTrue(sentence.contains(row[1]), row[0] + ": " + sentence);
            assertTrue(Files.exists(watched.resolve("refused/" + row[0])));
        }
        assertEquals(0, store.lastId());
    }

    @Test
    void linksFoldersAndUnfinishedFilesStayWhereTheyAre() throws Exception {
        Path secret = Files.write(folder.resolve("secret"), dive.get(0));
        Files.createSymbolicLink(watched.resolve("link.msg"), secret);
        Files.createDirectory(watched.resolve("sub"));
        Files.write(watched.resolve("x.part"), dive.get(1));
        Files.write(watched.resolve(".hidden"), dive.get(2));
        put("good.msg", dive.get(3));
        await(watched.resolve("taken/good.msg"));
        assertEquals(1, store.lastId());
        assertTrue(Files.exists(watched.resolve("link.msg")));
    }
}
