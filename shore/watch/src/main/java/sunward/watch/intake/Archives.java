package sunward.watch.intake;

import java.io.BufferedInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.apache.commons.compress.archivers.ArchiveEntry;
import org.apache.commons.compress.archivers.ArchiveInputStream;
import org.apache.commons.compress.archivers.tar.TarArchiveInputStream;
import org.apache.commons.compress.archivers.zip.ZipArchiveInputStream;
import org.apache.commons.compress.compressors.gzip.GzipCompressorInputStream;

/**
 * Takes messages out of a file that is one message, or a zip, tar, gzipped tar or gzipped message. Works in memory: names
 * inside an archive are never used as paths. An archive inside an archive is refused.
 */
final class Archives {
    /** Largest file that is looked at. */
    static final long FILE_BYTES = 32L << 20;

    /** Most messages in one archive. */
    static final int ENTRIES = 10_000;

    /** Most bytes that an archive may hold unpacked. */
    static final long UNPACKED_BYTES = 64L << 20;

    private static final int TAR_MAGIC_OFFSET = 257;

    /**
     * A message in a file.
     *
     * @param name the file's name, and the name inside the archive
     * @param bytes the message
     */
    // Handed on once, never compared.
    @SuppressWarnings("ArrayRecordComponent")
    record Entry(String name, byte[] bytes) {}

    private Archives() {}

    /** A file that holds nothing to take; the message is one sentence. */
    static final class RefusedFile extends IOException {
        RefusedFile(String sentence) {
            super(sentence);
        }
    }

    /**
     * Every message of the file.
     *
     * @throws RefusedFile when it is too large, damaged or nested
     */
    static List<Entry> read(Path file) throws IOException {
        String name = file.getFileName().toString();
        if (Files.size(file) > FILE_BYTES) {
            throw new RefusedFile("The file has " + Files.size(file) + " bytes; files of up to " + FILE_BYTES
                    + " bytes are taken. Give it in smaller parts.");
        }
        byte[] bytes = Files.readAllBytes(file);
        if (isZip(bytes)) {
            return unpack(name, new ZipArchiveInputStream(Files.newInputStream(file)));
        }
        if (isTar(bytes)) {
            return unpack(name, new TarArchiveInputStream(Files.newInputStream(file)));
        }
        if (!isGzip(bytes)) {
            return List.of(new Entry(name, bytes));
        }
        try (InputStream packed = gunzip(file)) {
            byte[] start = packed.readNBytes(512);
            if (isTar(start)) {
                InputStream again = gunzip(file);
                return unpack(name, new TarArchiveInputStream(new BufferedInputStream(again)));
            }
            byte[] rest = packed.readNBytes(Limits.MESSAGE_BYTES + 1);
            byte[] whole = new byte[start.length + rest.length];
            System.arraycopy(start, 0, whole, 0, start.length);
            System.arraycopy(rest, 0, whole, start.length, rest.length);
            return List.of(message(name, whole));
        } catch (RefusedFile e) {
            throw e;
        } catch (IOException e) {
            throw new RefusedFile("The compressed file is damaged (" + e.getMessage() + "); fetch it again.");
        }
    }

    private static List<Entry> unpack(String name, ArchiveInputStream<? extends ArchiveEntry> archive)
            throws IOException {
        List<Entry> found = new ArrayList<>();
        long total = 0;
        int entries = 0;
        try (archive) {
            for (ArchiveEntry entry = archive.getNextEntry(); entry != null; entry = archive.getNextEntry()) {
                if (++entries > ENTRIES) {
                    throw new RefusedFile(
                            "The archive holds more than " + ENTRIES + " files; give it in smaller parts.");
                }
                if (entry.isDirectory() && archive.read() < 0) {
                    continue;
                }
                if (!archive.canReadEntryData(entry)) {
                    throw new RefusedFile(
                            "The archive is packed in a way that is not read here; pack it as a plain zip.");
                }
                byte[] bytes = archive.readNBytes(Limits.MESSAGE_BYTES + 1);
                total += bytes.length;
                if (total > UNPACKED_BYTES) {
                    throw new RefusedFile("The archive holds more than " + UNPACKED_BYTES
                            + " bytes unpacked; give it in smaller parts.");
                }
                found.add(message(name + " > " + entry.getName(), bytes));
            }
        } catch (RefusedFile e) {
            throw e;
        } catch (IOException | IllegalArgumentException e) {
            throw new RefusedFile("The archive is damaged (" + e.getMessage() + "); fetch it again.");
        }
        if (found.isEmpty()) {
            throw new RefusedFile("The archive holds no file.");
        }
        return found;
    }

    private static InputStream gunzip(Path file) throws IOException {
        return GzipCompressorInputStream.builder()
                .setInputStream(Files.newInputStream(file))
                .setDecompressConcatenated(true)
                .get();
    }

    private static Entry message(String name, byte[] bytes) throws RefusedFile {
        if (isZip(bytes) || isGzip(bytes) || isTar(bytes)) {
            throw new RefusedFile("There is an archive inside the archive; unpack it and give the files.");
        }
        if (bytes.length == 0 || bytes.length > Limits.MESSAGE_BYTES) {
            throw new RefusedFile(
                    "The archive holds a file that is no message: 1 to " + Limits.MESSAGE_BYTES + " bytes are taken.");
        }
        return new Entry(name, bytes);
    }

    private static boolean isZip(byte[] bytes) {
        return starts(bytes, 0, 'P', 'K', 3, 4) || starts(bytes, 0, 'P', 'K', 5, 6);
    }

    private static boolean isGzip(byte[] bytes) {
        return starts(bytes, 0, 0x1f, 0x8b, 8);
    }

    private static boolean isTar(byte[] bytes) {
        return starts(bytes, TAR_MAGIC_OFFSET, 'u', 's', 't', 'a', 'r');
    }

    private static boolean starts(byte[] bytes, int offset, int... magic) {
        if (bytes.length < offset + magic.length) {
            return false;
        }
        for (int i = 0; i < magic.length; i++) {
            if ((bytes[offset + i] & 0xff) != magic[i]) {
                return false;
            }
        }
        return true;
    }
}
