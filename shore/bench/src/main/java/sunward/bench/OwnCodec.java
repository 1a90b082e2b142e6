package sunward.bench;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
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
import sunward.protocol.spectra.SamplesCodec;
import sunward.protocol.spectra.SamplesDecoder;
import sunward.protocol.spectra.SamplesEncoder;

/** The codecs of ours at one step: real sealed messages, and bins decoded from their bytes alone. */
final class OwnCodec {
    /** Longest message of the reference link. */
    static final int MESSAGE_BYTES = 340;

    /** That of the plan's long-letter link, for what does not fit the other. */
    static final int LONG_MESSAGE_BYTES = 1960;

    private static final int MOST_SAMPLES = 1024;

    /** What a seal adds to a message that the float sent without one. */
    static final int SEAL_BYTES = 4;

    /** What the float's encoder of samples has: bins of a base message, and samples held at a time. */
    private static final int BASE_BINS = 64;

    private static final int WINDOW = BASE_BINS * 720;
    /** Bins that a message's noise is stated for, as on the float. */
    private static final int BINS_AHEAD = 16;

    private static final byte[] KEY = new byte[32];
    private static final KeyRing KEYS = KeyRing.of(Map.of(1, KEY));

    private OwnCodec() {}

    /**
     * A message and what went into it.
     *
     * @param bins in their order
     */
    @SuppressWarnings("ArrayRecordComponent") // internal to the benchmark and never compared
    record Sent(byte[] bytes, List<BinRecord> bins) {}

    /** Messages of a dive, head after head; null when a bin does not fit a message. */
    static List<Sent> messages(DiveBins dive, int codec, int stepCode, int messageBytes) {
        List<Sent> messages = new ArrayList<>();
        MessageWriter writer = new MessageWriter(KEY, messageBytes);
        BlockHeader header = header(dive, codec);
        if (!Codecs.ofNumber(codec).carries(header.samples, header.channelsPerSample)) {
            return null;
        }
        BlockCodec.Encoder encoder = Codecs.ofNumber(codec).encoder(header.samples);
        for (int head = 0; head < dive.heads(); head++) {
            header.head = head;
            List<BinRecord> in = new ArrayList<>();
            List<BinRecord> all = dive.ofHead(head);
            for (int i = 0; i < all.size(); i++) {
                BinRecord bin = all.get(i);
                boolean quieter = bin.darkNoise / BinRecord.DARK_NOISE_PER_QUARTER < header.readNoiseQuarters;
                if (!in.isEmpty() && (quieter || in.size() == BASE_BINS || !encoder.add(bin, stepCode))) {
                    messages.add(ended(writer, encoder, in));
                    in = new ArrayList<>();
                }
                if (in.isEmpty()) {
                    header.readNoiseQuarters = noiseQuarters(all.subList(i, Math.min(all.size(), i + BINS_AHEAD)));
                    begin(writer, BlockType.BINS, messages.size());
                    encoder.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit(), header);
                    if (!encoder.add(bin, stepCode)) {
                        return null;
                    }
                }
                in.add(bin);
            }
            if (!in.isEmpty()) {
                messages.add(ended(writer, encoder, in));
            }
        }
        return messages;
    }

    /** What a message states for these bins: as the float does, the least of what its darks told it. */
    private static int noiseQuarters(List<BinRecord> bins) {
        return bins.stream().mapToInt(bin -> bin.darkNoise).min().orElse(0) / BinRecord.DARK_NOISE_PER_QUARTER;
    }

    static BlockHeader header(DiveBins dive, int codec) {
        BlockHeader header = new BlockHeader();
        header.codec = codec;
        header.channelsPerSample = 1;
        header.gainSixteenths = (int) Math.rint(dive.gain() * 16);
        header.readNoiseQuarters = noiseQuarters(dive.bins());
        header.samples = dive.channelNm().size();
        return header;
    }

    private static void begin(MessageWriter writer, BlockType block, int position) {
        writer.begin(Kind.DIVE, true, 1, 1, position, block.number(), position);
    }

    private static Sent ended(MessageWriter writer, BlockCodec.Encoder encoder, List<BinRecord> bins) {
        return new Sent(Arrays.copyOf(writer.buffer(), writer.finish(encoder.finish())), bins);
    }

    /** As the float has it. */
    static SamplesEncoder samplesEncoder() {
        return new SamplesEncoder(BASE_BINS, WINDOW);
    }

    /** Messages that refine a base to every sample; null when a base cannot be refined. */
    static List<Sent> refinements(List<Sent> base, int messageBytes) {
        List<Sent> messages = new ArrayList<>();
        MessageWriter writer = new MessageWriter(KEY, messageBytes);
        SamplesEncoder encoder = samplesEncoder();
        for (int position = 0; position < base.size(); position++) {
            List<BinRecord> own = base.get(position).bins();
            Base told = base(accepted(List.of(base.get(position).bytes())).get(0));
            int quietest = own.stream().mapToInt(bin -> bin.darkNoise).min().orElse(0);
            int lit = (int) told.bins().stream().filter(bin -> bin.samples > 0).count();
            for (int first = 0; lit > 0 && first < told.header().samples; first = encoder.next()) {
                encoder.begin(told.header(), lit, first, quietest);
                for (int i = 0; i < own.size(); i++) {
                    if (!encoder.add(own.get(i), told.bins().get(i))) {
                        return null;
                    }
                }
                while (!encoder.done()) {
                    begin(writer, BlockType.SAMPLES, base.size() + messages.size());
                    int length = encoder.write(writer.buffer(), writer.bodyOffset(), writer.bodyLimit(), position);
                    if (length == 0) {
                        return null;
                    }
                    messages.add(new Sent(Arrays.copyOf(writer.buffer(), writer.finish(length)), List.of()));
                }
            }
        }
        return messages;
    }

    static int onAir(List<Sent> messages) {
        return messages.stream().mapToInt(m -> m.bytes().length).sum();
    }

    static List<byte[]> bytes(List<Sent> messages) {
        return messages.stream().map(Sent::bytes).toList();
    }

    /** Messages from bytes, sealed by us or unsealed. */
    static List<Message> accepted(List<byte[]> all) {
        List<Message> messages = new ArrayList<>();
        for (byte[] bytes : all) {
            Verdict verdict = MessageReader.read(bytes, KEYS);
            if (!(verdict instanceof Verdict.Accepted)) {
                verdict = MessageReader.read(bytes, KeyRing.none());
            }
            if (!(verdict instanceof Verdict.Accepted accepted)) {
                throw new IllegalStateException("a message of ours is rejected");
            }
            messages.add(accepted.message());
        }
        return messages;
    }

    record Base(BlockHeader header, List<BinRecord> bins) {}

    static Base base(Message message) {
        byte[] body = message.body();
        BlockHeader header = new BlockHeader();
        BlockCodec.Decoder decoder = Codecs.ofBody(body).decoder(MOST_SAMPLES);
        List<BinRecord> bins = new ArrayList<>();
        int state = decoder.begin(body, 0, body.length, header);
        while (state != BlockCodec.Decoder.SPOILT) {
            BinRecord bin = new BinRecord(MOST_SAMPLES);
            state = decoder.next(bin);
            if (state != BlockCodec.Decoder.BIN) {
                break;
            }
            bins.add(bin);
        }
        if (state == BlockCodec.Decoder.SPOILT) {
            throw new IllegalStateException("a body of ours is spoilt");
        }
        return new Base(header, bins);
    }

    /** Bins from messages of bins and samples, in the order of the positions. */
    static List<BinRecord> decode(List<Message> messages) {
        Map<Integer, Base> bases = new HashMap<>();
        List<BinRecord> bins = new ArrayList<>();
        for (Message message : messages) {
            if (message.block() == BlockType.BINS.number()) {
                Base base = base(message);
                bases.put(message.position(), base);
                bins.addAll(base.bins());
            }
        }
        Map<Integer, int[][]> refined = new HashMap<>();
        SamplesDecoder decoder = new SamplesDecoder(BASE_BINS);
        for (Message message : messages) {
            byte[] body = message.body();
            if (message.block() != BlockType.SAMPLES.number()) {
                continue;
            }
            int position = SamplesCodec.known(body, 0, body.length) ? SamplesCodec.basePosition(body, 0) : -1;
            Base base = bases.get(position);
            if (base == null) {
                throw new IllegalStateException("a refinement of ours names no base");
            }
            BinRecord[] told = base.bins().toArray(new BinRecord[0]);
            int[][] into = refined.computeIfAbsent(position, p -> new int[told.length][base.header().samples]);
            if (!decoder.read(body, 0, body.length, base.header(), told, into)) {
                throw new IllegalStateException("a refinement of ours is spoilt");
            }
        }
        // The bases stay as they were told until every refinement is read.
        refined.forEach((position, rows) -> {
            List<BinRecord> told = bases.get(position).bins();
            for (int i = 0; i < rows.length; i++) {
                System.arraycopy(rows[i], 0, told.get(i).counts, 0, told.get(i).samples);
            }
        });
        return bins;
    }
}
