package sunward.watch.store;

/**
 * What became of one arrival.
 *
 * @param outcome stored, repeated or refused
 * @param sentence why it was refused; empty otherwise
 */
public record Receipt(Outcome outcome, String sentence) {
    /** On disk for the first time. */
    public static final Receipt STORED = new Receipt(Outcome.STORED, "");

    /** On disk, and was there before. */
    public static final Receipt REPEATED = new Receipt(Outcome.REPEATED, "");

    /** Not on disk, and why. */
    public static Receipt refused(String sentence) {
        return new Receipt(Outcome.REFUSED, sentence);
    }

    /** True when the bytes are on disk. */
    public boolean kept() {
        return outcome != Outcome.REFUSED;
    }

    /** The three ends of an arrival. */
    public enum Outcome {
        /** Written and forced to disk. */
        STORED,
        /** The same bytes are on disk already; that they came again is written down. */
        REPEATED,
        /** Not written. */
        REFUSED
    }
}
