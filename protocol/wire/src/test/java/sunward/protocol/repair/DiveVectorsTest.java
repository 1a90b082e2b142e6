package sunward.protocol.repair;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import sunward.protocol.bits.BodyWriter;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.message.Verdict;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Codecs;

/**
 * The files of {@code test-vectors/dives/v0}: small invented dives as sent, and what comes of them when some messages are
 * lost. Written anew with {@code -Dtest.jvm.arguments=-Dsunward.vectors=write}.
 */
class DiveVectorsTest {
    private static final Path FOLDER = Path.of("..", "..", "test-vectors", "dives", "v0");
    private static final HexFormat HEX = HexFormat.of();
    private static final byte[] KEY = HEX.parseHex("000102030405060708090a0b0c0d0e0f101112131415161718191a1b1c1d1e1f");
    private static final int FLOAT = 77;
    private static final int DIVE = 12;
    private static final int DATA = 6;
    private static final int REPAIRS = 3;
    private static final int MESSAGE_BYTES = 160;

    /** Lost positions separated by spaces; the unsealed dive has a checksum for a seal. */
    @ParameterizedTest
    @CsvSource({"complete, ''", "repaired, 0 3 7", "lossy, 1 3 4 8", "unsealed, 2"})
    void filesAndCodeAgreeToTheLetter(String name, String lost) throws IOException {
        byte[] key = "unsealed".equals(name) ? null : KEY;
        List<byte[]> dive = new DiveOf(new MessageWriter(key, MESSAGE_BYTES), new ArrayList<>()).make();
        Path file = FOLDER.resolve(name + ".txt");
        String text = text(key, dive, lost);
        if ("write".equals(System.getProperty("sunward.vectors"))) {
            Files.createDirectories(FOLDER);
            Files.writeString(file, text, StandardCharsets.UTF_8);
        }
        assertEquals(text, Files.readString(file, StandardCharsets.UTF_8), name);
    }

    private static String text(byte[] key, List<byte[]> dive, String lost) {
        List<String> gone =
                Stream.of(lost.split(" ")).filter(word -> !word.isEmpty()).toList();
        KeyRing ring = key == null ? KeyRing.none() : KeyRing.of(Map.of(FLOAT, key));
        List<Message> arrived = new ArrayList<>();
        StringBuilder text = new StringBuilder(
                "# Sunward wire version 0, invented data; ../../README.md says how to read this file.\n");
        text.append("key = ").append(key == null ? "none" : HEX.formatHex(key)).append('\n');
        for (int i = 0; i < dive.size(); i++) {
            text.append("sent ")
                    .append(i)
                    .append(" = ")
                    .append(HEX.formatHex(dive.get(i)))
                    .append('\n');
            if (!gone.contains(String.valueOf(i))) {
                arrived.add(((Verdict.Accepted) MessageReader.read(dive.get(i), ring)).message());
            }
        }
        text.append("lost = ").append(gone.isEmpty() ? "none" : lost).append('\n');
        Repair.Restored restored = Repair.restore(arrived);
        for (Message message : restored.messages()) {
            text.append(String.format(
                    Locale.ROOT,
                    "derived %d = kind %s, block %d, part %d, body %s\n",
                    message.position(),
                    message.kind(),
                    message.block(),
                    message.part(),
                    HEX.formatHex(message.body())));
        }
        String missing = Stream.iterate(0, i -> i < DATA, i -> i + 1)
                .filter(i -> Stream.concat(arrived.stream(), restored.messages().stream())
                        .noneMatch(message -> message.position() == i))
                .map(String::valueOf)
                .collect(Collectors.joining(" "));
        return text.append("missing = ")
                .append(missing.isEmpty() ? "none" : missing)
                .append('\n')
                .toString();
    }

    /** Six data messages (ledger, first bins, ancillary, more bins, ledger again) and three repair messages. */
    private record DiveOf(MessageWriter writer, List<byte[]> sent) {
        List<byte[]> make() {
            ledger(0, 0);
            bins(1, 0, 1, 8);
            bins(2, 1, 2, 3);
            bins(3, 2, 9, 5);
            ancillary(4);
            ledger(5, 1);
            repair();
            return sent;
        }

        private void finish(int bodyLength) {
            sent.add(Arrays.copyOf(writer.buffer(), writer.finish(bodyLength)));
        }

        private void ledger(int position, int part) {
            writer.begin(Kind.DIVE, true, FLOAT, DIVE, position, BlockType.LEDGER.number(), part);
            BodyWriter body = new BodyWriter();
            body.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit());
            body.varint(1, 850_690_245);
            body.varint(2, 850_693_200);
            body.sint(4, -12);
            body.varint(11, DATA);
            finish(body.length());
        }

        private void ancillary(int position) {
            writer.begin(Kind.DIVE, true, FLOAT, DIVE, position, BlockType.ANCILLARY.number(), 0);
            BodyWriter body = new BodyWriter();
            body.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit());
            int[][] fields = {{100, 900, 4000}, {29_100, -120, -3400}, {33_900, 40, 610}};
            for (int field = 1; field <= fields.length; field++) {
                int mark = body.open(field);
                for (int difference : fields[field - 1]) {
                    body.packedSint(difference);
                }
                body.close(mark);
            }
            finish(body.length());
        }

        private void bins(int position, int part, int first, int count) {
            writer.begin(Kind.DIVE, true, FLOAT, DIVE, position, BlockType.BINS.number(), part);
            BlockHeader header = new BlockHeader();
            header.codec = 1;
            header.head = part % 2;
            header.samples = 12;
            header.channelsPerSample = 4;
            header.gainSixteenths = 61;
            header.readNoiseQuarters = 32;
            header.calibrationTag = 0xcafe0102;
            header.planTag = 0x0badf00d;
            BlockCodec.Encoder encoder = Codecs.ofNumber(header.codec).encoder(header.samples);
            int limit = writer.bodyLimit() - RepairLayout.RESERVED_BYTES;
            encoder.begin(writer.buffer(), writer.bodyOffset(), limit, header);
            for (int n = 0; n < count; n++) {
                encoder.add(bin(header, first + n), 8);
            }
            finish(encoder.finish());
        }

        private static BinRecord bin(BlockHeader header, int number) {
            BinRecord bin = new BinRecord(header.samples);
            bin.head = header.head;
            bin.bin = number;
            bin.exposureCode = 3;
            bin.used = 6;
            bin.timeS = 850_693_190 - 7L * number;
            bin.pressureMdbar = 300 + 200 * number;
            bin.offsetMm = 250;
            bin.tiltCdeg = 150;
            bin.antisunDeg = 40 + number;
            bin.darkCounts = 512;
            bin.darkScans = 4;
            bin.samples = header.samples;
            for (int i = 0; i < header.samples; i++) {
                bin.counts[i] = (1_500_000 - 110_000 * Math.abs(i - 4)) / 100 * (100 - 2 * number);
            }
            return bin;
        }

        private void repair() {
            int ends = MESSAGE_BYTES - (writer.bodyLimit() - writer.bodyOffset());
            int longest =
                    sent.stream().mapToInt(bytes -> bytes.length - ends).max().orElseThrow();
            RepairEncoder encoder = new RepairEncoder(longest);
            encoder.begin(0, DATA, REPAIRS, longest);
            for (int i = 0; i < DATA; i++) {
                encoder.cover(sent.get(i), 0, sent.get(i).length - ends);
            }
            for (int r = 0; r < REPAIRS; r++) {
                writer.begin(Kind.REPAIR, true, FLOAT, DIVE, DATA + r, 0, r);
                int length = encoder.start(r, writer.buffer(), writer.bodyOffset());
                for (int i = 0; i < DATA; i++) {
                    encoder.add(i, sent.get(i), 0, sent.get(i).length - ends);
                }
                finish(length);
            }
        }
    }
}
