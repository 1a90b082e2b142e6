package sunward.protocol.plan;

/** A plan that cannot be used; the message is one sentence for the person who wrote it. */
public final class PlanException extends RuntimeException {
    private static final long serialVersionUID = 1L;

    /**
     * Makes the exception.
     *
     * @param sentence source, line, field, what was expected and what to do, in one sentence
     */
    public PlanException(String sentence) {
        super(sentence);
    }

    /** A problem of a source at a line counted from 1; 0: no line is known. */
    static PlanException at(String source, int line, String problem) {
        return new PlanException(line > 0 ? source + ", line " + line + ": " + problem : source + ": " + problem);
    }
}
