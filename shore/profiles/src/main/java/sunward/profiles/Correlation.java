package sunward.profiles;

/** Over what an error stays the same. */
public enum Correlation {
    /** New at every bin: averages away. */
    RANDOM("random"),
    /** The same all through one dive, new at the next. */
    DIVE("one dive"),
    /** The same for as long as the float is out. */
    DEPLOYMENT("one deployment");

    private final String words;

    Correlation(String words) {
        this.words = words;
    }

    /** In words, for files and screens. */
    public String words() {
        return words;
    }
}
