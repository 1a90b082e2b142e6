package sunward.desk;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Parameters;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;

/** {@code show}: one message in words and units. */
@Command(
        name = "show",
        description =
                "Show one message field by field, in words and units, or the reason why it is rejected; of a directory"
                        + " of messages, what the bytes of each dive are spent on.",
        footerHeading = "%nExample: the first message of a rehearsal%n",
        footer = {"  sunward show rehearsal-1/messages/0001-*.msg"})
final class ShowCommand implements Callable<Integer> {
    private final Console console;

    @Mixin
    private CommonOptions common;

    @Mixin
    private PlanOption plan;

    @Mixin
    private KeyOption keys;

    @Parameters(paramLabel = "FILE|DIR", description = "A message file, as received, or a directory of them.")
    private Path file;

    ShowCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() throws IOException {
        if (Files.isDirectory(file)) {
            return shares();
        }
        byte[] bytes = InputFiles.bytes(file, "message", MessageLayout.MAX_MESSAGE_BYTES);
        Verdict verdict = MessageReader.read(bytes, keys.ring());
        Sheet sheet = new Sheet();
        if (verdict instanceof Verdict.Rejected rejected) {
            String reason = rejected.reason().name().toLowerCase(Locale.ROOT);
            sheet.put("verdict", "verdict", "rejected")
                    .put("reason", "reason", reason.replace('_', ' '))
                    .put("sentence", "which means", rejected.sentence())
                    .put("bytes", "length", bytes.length, "bytes")
                    .print(console, common.json());
            return Failures.NOTHING_DECODABLE;
        }
        sheet.put("verdict", "verdict", "accepted");
        MessageSheet.describe(
                ((Verdict.Accepted) verdict).message(), plan.read().getPlan(), sheet);
        sheet.print(console, common.json());
        return Failures.DONE;
    }

    private int shares() throws IOException {
        Sheet sheet = new Sheet();
        if (SharesSheet.describe(file, keys.ring(), sheet) == 0) {
            throw new BadInput(file + ": no message of a dive that can be read here; name a directory of message files"
                    + " and, if they are sealed, the key file");
        }
        sheet.print(console, common.json());
        return Failures.DONE;
    }
}
