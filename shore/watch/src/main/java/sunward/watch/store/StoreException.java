package sunward.watch.store;

/** The store cannot do what was asked; the message is one sentence that says what to do. */
public final class StoreException extends Exception {
    /** Only the sentence. */
    public StoreException(String sentence) {
        super(sentence);
    }

    /** The sentence and what lies behind it. */
    public StoreException(String sentence, Throwable cause) {
        super(sentence, cause);
    }
}
