package sunward.profiles;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Stream;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;

/** From files to products: every file is judged, whatever else lies beside it. */
public final class Decoding {
    private Decoding() {}

    /**
     * Decodes message files: one message a file, in any order, with duplicates and foreign files among them.
     *
     * @param filesOrDirectories files, and directories that are searched with all below them
     * @throws IOException with one sentence for the user when one of them is not there or cannot be read
     */
    public static DecodingResult decode(List<Path> filesOrDirectories, ShoreInputs inputs, KeyRing keys)
            throws IOException {
        List<Message> accepted = new ArrayList<>();
        List<DecodingResult.Rejection> rejected = new ArrayList<>();
        for (Path file : files(filesOrDirectories)) {
            Verdict verdict = MessageReader.read(beginning(file), keys);
            if (verdict instanceof Verdict.Accepted yes) {
                accepted.add(yes.message());
            } else if (verdict instanceof Verdict.Rejected no) {
                rejected.add(new DecodingResult.Rejection(file, no.reason(), sentence(no, file)));
            }
        }
        return new DecodingResult(List.copyOf(accepted), List.copyOf(rejected), products(accepted, inputs));
    }

    /**
     * One product for every float and dive among the messages, in this order. Messages that carry no dive, and repair messages of a
     * dive of which nothing else arrived, are left aside.
     */
    public static List<DiveProduct> products(List<Message> accepted, ShoreInputs inputs) {
        Map<Integer, List<Message>> byDive = new TreeMap<>();
        for (Message message : accepted) {
            if (message.kind() == Kind.DIVE || message.kind() == Kind.REPAIR) {
                int key = message.floatNumber() << 12 | message.dive();
                byDive.computeIfAbsent(key, k -> new ArrayList<>()).add(message);
            }
        }
        return byDive.values().stream()
                .filter(messages -> messages.stream().anyMatch(message -> message.kind() == Kind.DIVE))
                .map(messages -> ProcessingChain.process(messages, inputs))
                .toList();
    }

    private static List<Path> files(List<Path> filesOrDirectories) throws IOException {
        List<Path> files = new ArrayList<>();
        for (Path path : filesOrDirectories) {
            if (Files.isDirectory(path)) {
                try (Stream<Path> below = Files.walk(path)) {
                    below.filter(Files::isRegularFile)
                            .sorted(Comparator.naturalOrder())
                            .forEach(files::add);
                }
            } else if (Files.isRegularFile(path)) {
                files.add(path);
            } else {
                throw new IOException(
                        path
                                + " is neither a file nor a directory; give files with one message each, or directories of them.");
            }
        }
        return files;
    }

    /** Of a file that is too long only the beginning was read: its true size is named. */
    private static String sentence(Verdict.Rejected no, Path file) throws IOException {
        return no.reason() == Verdict.Reason.TOO_LONG
                ? Files.size(file) + no.sentence().substring(no.sentence().indexOf(' '))
                : no.sentence();
    }

    /** As many bytes as it takes to judge a file: a message is never longer. */
    private static byte[] beginning(Path file) throws IOException {
        try (InputStream stream = Files.newInputStream(file)) {
            return stream.readNBytes(MessageLayout.MAX_MESSAGE_BYTES + 1);
        } catch (IOException e) {
            throw new IOException(file + " cannot be read; check that it is yours to read.", e);
        }
    }
}
