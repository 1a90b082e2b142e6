package sunward.desk;

/** Input that cannot be used: exit code 2. The message is one sentence with the value, what was expected, what to do. */
final class BadInput extends RuntimeException {
    private static final long serialVersionUID = 1L;

    BadInput(String sentence) {
        super(sentence);
    }
}
