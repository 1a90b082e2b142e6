package sunward.watch.health;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.PrintStream;
import java.time.Clock;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.LinkedHashMap;
import java.util.Map;

/** The watch's log: one JSON object a line, with {@code time}, {@code level}, {@code event} and what belongs to it. */
public final class EventLog {
    private static final ObjectMapper JSON = new ObjectMapper();

    private final PrintStream out;
    private final Clock clock;

    /** Writes to {@code out}, which must encode as UTF-8. */
    public EventLog(PrintStream out, Clock clock) {
        this.out = out;
        this.clock = clock;
    }

    /** Something happened as it should. */
    public void info(String event, Object... namesAndValues) {
        write("info", event, namesAndValues);
    }

    /** Something that a person should know of. */
    public void warn(String event, Object... namesAndValues) {
        write("warning", event, namesAndValues);
    }

    private void write(String level, String event, Object... namesAndValues) {
        Map<String, Object> line = new LinkedHashMap<>();
        line.put("time", Instant.now(clock).truncatedTo(ChronoUnit.MILLIS).toString());
        line.put("level", level);
        line.put("event", event);
        for (int i = 0; i + 1 < namesAndValues.length; i += 2) {
            Object value = namesAndValues[i + 1];
            line.put(String.valueOf(namesAndValues[i]), value instanceof Number ? value : String.valueOf(value));
        }
        try {
            String text = JSON.writeValueAsString(line);
            synchronized (out) {
                out.print(text + "\n");
                out.flush();
            }
        } catch (JsonProcessingException e) {
            throw new IllegalStateException("event=" + event, e);
        }
    }
}
