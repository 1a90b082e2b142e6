package sunward.bench;

import java.io.BufferedOutputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.Message;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.FirstLook;
import sunward.protocol.spectra.FirstLookCodec;
import sunward.protocol.spectra.Outline;
import sunward.protocol.spectra.OutlineCodec;
import sunward.protocol.spectra.OutlineModel;

/**
 * The judge's other process: message files of a directory in, arrays out, nothing else known. {@code DecodeMessages
 * DIRECTORY} reads, in each directory {@code first-look}, {@code outline}, {@code bins} and {@code samples} below it, all files
 * {@code *.message} and writes {@code decoded} beside them. For the outline, {@code places} has a line {@code head depth_m} for
 * every spectrum wanted.
 */
public final class DecodeMessages {
    private static final int MOST_SAMPLES = 1024;

    private DecodeMessages() {}

    /** Decodes. */
    public static void main(String[] arguments) throws IOException {
        Path place = Path.of(arguments[0]);
        for (String tier : List.of("first-look", "outline", "bins", "samples")) {
            Path directory = place.resolve(tier);
            if (!Files.isDirectory(directory)) {
                continue;
            }
            List<Message> messages = OwnCodec.accepted(read(directory));
            try (DataOutputStream out = new DataOutputStream(
                    new BufferedOutputStream(Files.newOutputStream(directory.resolve("decoded"))))) {
                switch (tier) {
                    case "first-look" -> firstLook(only(messages, BlockType.FIRST_LOOK), out);
                    case "outline" -> outline(only(messages, BlockType.OUTLINE), directory, out);
                    default -> bins(OwnCodec.decode(messages), out);
                }
            }
        }
    }

    private static List<byte[]> read(Path directory) throws IOException {
        List<byte[]> messages = new ArrayList<>();
        try (Stream<Path> files = Files.list(directory)) {
            for (Path file : files.filter(f -> f.toString().endsWith(".message"))
                    .sorted()
                    .toList()) {
                messages.add(Files.readAllBytes(file));
            }
        }
        return messages;
    }

    private static Message only(List<Message> messages, BlockType block) {
        return messages.stream()
                .filter(m -> m.block() == block.number())
                .findFirst()
                .orElseThrow(() -> new IllegalStateException("no message of the block " + block));
    }

    private static void firstLook(Message message, DataOutputStream out) throws IOException {
        FirstLook look = new FirstLook(FirstLook.MAX_HEADS, MOST_SAMPLES);
        BlockHeader header = new BlockHeader();
        byte[] body = message.body();
        if (!new FirstLookCodec(MOST_SAMPLES).decode(body, 0, body.length, header, look)) {
            throw new IllegalStateException("a first look of ours is spoilt");
        }
        out.writeInt(header.channelsPerSample);
        out.writeInt(look.heads);
        for (int h = 0; h < look.heads; h++) {
            FirstLook.Head head = look.head(h);
            out.writeInt(head.number);
            out.writeInt(head.topCm);
            out.writeInt(head.bottomCm);
            out.writeInt(head.samples);
            for (int k = 0; k < head.samples; k++) {
                out.writeBoolean(head.lit[k]);
                out.writeInt(head.logSurface[k]);
                out.writeInt(head.logAttenuation[k]);
            }
        }
    }

    private static void outline(Message message, Path directory, DataOutputStream out) throws IOException {
        Outline outline = new Outline();
        BlockHeader header = new BlockHeader();
        OutlineModel model = new OutlineModel();
        byte[] body = message.body();
        if (!new OutlineCodec(model).decode(body, 0, body.length, header, outline)) {
            throw new IllegalStateException("an outline of ours is spoilt");
        }
        out.writeInt(header.samples);
        out.writeInt(header.channelsPerSample);
        double[] log = new double[header.samples];
        for (String line : Files.readAllLines(directory.resolve("places"), StandardCharsets.UTF_8)) {
            String[] word = line.split(" ", -1);
            int index = Integer.parseInt(word[0]) == outline.head[0] ? 0 : 1;
            model.at(outline, index, Double.parseDouble(word[1]), log);
            for (double value : log) {
                out.writeDouble(value);
            }
        }
    }

    private static void bins(List<BinRecord> bins, DataOutputStream out) throws IOException {
        out.writeInt(bins.size());
        for (BinRecord bin : bins) {
            out.writeInt(bin.head);
            out.writeInt(bin.bin);
            out.writeInt(bin.pass);
            out.writeBoolean(bin.shaded);
            out.writeInt(bin.exposureCode);
            out.writeInt(bin.used);
            out.writeInt(bin.pressureMdbar);
            out.writeInt(bin.offsetMm);
            out.writeInt(bin.samples);
            for (int c = 0; c < bin.samples; c++) {
                out.writeInt(bin.counts[c]);
            }
        }
    }
}
