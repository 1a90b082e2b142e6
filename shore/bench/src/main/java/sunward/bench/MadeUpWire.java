package sunward.bench;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import sunward.protocol.bits.BodyWriter;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.message.Verdict;
import sunward.protocol.order.PlanSetting;
import sunward.protocol.repair.RepairEncoder;
import sunward.protocol.repair.RepairLayout;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Codecs;
import sunward.protocol.spectra.FirstLook;
import sunward.protocol.spectra.FirstLookCodec;
import sunward.protocol.spectra.Outline;
import sunward.protocol.spectra.OutlineBasis;
import sunward.protocol.spectra.OutlineCodec;
import sunward.protocol.spectra.OutlineModel;
import sunward.protocol.spectra.SamplesEncoder;

/** A made-up float's messages of every kind, sealed; all data invented. */
final class MadeUpWire {
    static final int FLOAT = 77;
    static final int DIVE = 12;
    static final int MESSAGE_BYTES = 340;
    static final int SAMPLES = 24;

    /** Position in the dive of the bins that {@link #samples} refines. */
    static final int REFINED = 3;

    private static final int BASIS_CODEC = 2;
    private static final int BASIS_SAMPLES = 720;
    static final byte[] KEY = "a key for benches, 32 bytes long".getBytes(StandardCharsets.US_ASCII);
    static final KeyRing KEYS = KeyRing.of(Map.of(FLOAT, KEY));

    private final MessageWriter writer = new MessageWriter(KEY, MESSAGE_BYTES);
    private final BodyWriter body = new BodyWriter();

    private MadeUpWire() {}

    /** The data and repair messages of a dive, in sending order; ledgers first and last of the data. */
    static List<byte[]> dive(int data, int repairs) {
        MadeUpWire wire = new MadeUpWire();
        List<byte[]> sent = new ArrayList<>();
        for (int i = 0; i < data; i++) {
            sent.add(
                    i == 0 || i == data - 1
                            ? wire.ledger(i, i == 0 ? 0 : 1, data)
                            : i == 1 ? wire.ancillary(i) : wire.bins(i, i - 2, header((i - 2) % 2), 8));
        }
        sent.addAll(wire.repairs(sent, repairs));
        return sent;
    }

    /** A message of every tier, and bins of both codecs. */
    static List<byte[]> everyTier() {
        byte[] base = dive(8, 0).get(REFINED);
        return List.of(firstLook(), outline(), base, basisBins(), samples(base));
    }

    /** Bins of every channel by the trained basis (codec 2). */
    static byte[] basisBins() {
        MadeUpWire wire = new MadeUpWire();
        BlockHeader header = header(0);
        header.codec = BASIS_CODEC;
        header.samples = BASIS_SAMPLES;
        header.channelsPerSample = 1;
        return wire.bins(2, 0, header, 0);
    }

    /** A base message of the dive, decoded. */
    @SuppressWarnings("ArrayRecordComponent") // handed on to the reader, never compared
    record Told(BlockHeader header, BinRecord[] bins) {}

    static Told told(byte[] base) {
        byte[] body =
                ((Verdict.Accepted) MessageReader.read(base, KEYS)).message().body();
        BlockHeader header = new BlockHeader();
        BlockCodec.Decoder decoder = Codecs.ofBody(body).decoder(SAMPLES);
        List<BinRecord> bins = new ArrayList<>();
        decoder.begin(body, 0, body.length, header);
        BinRecord bin = new BinRecord(SAMPLES);
        while (decoder.next(bin) == BlockCodec.Decoder.BIN) {
            bins.add(bin);
            bin = new BinRecord(SAMPLES);
        }
        return new Told(header, bins.toArray(new BinRecord[0]));
    }

    /** A message that refines a base message of the dive. */
    static byte[] samples(byte[] base) {
        Told told = told(base);
        MadeUpWire wire = new MadeUpWire();
        SplittableRandom random = new SplittableRandom(6);
        SamplesEncoder encoder = new SamplesEncoder(told.bins.length, told.bins.length * SAMPLES);
        int noise = told.header.readNoiseQuarters * BinRecord.DARK_NOISE_PER_QUARTER + 5;
        encoder.begin(told.header, told.bins.length, 0, noise);
        for (BinRecord bin : told.bins) {
            BinRecord own = new BinRecord(SAMPLES);
            own.copyFrom(bin);
            for (int i = 0; i < own.samples; i++) {
                own.counts[i] += random.nextInt(2000) - 1000;
            }
            if (!encoder.add(own, bin)) {
                throw new IllegalStateException("a bin of ours cannot be refined");
            }
        }
        wire.begin(Kind.DIVE, DIVE, 9, BlockType.SAMPLES.number(), 0);
        int limit = wire.writer.bodyLimit() - RepairLayout.RESERVED_BYTES;
        return wire.finished(encoder.write(wire.writer.buffer(), wire.writer.bodyOffset(), limit, REFINED));
    }

    /** An order and a receipt. */
    static List<byte[]> talk() {
        MadeUpWire wire = new MadeUpWire();
        return List.of(wire.order(), wire.receipt());
    }

    /** A first look of two heads. */
    static byte[] firstLook() {
        MadeUpWire wire = new MadeUpWire();
        FirstLook look = new FirstLook(FirstLook.MAX_HEADS, SAMPLES);
        look.surfacedS = 850_693_200;
        look.placeKnown = true;
        look.tareKnown = true;
        look.messagesPlanned = 8;
        look.heads = 2;
        for (int h = 0; h < look.heads; h++) {
            FirstLook.Head head = look.head(h);
            head.number = h;
            head.samples = SAMPLES;
            head.bins = 90;
            head.bottomCm = 2000;
            Arrays.fill(head.surfaceSd, 40);
            Arrays.fill(head.attenuationSd, 120);
            for (int i = 0; i < SAMPLES; i++) {
                head.lit[i] = i < SAMPLES - 2;
                head.logSurface[i] = head.lit[i] ? 800_000 - 900 * i * i : 0;
                head.logAttenuation[i] = head.lit[i] ? -200_000 + 700 * i * i : 0;
            }
        }
        wire.begin(Kind.DIVE, DIVE, 0, BlockType.FIRST_LOOK.number(), 0);
        return wire.finished(new FirstLookCodec(SAMPLES)
                .encode(
                        look,
                        header(0),
                        1,
                        wire.writer.buffer(),
                        wire.writer.bodyOffset(),
                        wire.writer.bodyLimit() - RepairLayout.RESERVED_BYTES));
    }

    /** An outline of two heads. */
    static byte[] outline() {
        MadeUpWire wire = new MadeUpWire();
        SplittableRandom random = new SplittableRandom(4);
        Outline outline = new Outline();
        outline.samples = 180;
        outline.heads = 2;
        outline.head[1] = 1;
        outline.knots = 6;
        for (int j = 0; j < outline.knots; j++) {
            outline.knotCm[j] = 35 + 400 * j * j;
            outline.exposureCode[j] = j;
            outline.misfitTenths[j] = j % 3;
            for (int m = 0; m < OutlineBasis.RANK; m++) {
                outline.wanted[j][m] = 0.1 * (random.nextDouble() - 0.5);
            }
        }
        outline.misfitTenths[outline.knots - 1] = 0;
        outline.novelty[1][7] = -25 * OutlineCodec.NOVELTY_STEP;
        outline.response[1][2] = 12;
        BlockHeader header = header(0);
        header.samples = outline.samples;
        wire.begin(Kind.DIVE, DIVE, 2, BlockType.OUTLINE.number(), 0);
        return wire.finished(new OutlineCodec(new OutlineModel())
                .encode(
                        outline,
                        header,
                        0.004,
                        2,
                        wire.writer.buffer(),
                        wire.writer.bodyOffset(),
                        wire.writer.bodyLimit() - RepairLayout.RESERVED_BYTES));
    }

    private byte[] finished(int bodyBytes) {
        return Arrays.copyOf(writer.buffer(), writer.finish(bodyBytes));
    }

    private void begin(Kind kind, int dive, int position, int block, int part) {
        writer.begin(kind, true, FLOAT, dive, position, block, part);
        body.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit() - RepairLayout.RESERVED_BYTES);
    }

    private byte[] ledger(int position, int part, int data) {
        begin(Kind.DIVE, DIVE, position, BlockType.LEDGER.number(), part);
        body.varint(1, 850_690_245);
        body.varint(2, 850_693_200);
        int fix = body.open(3);
        body.varint(1, 850_693_320);
        body.sint(2, 1_100_000);
        body.sint(3, 14_200_000);
        body.close(fix);
        body.sint(4, -12);
        body.bytes(8, KEY, 0, 8);
        body.varint(11, data);
        int joules = body.open(12);
        for (int i = 0; i < 5; i++) {
            body.packedVarint(12_000 >> i);
        }
        body.close(joules);
        return finished(body.length());
    }

    private byte[] ancillary(int position) {
        begin(Kind.DIVE, DIVE, position, BlockType.ANCILLARY.number(), 0);
        for (int field = 1; field <= 3; field++) {
            int mark = body.open(field);
            for (int i = 0; i < 40; i++) {
                body.packedSint(i * 7 % 31 - 9);
            }
            body.close(mark);
        }
        return finished(body.length());
    }

    private static BlockHeader header(int head) {
        BlockHeader header = new BlockHeader();
        header.codec = 1;
        header.head = head;
        header.samples = SAMPLES;
        header.channelsPerSample = 4;
        header.gainSixteenths = 61;
        header.readNoiseQuarters = 32;
        header.calibrationTag = 0xcafe0102;
        header.planTag = 0x0badf00d;
        return header;
    }

    private byte[] bins(int position, int part, BlockHeader header, int stepCode) {
        begin(Kind.DIVE, DIVE, position, BlockType.BINS.number(), part);
        BlockCodec.Encoder encoder = Codecs.ofNumber(header.codec).encoder(header.samples);
        encoder.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit() - RepairLayout.RESERVED_BYTES, header);
        SplittableRandom random = new SplittableRandom(position);
        for (int n = 0; n < 5; n++) {
            BinRecord bin = new BinRecord(header.samples);
            bin.head = header.head;
            bin.bin = 5 * part + n;
            bin.exposureCode = 3;
            bin.used = 6;
            bin.timeS = 850_693_190 - 7L * bin.bin;
            bin.pressureMdbar = 300 + 200 * bin.bin;
            bin.offsetMm = 250;
            bin.tiltCdeg = 150 + random.nextInt(30);
            bin.antisunDeg = 40;
            bin.darkCounts = 512;
            bin.darkScans = 4;
            bin.samples = header.samples;
            int peak = header.samples / 3;
            int slope = 1_440_000 / header.samples;
            for (int i = 0; i < header.samples; i++) {
                bin.counts[i] = (1_500_000 - slope * Math.abs(i - peak)) / 100 * (100 - n) + random.nextInt(4000);
            }
            encoder.add(bin, stepCode);
        }
        return finished(encoder.finish());
    }

    private List<byte[]> repairs(List<byte[]> data, int repairs) {
        int ends = MESSAGE_BYTES - (writer.bodyLimit() - writer.bodyOffset());
        int longest = data.stream().mapToInt(bytes -> bytes.length - ends).max().orElse(0);
        RepairEncoder encoder = new RepairEncoder(longest);
        encoder.begin(0, data.size(), repairs, longest);
        data.forEach(bytes -> encoder.cover(bytes, 0, bytes.length - ends));
        List<byte[]> made = new ArrayList<>();
        for (int r = 0; r < repairs; r++) {
            begin(Kind.REPAIR, DIVE, data.size() + r, 0, r);
            int length = encoder.start(r, writer.buffer(), writer.bodyOffset());
            for (int i = 0; i < data.size(); i++) {
                encoder.add(i, data.get(i), 0, data.get(i).length - ends);
            }
            made.add(finished(length));
        }
        return made;
    }

    private byte[] order() {
        begin(Kind.ORDER, 0, 3, 0, 0);
        body.varint(1, 3);
        int resend = body.open(2);
        body.varint(1, DIVE);
        int runs = body.open(2);
        for (int run = 1; run < 9; run++) {
            body.packedVarint(run);
        }
        body.close(runs);
        body.close(resend);
        int setting = body.open(3);
        body.varint(1, PlanSetting.DATA_MESSAGES.number());
        body.sint(2, 40);
        body.close(setting);
        return finished(body.length());
    }

    private byte[] receipt() {
        begin(Kind.RECEIPT, DIVE, 3, 0, 0);
        body.varint(1, 3);
        body.varint(3, 3);
        body.bytes(4, KEY, 0, 8);
        return finished(body.length());
    }
}
