package sunward.planning;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class OutputDirectoryTest {
    @TempDir
    Path place;

    private List<String> names() throws IOException {
        try (Stream<Path> list = Files.list(place)) {
            return list.map(p -> p.getFileName().toString()).sorted().toList();
        }
    }

    private Path fill(OutputDirectory out, String text) throws IOException {
        Files.createDirectories(out.work().resolve("messages"));
        Files.writeString(out.work().resolve("messages").resolve("one"), text);
        Files.writeString(out.work().resolve(OutputDirectory.RECORD), "{}");
        return out.commit();
    }

    @Test
    void appearsWholeOrNotAtAll() throws IOException {
        try (OutputDirectory out = OutputDirectory.at(place.resolve("made"), false)) {
            Files.writeString(out.work().resolve("half"), "half");
            assertFalse(Files.exists(place.resolve("made")));
        }
        assertEquals(List.of(), names());
        try (OutputDirectory out = OutputDirectory.at(place.resolve("made"), false)) {
            fill(out, "whole");
        }
        assertEquals(List.of("made"), names());
        assertEquals("whole", Files.readString(place.resolve("made/messages/one")));
    }

    @Test
    void takesTheFirstFreeName() throws IOException {
        for (String name : List.of("rehearsal-7", "rehearsal-7-2", "rehearsal-7-3")) {
            try (OutputDirectory out = OutputDirectory.firstFree(place.resolve("rehearsal-7"))) {
                assertEquals(place.resolve(name), fill(out, name));
            }
        }
    }

    @Test
    void keepsWhatIsNotItsOwn() throws IOException {
        Path mine = Files.createDirectory(place.resolve("mine"));
        Files.writeString(mine.resolve("thesis.txt"), "years of work");
        for (boolean force : new boolean[] {false, true}) {
            IOException refused = assertThrows(
                    OutputDirectory.OutputRefused.class,
                    () -> OutputDirectory.at(mine, force).close());
            assertTrue(refused.getMessage().startsWith(mine.toString()), refused.getMessage());
        }
        assertEquals("years of work", Files.readString(mine.resolve("thesis.txt")));
        assertThrows(
                OutputDirectory.OutputRefused.class,
                () -> OutputDirectory.at(mine.resolve("thesis.txt"), true).close());
        assertEquals(List.of("mine"), names());
    }

    @Test
    void replacesAnEarlierRunWhenForced() throws IOException {
        Path run = place.resolve("run");
        try (OutputDirectory out = OutputDirectory.at(run, false)) {
            fill(out, "first");
        }
        Files.writeString(run.resolve("messages/two"), "old");
        assertThrows(
                OutputDirectory.OutputRefused.class,
                () -> OutputDirectory.at(run, false).close());
        try (OutputDirectory out = OutputDirectory.at(run, true)) {
            fill(out, "second");
        }
        assertEquals("second", Files.readString(run.resolve("messages/one")));
        assertFalse(Files.exists(run.resolve("messages/two")));
        assertEquals(List.of("run"), names());
    }

    @Test
    void usesAnEmptyDirectory() throws IOException {
        Path empty = Files.createDirectory(place.resolve("empty"));
        try (OutputDirectory out = OutputDirectory.at(empty, false)) {
            assertEquals(empty, fill(out, "here"));
        }
        assertEquals("here", Files.readString(empty.resolve("messages/one")));
    }
}
