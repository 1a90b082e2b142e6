package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Random;
import org.apache.commons.compress.archivers.sevenz.SevenZArchiveEntry;
import org.apache.commons.compress.archivers.sevenz.SevenZOutputFile;
import org.apache.commons.compress.archivers.tar.TarArchiveEntry;
import org.apache.commons.compress.archivers.tar.TarArchiveOutputStream;
import org.apache.commons.compress.archivers.zip.ZipArchiveEntry;
import org.apache.commons.compress.archivers.zip.ZipArchiveOutputStream;
import org.apache.commons.compress.compressors.gzip.GzipCompressorOutputStream;
import org.apache.commons.compress.compressors.zstandard.ZstdCompressorOutputStream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Archives written by Apache Commons Compress, read as recordings. */
class RecordingArchiveTest {
    private static final byte[] SCANS = "SUNWARD SCANS 1\n".getBytes(java.nio.charset.StandardCharsets.US_ASCII);

    @TempDir
    private Path place;

    private final Map<String, byte[]> files = new LinkedHashMap<>();

    @BeforeEach
    void recording() {
        String events =
                String.join(",", RecordingFiles.COLUMNS) + "\nboot,17" + ",".repeat(RecordingFiles.COLUMNS.size() - 2);
        files.put("card/events.csv", (events + "\n").getBytes(java.nio.charset.StandardCharsets.UTF_8));
        files.put("card/notes.txt", new byte[5000]);
        files.put("card/scans.bin", SCANS);
    }

    private Path pack(String name) throws IOException {
        Path file = place.resolve(name);
        if (name.endsWith(".7z")) {
            try (SevenZOutputFile out = new SevenZOutputFile(file.toFile())) {
                for (Map.Entry<String, byte[]> one : files.entrySet()) {
                    SevenZArchiveEntry entry = new SevenZArchiveEntry();
                    entry.setName(one.getKey());
                    entry.setSize(one.getValue().length);
                    out.putArchiveEntry(entry);
                    out.write(one.getValue());
                    out.closeArchiveEntry();
                }
            }
            return file;
        }
        try (OutputStream raw = Files.newOutputStream(file)) {
            if (name.endsWith(".zip")) {
                zip(raw);
            } else if (name.endsWith(".tar.gz")) {
                tar(new GzipCompressorOutputStream(raw));
            } else if (name.endsWith(".tar.zst")) {
                tar(new ZstdCompressorOutputStream(raw));
            } else {
                tar(raw);
            }
        }
        return file;
    }

    private void zip(OutputStream raw) throws IOException {
        try (ZipArchiveOutputStream out = new ZipArchiveOutputStream(raw)) {
            for (Map.Entry<String, byte[]> one : files.entrySet()) {
                out.putArchiveEntry(new ZipArchiveEntry(one.getKey()));
                out.write(one.getValue());
                out.closeArchiveEntry();
            }
        }
    }

    private void tar(OutputStream raw) throws IOException {
        try (TarArchiveOutputStream out = new TarArchiveOutputStream(raw)) {
            for (Map.Entry<String, byte[]> one : files.entrySet()) {
                TarArchiveEntry entry = new TarArchiveEntry(one.getKey(), true);
                entry.setSize(one.getValue().length);
                out.putArchiveEntry(entry);
                out.write(one.getValue());
                out.closeArchiveEntry();
            }
        }
    }

    @ParameterizedTest
    @ValueSource(strings = {"a.tar.gz", "a.zip", "a.tar.zst", "a.7z", "a.tar"})
    void everyKindOfArchiveIsReadAndNothingIsUnpackedToDisk(String name) throws IOException {
        Path archive = pack(name);
        long[] booted = {0};
        RecordingFiles.read(archive).play(new MemoryRecording() {
            @Override
            public void boot(long timeMs) {
                booted[0] = timeMs;
            }
        });
        assertTrue(booted[0] == 17);
        try (var left = Files.list(place)) {
            assertTrue(left.allMatch(archive::equals));
        }
    }

    @ParameterizedTest
    @ValueSource(strings = {"a.tar.gz", "a.zip", "a.tar.zst", "a.7z", "a.tar"})
    void tricksWithPathsAreRefusedInOneSentence(String name) throws IOException {
        for (String path :
                new String[] {"../events.csv", "/etc/events.csv", "card/../../scans.bin", "C:\\x\\scans.bin"}) {
            files.put(path, SCANS);
            Path archive = pack(name);
            String sentence = refusal(archive);
            assertTrue(
                    sentence.contains("leads out of its folder") && !sentence.contains("\n"), path + ": " + sentence);
            files.remove(path);
        }
    }

    @Test
    void twoRecordingsInOneArchiveAreRefused() throws IOException {
        files.put("other/scans.bin", SCANS);
        assertTrue(refusal(pack("two.zip")).contains("more than one recording"));
    }

    @Test
    void aMissingFileIsNamed() throws IOException {
        files.remove("card/scans.bin");
        assertTrue(refusal(pack("half.tar.gz")).contains("holds no scans.bin"));
    }

    /** 300 MiB of zeros in a few hundred kB: refused at the bound, whether the entry is wanted or not. */
    @ParameterizedTest
    @ValueSource(strings = {"card/events.csv", "card/ballast"})
    void aBombIsRefusedAtTheBound(String name) throws IOException {
        Path file = place.resolve("bomb.tar.gz");
        byte[] zeros = new byte[1 << 20];
        try (TarArchiveOutputStream out =
                new TarArchiveOutputStream(new GzipCompressorOutputStream(Files.newOutputStream(file)))) {
            TarArchiveEntry entry = new TarArchiveEntry(name);
            entry.setSize(300L << 20);
            out.putArchiveEntry(entry);
            for (int i = 0; i < 300; i++) {
                out.write(zeros);
            }
            out.closeArchiveEntry();
        }
        assertTrue(refusal(file).contains("more than 256 MiB"));
    }

    @Test
    void tooManyEntriesAreRefused() throws IOException {
        for (int i = 0; i <= RecordingArchive.ENTRIES; i++) {
            files.put("card/" + i, new byte[0]);
        }
        assertTrue(refusal(pack("many.zip")).contains("more than 1000 entries"));
    }

    @Test
    void somethingElseIsNoArchive() throws IOException {
        Path file = Files.write(place.resolve("picture"), new byte[] {1, 2, 3});
        assertTrue(refusal(file).contains("is no archive"));
        assertTrue(refusal(Files.write(file, new byte[0])).contains("is no archive"));
    }

    /** Cut short or with bytes changed: a sentence or a sound recording, never another exception. */
    @ParameterizedTest
    @ValueSource(strings = {"a.tar.gz", "a.zip", "a.tar.zst", "a.7z"})
    void spoiltArchivesEndInASentence(String name) throws IOException {
        byte[] sound = Files.readAllBytes(pack(name));
        Random random = new Random(4);
        int refused = 0;
        for (int trial = 0; trial < 200; trial++) {
            ByteArrayOutputStream spoilt = new ByteArrayOutputStream();
            spoilt.write(sound, 0, trial % 2 == 0 ? 6 + random.nextInt(sound.length - 6) : sound.length);
            byte[] bytes = spoilt.toByteArray();
            for (int i = 0; trial % 2 == 1 && i < 3; i++) {
                bytes[6 + random.nextInt(bytes.length - 6)] ^= (byte) (1 + random.nextInt(255));
            }
            Path file = Files.write(place.resolve("spoilt-" + name), bytes);
            try {
                RecordingFiles.read(file);
            } catch (IllegalArgumentException e) {
                refused++;
                assertFalse(e.getMessage().contains("\n"), "trial " + trial);
            }
        }
        assertTrue(refused > 50, "refused " + refused);
    }

    private static String refusal(Path archive) {
        return assertThrows(IllegalArgumentException.class, () -> RecordingFiles.read(archive))
                .getMessage();
    }

    @Test
    void anArchivedDiveIsTheDive() throws IOException {
        MemoryRecording recording = new MemoryRecording();
        recording.boot(1);
        recording.endProfile(2);
        Path directory = place.resolve("plain");
        RecordingFiles.write(recording, directory);
        for (String name : new String[] {"events.csv", "scans.bin"}) {
            files.put("card/" + name, Files.readAllBytes(directory.resolve(name)));
        }
        Path again = place.resolve("again");
        RecordingFiles.write(RecordingFiles.read(pack("dive.tar.zst")), again);
        assertArrayEquals(files.get("card/events.csv"), Files.readAllBytes(again.resolve("events.csv")));
    }
}
