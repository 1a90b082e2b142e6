package sunward.watch;

/** The watch cannot start as it was told to; the message is one sentence that says what to do. */
public final class WatchException extends Exception {
    /** The sentence and what lies behind it; {@code cause} may be null. */
    public WatchException(String sentence, Throwable cause) {
        super(sentence, cause);
    }
}
