package sunward.watch.intake;

import java.io.IOException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import sunward.watch.health.EventLog;
import sunward.watch.store.Database;
import sunward.watch.store.Receipt;

/**
 * A folder into which files are put: one message each, or archives of them. A file is taken when it has kept its size and
 * time from one look to the next; names that start with a dot or end in {@code .part} or {@code .tmp} are still being
 * written. When every message of a file is on disk the file moves to {@code taken/}; what is no message file moves to
 * {@code refused/} with its reason beside it. While the store refuses, files stay where they are and are tried again.
 */
public final class FolderDoor implements AutoCloseable {
    private static final long LOOK_MS = 500;

    /** Files of one look: the rest wait for the next one. */
    private static final int FILES_A_LOOK = 1000;

    private record Seen(long size, long modifiedMs) {}

    private final Path folder;
    private final Path taken;
    private final Path refused;
    private final Intake intake;
    private final EventLog log;
    private final Thread thread;
    private Map<Path, Seen> lastLook = Map.of();
    private volatile boolean closing;

    private FolderDoor(Path folder, Intake intake, EventLog log) {
        this.folder = folder;
        this.taken = folder.resolve("taken");
        this.refused = folder.resolve("refused");
        this.intake = intake;
        this.log = log;
        this.thread = new Thread(this::run, "folder-door");
    }

    /**
     * Starts to look at the folder; makes it where needed.
     *
     * @throws IOException with one sentence when it cannot be written to
     */
    public static FolderDoor open(Path folder, Intake intake, EventLog log) throws IOException {
        FolderDoor door = new FolderDoor(folder, intake, log);
        try {
            Files.createDirectories(door.taken);
            Files.createDirectories(door.refused);
        } catch (IOException e) {
            throw new IOException(
                    folder + ": the watched folder cannot be used (" + Database.reason(e)
                            + "); give a folder that this user may write to.",
                    e);
        }
        door.thread.start();
        return door;
    }

    private void run() {
        while (!closing) {
            try {
                look();
                Thread.sleep(LOOK_MS);
            } catch (InterruptedException e) {
                return;
            } catch (IOException e) {
                log.warn("folder_unreadable", "folder", folder, "sentence", e.getMessage());
                lastLook = Map.of();
            }
        }
    }

    private void look() throws IOException, InterruptedException {
        Map<Path, Seen> now = new HashMap<>();
        List<Path> settled = new ArrayList<>();
        try (DirectoryStream<Path> files = Files.newDirectoryStream(folder)) {
            for (Path file : files) {
                String name = file.getFileName().toString();
                BasicFileAttributes about = attributes(file);
                if (about == null || name.startsWith(".") || name.endsWith(".part") || name.endsWith(".tmp")) {
                    continue;
                }
                Seen seen = new Seen(about.size(), about.lastModifiedTime().toMillis());
                if (seen.equals(lastLook.get(file)) && settled.size() < FILES_A_LOOK) {
                    settled.add(file);
                } else {
                    now.put(file, seen);
                }
            }
        }
        settled.sort(null);
        for (Path file : settled) {
            if (!closing && !take(file)) {
                now.put(file, lastLook.get(file));
            }
        }
        lastLook = now;
    }

    /** Of a plain file; null for a folder, a link, or a file that has just gone. */
    private static BasicFileAttributes attributes(Path file) {
        try {
            BasicFileAttributes about =
                    Files.readAttributes(file, BasicFileAttributes.class, LinkOption.NOFOLLOW_LINKS);
            return about.isRegularFile() ? about : null;
        } catch (IOException e) {
            return null;
        }
    }

    /** True when the file is dealt with; false to try it again later. */
    private boolean take(Path file) throws IOException, InterruptedException {
        List<Archives.Entry> entries;
        try {
            entries = Archives.read(file);
        } catch (Archives.RefusedFile e) {
            refuse(file, e.getMessage());
            return true;
        }
        List<CompletableFuture<Receipt>> receipts = new ArrayList<>(entries.size());
        for (Archives.Entry entry : entries) {
            while (intake.crowded()) {
                TimeUnit.MILLISECONDS.sleep(5);
            }
            receipts.add(intake.accept(entry.bytes(), Intake.Door.FOLDER, entry.name()));
        }
        for (CompletableFuture<Receipt> receipt : receipts) {
            if (!receipt.join().kept()) {
                int length = entries.get(0).bytes().length;
                if (length == 0 || length > Limits.MESSAGE_BYTES) {
                    refuse(file, receipt.join().sentence());
                    return true;
                }
                log.warn(
                        "folder_waits",
                        "file",
                        file.getFileName(),
                        "sentence",
                        receipt.join().sentence());
                return false;
            }
        }
        move(file, taken);
        return true;
    }

    private void refuse(Path file, String sentence) throws IOException {
        Path place = move(file, refused);
        Files.writeString(place.resolveSibling(place.getFileName() + ".reason.txt"), sentence + "\n");
        log.warn("file_refused", "file", file.getFileName(), "sentence", sentence);
    }

    /** Moves a file without ever overwriting another: the second of a name gets "-2" and so on. */
    private static Path move(Path file, Path folder) throws IOException {
        String name = file.getFileName().toString();
        Path place = folder.resolve(name);
        for (int i = 2; Files.exists(place, LinkOption.NOFOLLOW_LINKS); i++) {
            place = folder.resolve(name + "-" + i);
        }
        return Files.move(file, place, StandardCopyOption.ATOMIC_MOVE);
    }

    /** Finishes the file at hand and stops looking. */
    @Override
    public void close() {
        closing = true;
        try {
            thread.join();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }
}
