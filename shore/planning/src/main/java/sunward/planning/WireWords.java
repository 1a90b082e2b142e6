package sunward.planning;

/** The numbers of the wire in words (protocol/WIRE.md). */
public final class WireWords {
    private static final String[] FALLBACKS = {
        "none",
        "no heading",
        "tilt in doubt",
        "sun near the zenith",
        "sun down",
        "overcast",
        "stale fix",
        "stale declination",
        "no fix"
    };
    private static final String[] UNSENT = {"none", "message budget"};
    private static final String[] FAULTS = {
        "none",
        "flash write",
        "scan late or missing",
        "stuck pressure",
        "saturated head",
        "no dark at the exposure",
        "first tilt sensor wrong",
        "second tilt sensor wrong",
        "compass stuck",
        "compass reversed",
        "heading spike",
        "reversed pressure",
        "clock jump",
        "restarted under water",
        "watchdog",
        "too deep",
        "a phase too long",
        "not moving",
        "low battery",
        "no fix in time",
        "no link in a session",
        "cut short by a loss of power and made from what memory held",
        "memory for scans full"
    };

    private WireWords() {}

    /** A fallback of the head choice. */
    public static String fallback(int number) {
        return word(FALLBACKS, number);
    }

    /** Why something stayed unsent. */
    public static String unsent(int number) {
        return word(UNSENT, number);
    }

    /** A fault of the float. */
    public static String fault(int number) {
        return word(FAULTS, number);
    }

    private static String word(String[] words, int number) {
        return number >= 0 && number < words.length ? words[number] : "number " + number + " (not known here)";
    }
}
