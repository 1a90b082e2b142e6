package sunward.bench;

import java.io.File;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.stream.Stream;

/** Programs of the machine, run in a directory that is gone afterwards. */
final class CommandLine implements AutoCloseable {
    private final Path place;

    CommandLine() {
        try {
            place = Files.createTempDirectory("codec-bench");
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** True when a program of this name is on the path. */
    static boolean has(String program) {
        String path = System.getenv().getOrDefault("PATH", "");
        for (String directory : path.split(File.pathSeparator, -1)) {
            if (Files.isExecutable(Path.of(directory, program))) {
                return true;
            }
        }
        return false;
    }

    /** A file of the directory. */
    Path file(String name) {
        return place.resolve(name);
    }

    /** Runs a program to its end in the directory. */
    void run(List<String> command) {
        try {
            Path said = file("said");
            Process process = new ProcessBuilder(new ArrayList<>(command))
                    .directory(place.toFile())
                    .redirectErrorStream(true)
                    .redirectOutput(said.toFile())
                    .start();
            int exit = process.waitFor();
            if (exit != 0) {
                throw new IllegalStateException(command.get(0) + " ended with " + exit + " and said: "
                        + Files.readString(said, StandardCharsets.UTF_8).strip());
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException(command.get(0) + " was interrupted", e);
        }
    }

    @Override
    public void close() {
        delete(place);
    }

    /** A directory and all in it. */
    static void delete(Path directory) {
        try (Stream<Path> all = Files.walk(directory)) {
            for (Path path : all.sorted(Comparator.reverseOrder()).toList()) {
                Files.delete(path);
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
