package sunward.desk;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Stream;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;

/** What the bytes of each dive in a directory of messages are spent on; copies count once. */
final class SharesSheet {
    private enum Use {
        HEADER,
        SEAL,
        LEDGER,
        ANCILLARY,
        SPECTRA,
        PARITY,
        OTHER
    }

    private SharesSheet() {}

    /**
     * Adds a table for each float and dive.
     *
     * @return dives shown
     */
    static int describe(Path directory, KeyRing keys, Sheet sheet) throws IOException {
        Map<Integer, List<Message>> dives = new TreeMap<>();
        Set<String> seen = new HashSet<>();
        long rejected = 0;
        long copies = 0;
        long receipts = 0;
        try (Stream<Path> files = Files.walk(directory)) {
            for (Path file : files.filter(Files::isRegularFile).sorted().toList()) {
                Verdict verdict = Files.size(file) > MessageLayout.MAX_MESSAGE_BYTES
                        ? null
                        : MessageReader.read(Files.readAllBytes(file), keys);
                if (verdict instanceof Verdict.Accepted accepted) {
                    Message message = accepted.message();
                    boolean ofDive = message.kind() == Kind.DIVE || message.kind() == Kind.REPAIR;
                    boolean first = seen.add(new String(message.bytes(), StandardCharsets.ISO_8859_1));
                    copies += first ? 0 : 1;
                    receipts += first && message.kind() == Kind.RECEIPT ? 1 : 0;
                    if (ofDive && first) {
                        dives.computeIfAbsent(message.floatNumber() << 12 | message.dive(), dive -> new ArrayList<>())
                                .add(message);
                    }
                } else {
                    rejected++;
                }
            }
        }
        sheet.put("files_without_message", "files that hold no message", rejected, "")
                .put("copies", "copies: delivered twice, or sent again", copies, "")
                .put("receipts", "receipts of orders", receipts, "");
        dives.values().forEach(messages -> shares(messages, sheet));
        return dives.size();
    }

    private static void shares(List<Message> messages, Sheet sheet) {
        Map<Use, Long> bytes = new EnumMap<>(Use.class);
        long all = 0;
        for (Message message : messages) {
            long length = message.bytes().length;
            all += length;
            bytes.merge(Use.HEADER, (long) MessageLayout.HEADER_BYTES, Long::sum);
            bytes.merge(Use.SEAL, length - MessageLayout.HEADER_BYTES - message.bodyLength(), Long::sum);
            bytes.merge(use(message), (long) message.bodyLength(), Long::sum);
        }
        Message any = messages.get(0);
        String key = "float_" + any.floatNumber() + "_dive_" + any.dive();
        List<Sheet.Row> rows = new ArrayList<>();
        for (Use use : Use.values()) {
            long its = bytes.getOrDefault(use, 0L);
            if (its > 0 || use != Use.OTHER) {
                rows.add(new Sheet.Row()
                        .put("bytes", its)
                        .put("percent", 100.0 * its / all, 2)
                        .put("use", use.name().toLowerCase(Locale.ROOT)));
            }
        }
        sheet.heading("Float " + any.floatNumber() + ", dive " + any.dive() + ": " + messages.size() + " messages, "
                        + all + " bytes")
                .table(key, List.of("  bytes", "percent", "spent on"), rows)
                .put(
                        key + "_overhead_bytes_per_message",
                        "header and seal",
                        (bytes.get(Use.HEADER) + bytes.get(Use.SEAL)) / (double) messages.size(),
                        1,
                        "bytes a message");
        if (any.simulated()) {
            sheet.say("  SIMULATED: a simulator made these messages; nothing in them was measured at sea.");
        }
        if (any.unsealed()) {
            sheet.say("  UNSEALED: only a checksum protects these messages; anyone could have made them.");
        }
    }

    private static Use use(Message message) {
        if (message.kind() == Kind.REPAIR) {
            return Use.PARITY;
        }
        BlockType block = BlockType.ofNumber(message.block());
        return block == BlockType.LEDGER
                ? Use.LEDGER
                : block == BlockType.ANCILLARY ? Use.ANCILLARY : block == null ? Use.OTHER : Use.SPECTRA;
    }
}
