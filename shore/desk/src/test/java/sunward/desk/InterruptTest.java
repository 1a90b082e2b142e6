package sunward.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.File;
import java.io.IOException;
import java.net.URI;
import java.net.URLClassLoader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class InterruptTest {
    @TempDir
    private Path folder;

    /** Where the command's classes are: a test launcher may have loaded them from elsewhere than the class path. */
    static String classPath() {
        return Sunward.class.getClassLoader() instanceof URLClassLoader loader
                ? Stream.of(loader.getURLs())
                        .map(url -> Path.of(URI.create(url.toString())).toString())
                        .collect(Collectors.joining(File.pathSeparator))
                : System.getProperty("java.class.path");
    }

    private List<Path> inside() throws IOException {
        try (Stream<Path> all = Files.list(folder)) {
            return all.filter(path -> !path.endsWith("said")).toList();
        }
    }

    /** The signal of Ctrl-C's kind, in the middle of a rehearsal: one sentence, no stack trace, nothing left. */
    @Test
    void aStoppedRunSaysOneSentenceAndLeavesNothing() throws IOException, InterruptedException {
        Path said = folder.resolve("said");
        Process process = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-Xmx1g",
                        "-cp",
                        classPath(),
                        Sunward.class.getName(),
                        "rehearse",
                        "--out",
                        folder.resolve("run").toString())
                .redirectErrorStream(true)
                .redirectOutput(said.toFile())
                .start();
        while (process.isAlive() && inside().isEmpty()) {
            Thread.sleep(5); // until the hidden directory of the run is there
        }
        process.destroy();
        int exit = process.waitFor();
        assertEquals(143, exit, () -> "128 and the signal's number, as shells tell it");
        List<String> lines = Files.readAllLines(said, StandardCharsets.UTF_8);
        assertEquals(1, lines.size(), lines::toString);
        assertTrue(lines.get(0).startsWith("sunward: stopped;"), lines::toString);
        assertEquals(List.of(), inside());
    }
}
