package sunward.planning;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.DirectoryNotEmptyException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.Comparator;
import java.util.List;
import java.util.function.IntFunction;
import java.util.stream.Stream;

/**
 * A directory of results that appears whole or not at all. Files are written into a hidden sibling; {@link #commit}
 * forces them to disk and renames the sibling; closing without commit, or an interrupt, removes it.
 */
public final class OutputDirectory implements AutoCloseable {
    /** The file that marks a directory as written by this program: only such a one may be replaced. */
    public static final String RECORD = "run.json";

    private final IntFunction<Path> names;
    private final boolean replace;
    private final Path work;
    private final Thread removal = new Thread(this::removeQuietly);
    private boolean done;

    private OutputDirectory(IntFunction<Path> names, boolean replace) throws IOException {
        this.names = names;
        this.replace = replace;
        Path target = names.apply(1).toAbsolutePath();
        Path parent = target.getParent();
        if (parent == null) {
            throw new OutputRefused(target + ": this cannot be an output directory; name a new one.");
        }
        Files.createDirectories(parent);
        work = createHidden(
                parent,
                "." + target.getFileName() + "-unfinished-"
                        + ProcessHandle.current().pid());
        Runtime.getRuntime().addShutdownHook(removal);
    }

    /** Not a temporary directory of the library: its permissions would stay for the owner alone. */
    private static Path createHidden(Path parent, String name) throws IOException {
        for (int n = 1; ; n++) {
            try {
                return Files.createDirectory(parent.resolve(name + "-" + n));
            } catch (FileAlreadyExistsException e) {
                // Taken by another run of this process: try the next.
            }
        }
    }

    /**
     * A directory that must be new or empty.
     *
     * @param target where the results shall be
     * @param replace true to replace the results of an earlier run that stand there
     * @throws OutputRefused with one sentence when the target cannot be used
     */
    public static OutputDirectory at(Path target, boolean replace) throws IOException {
        refuseUnlessFree(target, replace);
        return new OutputDirectory(n -> target, replace);
    }

    /** The first free of {@code base}, {@code base-2}, {@code base-3} and so on. */
    public static OutputDirectory firstFree(Path base) throws IOException {
        return new OutputDirectory(n -> n == 1 ? base : base.resolveSibling(base.getFileName() + "-" + n), false);
    }

    /** Where to write until {@link #commit}. */
    public Path work() {
        return work;
    }

    /**
     * Makes the results appear.
     *
     * @return the directory that now holds them
     */
    public Path commit() throws IOException {
        force();
        boolean fixed = names.apply(1).equals(names.apply(2));
        for (int n = 1; ; n++) {
            Path target = names.apply(n);
            if (!fixed && Files.exists(target)) {
                continue;
            }
            if (fixed) {
                refuseUnlessFree(target, replace);
                remove(target);
            }
            try {
                move(target);
            } catch (FileAlreadyExistsException | DirectoryNotEmptyException e) {
                if (fixed) {
                    throw e;
                }
                continue;
            }
            finish();
            return target;
        }
    }

    @Override
    public void close() {
        if (!done) {
            removeQuietly();
            finish();
        }
    }

    private void move(Path target) throws IOException {
        try {
            Files.move(work, target, StandardCopyOption.ATOMIC_MOVE);
        } catch (AtomicMoveNotSupportedException e) {
            Files.move(work, target);
        }
    }

    private void finish() {
        done = true;
        try {
            Runtime.getRuntime().removeShutdownHook(removal);
        } catch (IllegalStateException e) {
            // The machine is already going down; the hook finds nothing left to remove.
        }
    }

    private static void refuseUnlessFree(Path target, boolean replace) throws IOException {
        if (!Files.exists(target)) {
            return;
        }
        if (!Files.isDirectory(target)) {
            throw new OutputRefused(target + ": this is a file; name a new or empty directory for the output.");
        }
        try (Stream<Path> inside = Files.list(target)) {
            if (inside.findAny().isEmpty()) {
                return;
            }
        }
        if (!replace) {
            throw new OutputRefused(
                    target + ": the output directory is not empty; name a new one, or use --force to replace it.");
        }
        if (!Files.isRegularFile(target.resolve(RECORD))) {
            throw new OutputRefused(target + ": holds no " + RECORD
                    + ", so it was not written by this program and will not be replaced; name another directory.");
        }
    }

    private void force() throws IOException {
        for (Path file : walk(work)) {
            if (Files.isRegularFile(file)) {
                try (FileChannel channel = FileChannel.open(file, StandardOpenOption.WRITE)) {
                    channel.force(true);
                }
            }
        }
    }

    private void removeQuietly() {
        try {
            remove(work);
        } catch (IOException e) {
            // Nothing more can be done; the name says that it is unfinished.
        }
    }

    private static void remove(Path directory) throws IOException {
        for (Path path : walk(directory)) {
            Files.deleteIfExists(path);
        }
    }

    /** Everything below and the directory itself, the deepest first; nothing when it does not exist. */
    private static List<Path> walk(Path directory) throws IOException {
        try (Stream<Path> all = Files.walk(directory)) {
            return all.sorted(Comparator.reverseOrder()).toList();
        } catch (NoSuchFileException e) {
            return List.of();
        }
    }

    /** The output cannot go where it was asked to; the message is one sentence for the user. */
    public static final class OutputRefused extends IOException {
        private static final long serialVersionUID = 1;

        OutputRefused(String sentence) {
            super(sentence);
        }
    }
}
