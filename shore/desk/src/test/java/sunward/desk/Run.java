package sunward.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;

/** One run of the real command, in this process, with its streams caught. */
record Run(int exitCode, String out, String err) {
    static Run of(String... arguments) {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        ByteArrayOutputStream err = new ByteArrayOutputStream();
        int exitCode = Sunward.run(
                new Console(
                        new PrintStream(out, true, StandardCharsets.UTF_8),
                        new PrintStream(err, true, StandardCharsets.UTF_8),
                        false,
                        false),
                arguments);
        return new Run(exitCode, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
    }

    /** The result as JSON. */
    JsonNode json() {
        return parse(out);
    }

    /** The error as JSON. */
    JsonNode jsonError() {
        return parse(err);
    }

    /** Checks that the run failed with one sentence on standard error and nothing on standard output. */
    void failedWith(int code, String... words) {
        assertEquals(code, exitCode, this::toString);
        assertEquals("", out);
        assertEquals(1, err.lines().count(), this::toString);
        assertFalse(err.contains("\tat ") || err.contains("Exception"), this::toString);
        for (String word : words) {
            assertTrue(err.contains(word), () -> "expected \"" + word + "\" in: " + err);
        }
    }

    private static JsonNode parse(String text) {
        try {
            return new ObjectMapper().readTree(text);
        } catch (IOException e) {
            throw new UncheckedIOException(text, e);
        }
    }
}
