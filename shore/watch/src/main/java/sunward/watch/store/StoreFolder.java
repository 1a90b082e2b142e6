package sunward.watch.store;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.channels.OverlappingFileLockException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;

/**
 * The watch's folder on disk, held by one process at a time.
 *
 * <pre>
 *  messages.sqlite   every payload as received: back this up
 *  derived.sqlite    what was made from it: may be deleted at any time
 *  lock, native/     of the running process
 * </pre>
 */
public final class StoreFolder implements AutoCloseable {
    private final Path folder;
    private final FileChannel lockFile;
    private final FileLock lock;

    private StoreFolder(Path folder, FileChannel lockFile, FileLock lock) {
        this.folder = folder;
        this.lockFile = lockFile;
        this.lock = lock;
    }

    /**
     * Makes the folder where needed and holds it.
     *
     * @throws StoreException when another process holds it or the disk refuses
     */
    public static StoreFolder hold(Path folder) throws StoreException {
        try {
            Files.createDirectories(folder);
            FileChannel channel =
                    FileChannel.open(folder.resolve("lock"), StandardOpenOption.CREATE, StandardOpenOption.WRITE);
            FileLock lock = tryLock(channel);
            if (lock == null) {
                channel.close();
                throw new StoreException(
                        folder + ": another watch is using this folder; stop it first, or give another folder.");
            }
            Database.unpackInto(folder.resolve("native"));
            return new StoreFolder(folder, channel, lock);
        } catch (IOException e) {
            throw new StoreException(
                    folder + ": the folder cannot be used (" + Database.reason(e)
                            + "); give a folder that this user may write to.",
                    e);
        }
    }

    private static FileLock tryLock(FileChannel channel) throws IOException {
        try {
            return channel.tryLock();
        } catch (OverlappingFileLockException e) {
            return null;
        }
    }

    /** The file of raw messages. */
    public Path messages() {
        return folder.resolve("messages.sqlite");
    }

    /** The file of everything that can be made again. */
    public Path derived() {
        return folder.resolve("derived.sqlite");
    }

    /** The file of dives beside their rehearsals; it can be made again, too. */
    public Path findings() {
        return folder.resolve("findings.sqlite");
    }

    /** The folder itself. */
    public Path path() {
        return folder;
    }

    @Override
    public void close() throws StoreException {
        try {
            lock.release();
            lockFile.close();
        } catch (IOException e) {
            throw new StoreException(folder + ": the folder's lock could not be given back.", e);
        }
    }
}
