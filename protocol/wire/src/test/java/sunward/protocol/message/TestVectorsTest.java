package sunward.protocol.message;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import sunward.protocol.bits.BodyWriter;
import sunward.protocol.message.Verdict.Accepted;
import sunward.protocol.message.Verdict.Rejected;
import sunward.protocol.order.Answer;
import sunward.protocol.order.PlanSetting;
import sunward.protocol.repair.RepairEncoder;
import sunward.protocol.seal.Crc32c;
import sunward.protocol.seal.DirectionKeys;
import sunward.protocol.seal.HmacSha256;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Codecs;

/**
 * The files of {@code test-vectors/messages/v0} are what this code writes and reads, to the letter. With {@code
 * -Dtest.jvm.arguments=-Dsunward.vectors=write} they are written anew; a change of bytes is then a change to look at.
 */
class TestVectorsTest {
    private static final Path FOLDER = Path.of("..", "..", "test-vectors", "messages", "v0");
    private static final HexFormat HEX = HexFormat.of();
    static final byte[] KEY = HEX.parseHex("000102030405060708090a0b0c0d0e0f101112131415161718191a1b1c1d1e1f");
    static final int FLOAT = 77;

    private final Map<String, String> vectors = new TreeMap<>();

    @Test
    void filesAndCodeAgreeToTheLetter() throws IOException {
        ledger();
        ancillary();
        FirstLookVectors.give(this::add);
        repair();
        bins("bins-one-small", null, 1, 6, 8);
        bins("bins-unsealed", null, 5, 4, 24);
        bins("bins-sealed", KEY, 7, 9, 40);
        bins("bins-fields-only", KEY, 3, 4, 0);
        BasisVectors.give(this::add);
        OutlineVectors.give(this::add);
        samples();
        talk();
        rejected();
        SpoiltVectors.give(this::vectorBytes, this::add);
        if ("write".equals(System.getProperty("sunward.vectors"))) {
            Files.createDirectories(FOLDER);
            for (Map.Entry<String, String> vector : vectors.entrySet()) {
                Files.writeString(FOLDER.resolve(vector.getKey()), vector.getValue(), StandardCharsets.UTF_8);
            }
        }
        try (Stream<Path> files = Files.list(FOLDER)) {
            assertEquals(
                    vectors.keySet(),
                    files.map(file -> file.getFileName().toString()).collect(Collectors.toCollection(TreeSet::new)));
        }
        for (Map.Entry<String, String> vector : vectors.entrySet()) {
            Path file = FOLDER.resolve(vector.getKey());
            assertEquals(vector.getValue(), Files.readString(file, StandardCharsets.UTF_8), vector.getKey());
        }
    }

    private void ledger() {
        MessageWriter writer = new MessageWriter(null, 340);
        writer.begin(Kind.DIVE, true, FLOAT, 12, 0, BlockType.LEDGER.number(), 0);
        BodyWriter body = new BodyWriter();
        body.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit());
        body.varint(1, 850_690_245);
        body.varint(2, 850_693_200);
        int fix = body.open(3);
        body.varint(1, 850_693_320);
        body.sint(2, 1_100_000);
        body.sint(3, 14_200_000);
        body.close(fix);
        body.sint(4, -12);
        body.varint(11, 48);
        String given = "body = Ledger: profile_start_s 850690245, surfaced_s 850693200, one fix (time_s 850693320,"
                + " latitude_e5 1100000, longitude_e5 14200000), tare_before_mdbar -12, messages_planned 48\n";
        add("ledger-unsealed", null, given, bytes(writer, body.length()));
    }

    /** Two points, the second without chlorophyll, no backscatter; two layers. */
    private void ancillary() {
        MessageWriter writer = new MessageWriter(KEY, 340);
        writer.begin(Kind.DIVE, true, FLOAT, 12, 4, BlockType.ANCILLARY.number(), 1);
        BodyWriter body = new BodyWriter();
        body.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit());
        int[][] columns = {
            {43, 410},
            {28_120, -77},
            {34_305, 12},
            {71, -71 - 32768},
            {},
            {1, 3},
            {61, 122},
            {19, 15},
            {10, 8},
            {47, 38},
            {175, 360},
            {96, 0},
            {50, -166}
        };
        for (int field = 1; field <= columns.length; field++) {
            if (columns[field - 1].length == 0) {
                continue;
            }
            int mark = body.open(field);
            for (int value : columns[field - 1]) {
                if (field <= 5 || field == 13) {
                    body.packedSint(value);
                } else {
                    body.packedVarint(value);
                }
            }
            body.close(mark);
        }
        add(
                "ancillary-sealed",
                KEY,
                "body = AncillaryProfile: pressure 0.43 and 4.53 dbar, temperature 28.120 and 28.043, salinity 34.305 and"
                        + " 34.317, chlorophyll 0.071 and not given, no backscatter; layers 1 and 3: readings 61 and 122, tilt"
                        + " mean 1.9 and 1.5, s.d. 1.0 and 0.8, largest 4.7 and 3.8, heading 175 and not known, length 0.96"
                        + " and 0, turned 50 and -166\n",
                bytes(writer, body.length()));
    }

    /** The one repair message of a group of two. */
    private void repair() {
        byte[][] data = {message(KEY, new byte[] {1, 2, 3}), message(KEY, new byte[] {4, 5, 6, 7, 8})};
        RepairEncoder encoder = new RepairEncoder(5);
        encoder.begin(1, 2, 1, 5);
        MessageWriter writer = new MessageWriter(KEY, 340);
        for (byte[] one : data) {
            encoder.cover(one, 0, one.length - MessageLayout.HEADER_BYTES - MessageLayout.SEALED_BYTES);
        }
        writer.begin(Kind.REPAIR, true, FLOAT, 12, 3, 0, 0);
        int length = encoder.start(0, writer.buffer(), writer.bodyOffset());
        for (int i = 0; i < data.length; i++) {
            encoder.add(i, data[i], 0, data[i].length - MessageLayout.HEADER_BYTES - MessageLayout.SEALED_BYTES);
        }
        add(
                "repair",
                KEY,
                "body = repair: first 1, k 2, m 1, over the bodies 010203 and 0405060708 of block 5, part 0\n",
                bytes(writer, length));
    }

    private void bins(String name, byte[] key, int count, int stepCode, int samples) {
        BlockHeader header = header(Math.max(8, samples));
        MessageWriter writer = new MessageWriter(key, 340);
        writer.begin(Kind.DIVE, true, FLOAT, 12, 3, BlockType.BINS.number(), 2);
        BlockCodec.Encoder encoder = Codecs.ofNumber(header.codec).encoder(header.samples);
        encoder.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit(), header);
        StringBuilder given = new StringBuilder(VectorText.header(header));
        for (int n = 0; n < count; n++) {
            BinRecord bin = bin(header, n, samples);
            given.append("given bin ").append(n).append(" = ").append(VectorText.text(bin, stepCode));
            encoder.add(bin, stepCode);
        }
        add(name, key, given.toString(), bytes(writer, encoder.finish()));
    }

    private void samples() {
        BlockHeader header = header(40);
        List<BinRecord> coarse = IntStream.range(0, 5)
                .mapToObj(n -> bin(header, n, n == 1 ? 0 : header.samples))
                .toList();
        SamplesVector ofCoarse = new SamplesVector(KEY, header, coarse, 13, 9);
        samples("samples", ofCoarse, ofCoarse.bytes);
        samples("spoilt-samples", ofCoarse, ofCoarse.beyond());
        List<BinRecord> followed = BasisVectors.followed();
        SamplesVector ofBasis = new SamplesVector(KEY, BasisVectors.everyChannel(), followed, 7, 345);
        samples("samples-of-basis", ofBasis, ofBasis.bytes);
    }

    private void samples(String name, SamplesVector vector, byte[] bytes) {
        add(name, KEY, vector.given(), bytes);
        Accepted read = (Accepted) MessageReader.read(bytes, KeyRing.of(Map.of(FLOAT, KEY)));
        vectors.merge(name + ".txt", vector.refined(read.message().body()), String::concat);
    }

    /** An order with every kind of part but a plan change, a piece of one, a receipt, and an order under the wrong direction's key. */
    private void talk() {
        MessageWriter writer = new MessageWriter(KEY, 270);
        writer.begin(Kind.ORDER, true, FLOAT, 0, 5, 0, 0);
        BodyWriter body = new BodyWriter();
        body.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit());
        body.varint(1, 5);
        int resend = body.open(2);
        body.varint(1, 12);
        int runs = body.open(2);
        for (int run : new int[] {0, 1, 2, 4, 1, 1}) {
            body.packedVarint(run);
        }
        body.close(runs);
        body.close(resend);
        setting(body, PlanSetting.DATA_MESSAGES, 40, 0);
        setting(body, PlanSetting.DECLINATION_DEG, -325, 2);
        setting(body, PlanSetting.DECLINATION_DAY, 9854, 0);
        body.varint(5, 3600);
        String given =
                "body = Order: number 5, resend (dive 12, positions 0, 3 to 6, 8), settings (145 = 40, 129 = -3.25,"
                        + " 130 = 9854), hold_s 3600\n";
        byte[] order = bytes(writer, body.length());
        add("order-parts", KEY, given, order);
        byte[] turned = order.clone();
        HmacSha256 wrongWay = new DirectionKeys(KEY).toShore();
        int end = turned.length - MessageLayout.SEALED_BYTES;
        wrongWay.update(turned, 0, end);
        wrongWay.finish(turned, end, MessageLayout.SEALED_BYTES);
        add("rejected-order-under-the-key-to-shore", KEY, given, turned);

        writer.begin(Kind.ORDER, true, FLOAT, 0, 6, 0, 0);
        body.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit());
        body.varint(1, 6);
        setting(body, PlanSetting.SHADED_LOSS_PERCENT, 3, 1);
        int change = body.open(6);
        body.bytes(1, KEY, 0, 8);
        body.bytes(2, KEY, 8, 8);
        body.varint(3, 1);
        body.varint(4, 2);
        body.close(change);
        add(
                "order-plan-change",
                KEY,
                "body = Order: number 6, settings (113 = 0.3), change (from 0001020304050607, to 08090a0b0c0d0e0f, piece 1,"
                        + " pieces 2)\n",
                bytes(writer, body.length()));

        writer.begin(Kind.RECEIPT, true, FLOAT, 12, 6, 0, 0);
        body.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit());
        body.varint(1, 6);
        body.varint(2, Answer.PIECE_HELD.number());
        body.varint(3, 6);
        body.bytes(4, KEY, 0, 8);
        add(
                "receipt-piece-held",
                KEY,
                "body = Receipt: order 6, answer 1, last_order 6, plan_digest 0001020304050607\n",
                bytes(writer, body.length()));
    }

    private static void setting(BodyWriter body, PlanSetting setting, long value, int decimals) {
        int mark = body.open(3);
        body.varint(1, setting.number());
        body.sint(2, value);
        body.varint(3, decimals);
        body.close(mark);
    }

    static BlockHeader header(int samples) {
        BlockHeader header = new BlockHeader();
        header.codec = 1;
        header.head = 1;
        header.samples = samples;
        header.channelsPerSample = 4;
        header.gainSixteenths = 61;
        header.readNoiseQuarters = 32;
        header.calibrationTag = 0xcafe0102;
        header.planTag = 0x0badf00d;
        return header;
    }

    /** Invented, from whole-number arithmetic alone: a spectrum that fades and reddens from bin to bin. */
    static BinRecord bin(BlockHeader header, int n, int samples) {
        BinRecord bin = new BinRecord(header.samples);
        bin.head = header.head;
        bin.bin = 2 * n + 1;
        bin.exposureCode = 2 + n / 4;
        bin.used = 7 - n % 3;
        bin.rejected = n % 2;
        bin.timeS = 850_693_190 - 14L * n - n % 3;
        bin.pressureMdbar = 430 + 400 * n + 7 * (n % 4);
        bin.offsetMm = 250 - 3 * n;
        bin.depthSdMm = 58 + n;
        bin.tiltCdeg = 160 + 11 * (n % 5);
        bin.antisunDeg = n == 2 ? BinRecord.ANTISUN_UNKNOWN : 35 + 4 * n;
        bin.fallback = n == 2 ? 1 : 0;
        bin.darkCounts = 512;
        bin.darkScans = 4;
        bin.spread[0] = 310 + 20 * n;
        bin.spread[1] = 280;
        bin.spread[2] = 65535;
        bin.samples = samples;
        for (int i = 0; i < samples; i++) {
            long peak = 2_400_000L - 90_000L * Math.abs(i - samples / 3) + 37_000L * (i * i % 7);
            long faded = Math.max(peak, 3000L * (i % 5) - 2000) * (100 - 3L * n - i * n / 8) / 100;
            bin.counts[i] = (int) (faded << (n / 4)) + i * 977 % 401 - 200;
        }
        return bin;
    }

    private void rejected() {
        byte[] whole = message(null, new byte[] {1, 2, 3});
        byte[] sealed = message(KEY, new byte[] {1, 2, 3});
        byte[] damaged = whole.clone();
        damaged[9] ^= 0x10;
        add("rejected-damaged", null, "", damaged);
        add("rejected-unsealed-though-keyed", KEY, "", whole);
        add("rejected-no-key", null, "", sealed);
        byte[] forged = sealed.clone();
        forged[8] ^= 1;
        add("rejected-broken-seal", KEY, "", forged);
        byte[] newer = whole.clone();
        newer[0] = (byte) 0xf1;
        add("rejected-newer-version", null, "", newer);
        byte[] unknown = whole.clone();
        unknown[0] = 0x0f;
        add("rejected-unknown-kind", null, "", resummed(unknown));
        byte[] nobody = whole.clone();
        nobody[2] = 0;
        add("rejected-float-zero", null, "", resummed(nobody));
        add("rejected-too-short", null, "", Arrays.copyOf(whole, 11));
        add("rejected-too-long", null, "", Arrays.copyOf(whole, MessageLayout.MAX_MESSAGE_BYTES + 1));
        MessageWriter writer = new MessageWriter(null, 340);
        writer.begin(Kind.DIVE, true, FLOAT, 12, 4, BlockType.BINS.number(), 3);
        byte[] good = HEX.parseHex(vectorBytes("bins-one-small.txt"));
        int body = good.length - MessageLayout.HEADER_BYTES - MessageLayout.UNSEALED_BYTES;
        System.arraycopy(good, MessageLayout.HEADER_BYTES, writer.buffer(), writer.bodyOffset(), body);
        add("spoilt-body", null, "", bytes(writer, body + 1));
    }

    private String vectorBytes(String name) {
        return vectors.get(name)
                .lines()
                .filter(line -> line.startsWith("bytes = "))
                .findFirst()
                .orElseThrow()
                .substring(8);
    }

    private static byte[] message(byte[] key, byte[] body) {
        MessageWriter writer = new MessageWriter(key, 340);
        writer.begin(Kind.DIVE, true, FLOAT, 12, 1, BlockType.ANCILLARY.number(), 0);
        System.arraycopy(body, 0, writer.buffer(), writer.bodyOffset(), body.length);
        return bytes(writer, body.length);
    }

    private static byte[] resummed(byte[] bytes) {
        int end = bytes.length - MessageLayout.UNSEALED_BYTES;
        java.nio.ByteBuffer.wrap(bytes).putInt(end, Crc32c.of(bytes, 0, end));
        return bytes;
    }

    static byte[] bytes(MessageWriter writer, int bodyLength) {
        return Arrays.copyOf(writer.buffer(), writer.finish(bodyLength));
    }

    private void add(String name, byte[] key, String given, byte[] bytes) {
        KeyRing ring = key == null ? KeyRing.none() : KeyRing.of(Map.of(FLOAT, key));
        String text = "# Sunward wire version 0, invented data; ../../README.md says how to read this file.\n"
                + "key = " + (key == null ? "none" : HEX.formatHex(key)) + "\n"
                + given
                + "bytes = " + hex(bytes) + "\n"
                + verdict(MessageReader.read(bytes, ring));
        vectors.put(name + ".txt", text);
    }

    /** Hexadecimal, a long run of zeros at the end as its number. */
    private static String hex(byte[] bytes) {
        int end = bytes.length;
        while (end > 0 && bytes[end - 1] == 0) {
            end--;
        }
        return bytes.length - end < 100
                ? HEX.formatHex(bytes)
                : HEX.formatHex(bytes, 0, end) + " + " + (bytes.length - end) + " x 00";
    }

    private static String verdict(Verdict verdict) {
        if (verdict instanceof Rejected rejected) {
            return "verdict = " + rejected.reason() + "\n";
        }
        Message m = ((Accepted) verdict).message();
        String text = String.format(
                Locale.ROOT,
                "verdict = accepted%nversion = %d%nkind = %s%nsimulated = %b%nunsealed = %b%nfloat = %d%ndive = %d%n"
                        + "position = %d%nblock = %d%npart = %d%nbody = %s%n",
                m.version(),
                m.kind(),
                m.simulated(),
                m.unsealed(),
                m.floatNumber(),
                m.dive(),
                m.position(),
                m.block(),
                m.part(),
                HEX.formatHex(m.body()));
        return text.replace(System.lineSeparator(), "\n") + VectorText.decoded(m);
    }
}
