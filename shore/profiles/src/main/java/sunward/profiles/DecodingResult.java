package sunward.profiles;

import java.nio.file.Path;
import java.util.List;
import sunward.protocol.message.Message;
import sunward.protocol.message.Verdict;

/**
 * What came of decoding a set of files.
 *
 * @param accepted accepted messages, copies included, in order of files
 * @param rejected files that hold no message to use
 * @param products one per float and dive
 */
public record DecodingResult(List<Message> accepted, List<Rejection> rejected, List<DiveProduct> products) {
    /** A file that holds no message to use, and why. */
    public record Rejection(Path file, Verdict.Reason reason, String sentence) {}

    /** True when no dive could be made: nothing was decodable. */
    public boolean nothingDecodable() {
        return products.isEmpty();
    }
}
