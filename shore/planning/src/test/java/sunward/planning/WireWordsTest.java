package sunward.planning;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.function.IntFunction;
import org.junit.jupiter.api.Test;

/** The words that shore has for the float's numbers are those of WIRE.md, section 2. */
class WireWordsTest {
    @Test
    void wordsAreThoseOfWireMd() throws IOException {
        String text = Files.readString(Path.of("..", "..", "protocol", "WIRE.md"), StandardCharsets.UTF_8);
        check(text, "Fallbacks of the head choice: ", WireWords::fallback, 0);
        check(text, " Faults: ", WireWords::fault, 1);
        check(text, " Unsent reasons: 0 nothing unsent, ", WireWords::unsent, 1);
    }

    private static void check(String text, String start, IntFunction<String> words, int first) {
        int from = text.indexOf(start) + start.length();
        assertTrue(from >= start.length(), start);
        String[] list = text.substring(from, text.indexOf('.', from)).split(", ", -1);
        for (int i = 0; i < list.length; i++) {
            assertEquals((first + i) + " " + words.apply(first + i), list[i]);
        }
        assertTrue(words.apply(first + list.length).endsWith("(not known here)"), "more words than WIRE.md has");
    }
}
