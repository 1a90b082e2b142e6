package sunward.watch.alerts;

import java.nio.charset.StandardCharsets;
import java.util.HexFormat;
import sunward.watch.dives.DiveKey;
import sunward.watch.store.MessageStore;

/**
 * Something that needs a person.
 *
 * @param topic what it is about, without the figures that change while it lasts: by topic and dive an alert is known again
 * @param what in a few plain words
 * @param why the evidence, and what to look at
 * @param dive which dive, or null: the watch itself
 */
public record Alert(String topic, String what, String why, DiveKey dive) {
    /** The same text for the same topic and dive, on every day and machine. */
    public String id() {
        String named = dive == null ? topic : topic + " of " + dive.floatNumber() + "/" + dive.dive();
        return HexFormat.of().formatHex(MessageStore.digest(named.getBytes(StandardCharsets.UTF_8)), 0, 8);
    }
}
