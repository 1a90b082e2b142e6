package sunward.simulator;

import java.io.BufferedInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Map;
import java.util.TreeMap;
import org.apache.commons.compress.archivers.ArchiveEntry;
import org.apache.commons.compress.archivers.ArchiveInputStream;
import org.apache.commons.compress.archivers.sevenz.SevenZArchiveEntry;
import org.apache.commons.compress.archivers.sevenz.SevenZFile;
import org.apache.commons.compress.archivers.tar.TarArchiveInputStream;
import org.apache.commons.compress.archivers.zip.ZipArchiveInputStream;
import org.apache.commons.compress.compressors.gzip.GzipCompressorInputStream;
import org.apache.commons.compress.compressors.zstandard.ZstdCompressorInputStream;

/**
 * The files of a recording out of an archive: tar, tar.gz, tar.zst, zip or 7z, told apart by what they begin with. Nothing
 * is unpacked to disk; names only say which file an entry is, and one that would lead out of a folder is refused.
 */
final class RecordingArchive {
    /** Most bytes that an archive may hold unpacked, all entries together. */
    static final long UNPACKED_BYTES = 256L << 20;

    /** Most entries in an archive. */
    static final int ENTRIES = 1000;

    private static final int SEVEN_Z_MEMORY_KIB = 256 * 1024;
    private static final int TAR_MAGIC_AT = 257;

    private final Path file;
    private final Iterable<String> wanted;
    private final Map<String, byte[]> found = new TreeMap<>();
    private final byte[] chunk = new byte[1 << 16];
    private String folder;
    private int entries;
    private long bytes;

    private RecordingArchive(Path file, Iterable<String> wanted) {
        this.file = file;
        this.wanted = wanted;
    }

    /**
     * Reads the wanted files, all of one folder of the archive.
     *
     * @param wanted file names
     * @return contents by file name; a file that is not there is not among them
     * @throws IllegalArgumentException with one sentence when it is no archive, damaged, too large or full of tricks
     */
    static Map<String, byte[]> read(Path file, Iterable<String> wanted) throws IOException {
        RecordingArchive archive = new RecordingArchive(file, wanted);
        byte[] start;
        try (InputStream in = Files.newInputStream(file)) {
            start = in.readNBytes(TAR_MAGIC_AT + 5);
        }
        try (InputStream in = new BufferedInputStream(Files.newInputStream(file))) {
            if (starts(start, 0, 'P', 'K', 3, 4)) {
                archive.stream(new ZipArchiveInputStream(in));
            } else if (starts(start, 0, 0x1f, 0x8b)) {
                archive.stream(new TarArchiveInputStream(GzipCompressorInputStream.builder()
                        .setInputStream(in)
                        .setDecompressConcatenated(true)
                        .get()));
            } else if (starts(start, 0, 0x28, 0xb5, 0x2f, 0xfd)) {
                archive.stream(new TarArchiveInputStream(new ZstdCompressorInputStream(in)));
            } else if (starts(start, TAR_MAGIC_AT, 'u', 's', 't', 'a', 'r')) {
                archive.stream(new TarArchiveInputStream(in));
            } else if (starts(start, 0, '7', 'z', 0xbc, 0xaf, 0x27, 0x1c)) {
                archive.sevenZ();
            } else {
                throw archive.refused(
                        "is no archive; give the recording's directory, or a .tar.gz, .tar.zst, .tar, .zip or"
                                + " .7z of it");
            }
        } catch (Refused e) {
            throw e;
        } catch (IOException | RuntimeException e) {
            // The library throws what it likes on hostile bytes; the file is what is wrong.
            throw archive.refused("is damaged or cut short (" + e.getMessage() + "); fetch it again");
        }
        return archive.found;
    }

    private void stream(ArchiveInputStream<? extends ArchiveEntry> archive) throws IOException {
        for (ArchiveEntry entry = archive.getNextEntry(); entry != null; entry = archive.getNextEntry()) {
            if (!archive.canReadEntryData(entry)) {
                throw refused("is packed in a way that is not read here; pack it as a plain .zip or .tar.gz");
            }
            take(entry, archive);
        }
    }

    private void sevenZ() throws IOException {
        try (SevenZFile archive = SevenZFile.builder()
                .setPath(file)
                .setMaxMemoryLimitKiB(SEVEN_Z_MEMORY_KIB)
                .get()) {
            for (SevenZArchiveEntry entry = archive.getNextEntry(); entry != null; entry = archive.getNextEntry()) {
                take(entry, archive.getInputStream(entry));
            }
        }
    }

    private void take(ArchiveEntry entry, InputStream contents) throws IOException {
        if (++entries > ENTRIES) {
            throw refused("holds more than " + ENTRIES + " entries; pack one recording alone");
        }
        if (entry.isDirectory()) {
            return;
        }
        String path = entry.getName().replace('\\', '/');
        if (path.startsWith("/")
                || path.contains(":")
                || Arrays.asList(path.split("/", -1)).contains("..")) {
            throw refused("holds \"" + entry.getName() + "\", which leads out of its folder; pack it anew");
        }
        int slash = path.lastIndexOf('/');
        String name = path.substring(slash + 1);
        boolean keep = false;
        for (String one : wanted) {
            keep |= name.equals(one);
        }
        ByteArrayOutputStream kept = new ByteArrayOutputStream();
        for (int n = contents.read(chunk); n >= 0; n = contents.read(chunk)) {
            bytes += n;
            if (bytes > UNPACKED_BYTES) {
                throw refused("holds more than " + (UNPACKED_BYTES >> 20) + " MiB unpacked; pack one recording alone");
            }
            kept.write(chunk, 0, keep ? n : 0);
        }
        if (keep) {
            String where = path.substring(0, Math.max(0, slash));
            if (found.put(name, kept.toByteArray()) != null || folder != null && !folder.equals(where)) {
                throw refused("holds more than one recording; pack one alone");
            }
            folder = where;
        }
    }

    private Refused refused(String why) {
        return new Refused(file + ": " + why);
    }

    /** One sentence for the user. */
    private static final class Refused extends IllegalArgumentException {
        private static final long serialVersionUID = 1;

        Refused(String sentence) {
            super(sentence);
        }
    }

    private static boolean starts(byte[] bytes, int offset, int... magic) {
        boolean same = bytes.length >= offset + magic.length;
        for (int i = 0; same && i < magic.length; i++) {
            same = (bytes[offset + i] & 0xff) == magic[i];
        }
        return same;
    }
}
