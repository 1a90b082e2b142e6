package sunward.desk;

/** Nothing could be decoded: exit code 3. The message is one sentence. */
final class NothingDecodable extends RuntimeException {
    private static final long serialVersionUID = 1L;

    NothingDecodable(String sentence) {
        super(sentence);
    }
}
