package sunward.bench;

import com.google.protobuf.InvalidProtocolBufferException;
import com.google.protobuf.Parser;
import com.sun.management.ThreadMXBean;
import java.io.PrintStream;
import java.lang.management.ManagementFactory;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.stream.Stream;
import sunward.protocol.bits.BodyReader;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.OrderGate;
import sunward.protocol.message.Verdict;
import sunward.protocol.repair.Repair;
import sunward.protocol.schema.AncillaryProfile;
import sunward.protocol.schema.Ledger;
import sunward.protocol.schema.Order;
import sunward.protocol.schema.Receipt;
import sunward.protocol.seal.DirectionKeys;
import sunward.protocol.seal.HmacSha256;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Codecs;
import sunward.protocol.spectra.FirstLook;
import sunward.protocol.spectra.FirstLookCodec;
import sunward.protocol.spectra.Outline;
import sunward.protocol.spectra.OutlineCodec;
import sunward.protocol.spectra.OutlineModel;
import sunward.protocol.spectra.SamplesDecoder;

/**
 * Mutated messages by the million: {@code WireMutants [COUNT [FIRST_SEED]]}. Nine in ten are sealed again with the right key, so
 * that the readers of bodies are what is tested. A mutant that was not sealed again must be rejected; none may make a reader
 * throw, see bytes beyond its end, or allocate more than {@link #MOST_BYTES}. Orders also go into a float's computer, which
 * must not take one that was not sealed again, nor change anything for what it does not answer. Ends with a fault at the first that does, naming
 * its seed.
 */
public final class WireMutants {
    /** Most bytes that judging and reading one message of a short letter may allocate, the repair of its group included. */
    static final long MOST_BYTES = 256 * 1024;

    private static final int MOST_LENGTH = 400;
    private static final int PADDING = 64;

    private static final int LONG_READ_ONE_IN = 200;

    private final List<byte[]> originals = new ArrayList<>();
    private final List<byte[]> longReads = List.of(MadeUpWire.basisBins(), MadeUpWire.outline());
    private final List<Message> dive = new ArrayList<>();
    private final HmacSha256 toShore = new DirectionKeys(MadeUpWire.KEY).toShore();
    private final HmacSha256 toFloat = new DirectionKeys(MadeUpWire.KEY).toFloat();
    private final HmacSha256 wrong = new DirectionKeys(new byte[32]).toShore();
    private final OrderGate gate = new OrderGate(MadeUpWire.FLOAT, true, MadeUpWire.KEY);
    private final OrderEar ear = new OrderEar();
    private final Map<Integer, BlockCodec.Decoder> decoders =
            Map.of(1, Codecs.ofNumber(1).decoder(1024), 2, Codecs.ofNumber(2).decoder(1024));
    private final FirstLookCodec lookCodec = new FirstLookCodec(1024);
    private final OutlineCodec outlineCodec = new OutlineCodec(new OutlineModel());
    private final Outline outline = new Outline();
    private final FirstLook look = new FirstLook(FirstLook.MAX_HEADS, 1024);
    private final MadeUpWire.Told told;
    private final SamplesDecoder samplesDecoder;
    private final int[][] refined;
    private final BinRecord bin = new BinRecord(1024);
    private final BlockHeader header = new BlockHeader();
    private final BodyReader reader = new BodyReader();
    private final byte[] padded = new byte[MOST_LENGTH + 2 * PADDING];
    private final ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
    private long lastBytes;
    private long ordersTaken;

    /**
     * What came of a run.
     *
     * @param mutants mutants read
     * @param resealed of them sealed again with the right key
     * @param read resealed mutants that were accepted, so that their bodies were read
     * @param ordersTaken resealed orders that a float's computer took and answered
     * @param accepted mutants accepted although they were not sealed again: must be 0
     * @param mostBytes most bytes allocated for one
     */
    record Tally(long mutants, long resealed, long read, long ordersTaken, long accepted, long mostBytes) {}

    private WireMutants() {
        List<byte[]> sent = MadeUpWire.dive(8, 3);
        originals.addAll(sent);
        originals.addAll(MadeUpWire.talk());
        originals.add(MadeUpWire.firstLook());
        originals.add(MadeUpWire.samples(sent.get(MadeUpWire.REFINED)));
        told = MadeUpWire.told(sent.get(MadeUpWire.REFINED));
        samplesDecoder = new SamplesDecoder(told.bins().length);
        refined = new int[told.bins().length][told.header().samples];
        for (byte[] bytes : sent) {
            dive.add(((Verdict.Accepted) MessageReader.read(bytes, MadeUpWire.KEYS)).message());
        }
    }

    /** Runs and prints its figures. */
    public static void main(String[] arguments) {
        PrintStream out = new PrintStream(System.out, true, StandardCharsets.UTF_8);
        long count = arguments.length > 0 ? Long.parseLong(arguments[0]) : 10_000_000;
        long seed = arguments.length > 1 ? Long.parseLong(arguments[1]) : 1;
        Tally tally = run(seed, count);
        out.println("figure wire.mutants " + tally.mutants + " 1");
        out.println("figure wire.mutants_accepted " + tally.accepted + " 1");
        out.println("figure wire.mutants_body_read " + tally.read + " 1");
        out.println("figure wire.mutant_orders_taken " + tally.ordersTaken + " 1");
        out.println("figure wire.mutant_most_allocated " + tally.mostBytes + " byte");
        if (tally.accepted > 0) {
            System.exit(1);
        }
    }

    /** Reads so many mutants, of seeds from the first on. */
    static Tally run(long firstSeed, long count) {
        WireMutants wire = new WireMutants();
        for (long seed = -2000; seed < 0; seed++) {
            wire.one(seed); // classes loaded, before allocation is looked at
        }
        wire.ordersTaken = 0;
        long resealed = 0;
        long read = 0;
        long accepted = 0;
        long most = 0;
        for (long seed = firstSeed; seed < firstSeed + count; seed++) {
            int outcome = wire.one(seed);
            resealed += outcome & 1;
            read += outcome == 3 ? 1 : 0;
            accepted += outcome == 2 ? 1 : 0;
            most = Math.max(most, wire.lastBytes);
            if (wire.lastBytes > MOST_BYTES) {
                throw new IllegalStateException("mutant of seed " + seed + ": " + wire.lastBytes + " bytes allocated");
            }
        }
        return new Tally(count, resealed, read, wire.ordersTaken, accepted, most);
    }

    /** Makes and reads the mutant of a seed: 1 when it was sealed again, plus 2 when it was accepted. */
    private int one(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        byte[] mutant = mutated(random);
        boolean reseal = random.nextInt(10) > 0 && mutant.length >= 16;
        if (reseal) {
            boolean order = (mutant[0] & 0x0f) == Kind.ORDER.number();
            seal(order ? toFloat : toShore, mutant);
        } else if (random.nextInt(4) == 0 && mutant.length >= 16) {
            seal(wrong, mutant);
        }
        if (!reseal
                && Stream.concat(originals.stream(), longReads.stream())
                        .anyMatch(bytes -> Arrays.equals(bytes, mutant))) {
            return 0; // a copy, not a mutant
        }
        long own = Thread.currentThread().getId();
        long before = threads.getThreadAllocatedBytes(own);
        try {
            boolean accepted = judged(mutant);
            if (mutant.length > 0 && (mutant[0] & 0x0f) == Kind.ORDER.number()) {
                ordersTaken += ear.hear(mutant, reseal) ? 1 : 0;
            }
            lastBytes = threads.getThreadAllocatedBytes(own) - before;
            return (reseal ? 1 : 0) + (accepted ? 2 : 0);
        } catch (RuntimeException e) {
            throw new IllegalStateException(
                    String.format(
                            Locale.ROOT,
                            "mutant of seed %d: %s",
                            seed,
                            java.util.HexFormat.of().formatHex(mutant)),
                    e);
        }
    }

    /** Spectra of many channels take the reader a hundred times as long as the rest, so they come up seldom. */
    private byte[] picked(SplittableRandom random) {
        return random.nextInt(LONG_READ_ONE_IN) == 0
                ? longReads.get(random.nextInt(longReads.size()))
                : originals.get(random.nextInt(originals.size()));
    }

    private byte[] mutated(SplittableRandom random) {
        byte[] original = picked(random);
        switch (random.nextInt(5)) {
            case 0 -> {
                return Arrays.copyOf(original, random.nextInt(original.length));
            }
            case 1 -> {
                byte[] longer = Arrays.copyOf(original, original.length + 1 + random.nextInt(50));
                for (int i = original.length - 8; i < longer.length; i++) {
                    longer[i] = (byte) random.nextInt();
                }
                return longer;
            }
            case 2 -> {
                byte[] other = picked(random);
                int cut = random.nextInt(Math.min(original.length, other.length));
                byte[] splice = other.clone();
                System.arraycopy(original, 0, splice, 0, cut);
                return splice;
            }
            case 3 -> {
                byte[] noise = original.clone();
                for (int i = random.nextInt(4) == 0 ? 0 : 8 + random.nextInt(noise.length - 8); i < noise.length; i++) {
                    noise[i] = (byte) random.nextInt();
                }
                return noise;
            }
            default -> {
                byte[] flipped = original.clone();
                for (int flips = 1 + random.nextInt(8); flips > 0; flips--) {
                    int bit = random.nextInt(8 * flipped.length);
                    flipped[bit / 8] ^= (byte) (1 << bit % 8);
                }
                return flipped;
            }
        }
    }

    private static void seal(HmacSha256 seal, byte[] bytes) {
        int end = bytes.length - MessageLayout.SEALED_BYTES;
        seal.update(bytes, 0, end);
        seal.finish(bytes, end, MessageLayout.SEALED_BYTES);
    }

    /** Seals what are a message's bytes before its seal, and reads it; for fuzzing. */
    static void readSealed(byte[] unsealed) {
        byte[] sealed =
                Arrays.copyOf(unsealed, Math.min(unsealed.length, MOST_LENGTH - 8) + MessageLayout.SEALED_BYTES);
        boolean order = (sealed[0] & 0x0f) == Kind.ORDER.number();
        seal(order ? Fuzzed.WIRE.toFloat : Fuzzed.WIRE.toShore, sealed);
        Fuzzed.WIRE.judged(sealed);
    }

    /** Made once, on first use. */
    private static final class Fuzzed {
        static final WireMutants WIRE = new WireMutants();
    }

    private boolean judged(byte[] mutant) {
        boolean admitted = gate.admits(mutant, mutant.length);
        if (!(MessageReader.read(mutant, MadeUpWire.KEYS) instanceof Verdict.Accepted accepted)) {
            if (admitted) {
                throw new IllegalStateException("the float takes an order that shore rejects");
            }
            return false;
        }
        Message message = accepted.message();
        byte[] body = message.body();
        walk(body);
        if (message.kind() == Kind.REPAIR) {
            List<Message> others = new ArrayList<>(dive);
            others.removeIf(m -> m.position() == message.position() || m.position() == 3);
            others.add(message);
            Repair.restore(others);
        } else if (message.kind() == Kind.DIVE && message.block() == BlockType.BINS.number()) {
            bins(body);
        } else if (message.kind() == Kind.DIVE && message.block() == BlockType.FIRST_LOOK.number()) {
            if (look(body, (byte) 0) != look(body, (byte) 0xa5)) {
                throw new IllegalStateException("the first look's reader saw bytes beyond the body's end");
            }
        } else if (message.kind() == Kind.DIVE && message.block() == BlockType.OUTLINE.number()) {
            if (outline(body, (byte) 0) != outline(body, (byte) 0xa5)) {
                throw new IllegalStateException("the outline's reader saw bytes beyond the body's end");
            }
        } else if (message.kind() == Kind.DIVE && message.block() == BlockType.SAMPLES.number()) {
            if (samples(body, (byte) 0) != samples(body, (byte) 0xa5)) {
                throw new IllegalStateException("the samples' reader saw bytes beyond the body's end");
            }
        } else {
            parsed(message, body);
        }
        return true;
    }

    private void walk(byte[] body) {
        reader.begin(body, 0, body.length);
        while (reader.next()) {
            if (reader.length() > 0 && (reader.start() < 0 || reader.start() + reader.length() > body.length)) {
                throw new IllegalStateException("a field reaches beyond the body");
            }
        }
    }

    /** Twice, in the midst of other bytes: what the decoder says must not depend on what lies beyond the body's end. */
    private void bins(byte[] body) {
        if (body.length == 0 || Codecs.ofBody(body) == null) {
            return;
        }
        long first = decoded(body, (byte) 0);
        if (first != decoded(body, (byte) 0xa5)) {
            throw new IllegalStateException("the decoder saw bytes beyond the body's end");
        }
    }

    private long look(byte[] body, byte around) {
        Arrays.fill(padded, around);
        System.arraycopy(body, 0, padded, PADDING, body.length);
        if (!lookCodec.decode(padded, PADDING, body.length, header, look)) {
            return -1;
        }
        long hash = look.surfacedS;
        for (int h = 0; h < look.heads; h++) {
            hash = 31 * hash + Arrays.hashCode(look.head(h).logSurface);
            hash = 31 * hash + Arrays.hashCode(look.head(h).logAttenuation);
        }
        return hash;
    }

    private long outline(byte[] body, byte around) {
        Arrays.fill(padded, around);
        System.arraycopy(body, 0, padded, PADDING, body.length);
        if (!outlineCodec.decode(padded, PADDING, body.length, header, outline)) {
            return -1;
        }
        long hash = outline.knots;
        for (int j = 0; j < outline.knots; j++) {
            hash = 31 * hash + Arrays.hashCode(outline.coefficient[j]);
            hash = 31 * hash + outline.misfitTenths[j];
        }
        return hash;
    }

    /** Over the bins of the base, whatever base the mutant names. */
    private long samples(byte[] body, byte around) {
        Arrays.fill(padded, around);
        System.arraycopy(body, 0, padded, PADDING, body.length);
        Arrays.stream(refined).forEach(row -> Arrays.fill(row, 0));
        boolean sound = samplesDecoder.read(padded, PADDING, body.length, told.header(), told.bins(), refined);
        return sound ? Arrays.deepHashCode(refined) : -1;
    }

    private long decoded(byte[] body, byte around) {
        Arrays.fill(padded, around);
        System.arraycopy(body, 0, padded, PADDING, body.length);
        BlockCodec.Decoder decoder = decoders.get(Codecs.ofBody(body).number());
        int state = decoder.begin(padded, PADDING, body.length, header);
        long hash = state;
        int bins = 0;
        while (state != BlockCodec.Decoder.SPOILT) {
            state = decoder.next(bin);
            hash = 31 * hash + state;
            if (state != BlockCodec.Decoder.BIN) {
                break;
            }
            bins++;
            if (bins > 1024) {
                throw new IllegalStateException("more bins than a body may hold");
            }
            hash = 31 * hash + bin.pressureMdbar;
            for (int i = 0; i < bin.samples; i++) {
                hash = 31 * hash + bin.counts[i];
            }
        }
        return hash;
    }

    private static void parsed(Message message, byte[] body) {
        Parser<? extends com.google.protobuf.Message> parser = message.kind() == Kind.ORDER
                ? Order.parser()
                : message.kind() == Kind.RECEIPT
                        ? Receipt.parser()
                        : message.block() == BlockType.ANCILLARY.number() ? AncillaryProfile.parser() : Ledger.parser();
        try {
            com.google.protobuf.Message read = parser.parseFrom(body);
            if (!parser.parseFrom(read.toByteArray()).equals(read)) {
                throw new IllegalStateException("a body does not survive being written again, unknown fields included");
            }
        } catch (InvalidProtocolBufferException e) {
            // told to the user where bodies are read; here only that nothing worse happens
        }
    }
}
