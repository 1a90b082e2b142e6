package sunward.protocol.message;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.stream.Collectors;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Codecs;
import sunward.protocol.spectra.SamplesDecoder;
import sunward.protocol.spectra.SamplesEncoder;

/** A vector of the samples tier: a base, and a message that refines some of its samples. */
final class SamplesVector {
    private static final int BASE_POSITION = 3;
    private static final int REFINED = 22;

    /** 1/64 count: 8 counts and 11 parts more. */
    private static final int DARK_NOISE = 8 * 64 + 11;

    final List<BinRecord> own = new ArrayList<>();
    final List<BinRecord> told = new ArrayList<>();
    final BlockHeader header;
    private final byte[] key;
    final byte[] base;
    final byte[] bytes;

    /**
     * Refines bins, the third with a sample far from its base.
     *
     * @param first of the samples that are refined
     */
    SamplesVector(byte[] key, BlockHeader header, List<BinRecord> bins, int stepCode, int first) {
        this.header = header;
        this.key = key;
        MessageWriter writer = new MessageWriter(key, header.samples < 100 ? 340 : 1960);
        writer.begin(Kind.DIVE, true, 77, 12, BASE_POSITION, BlockType.BINS.number(), 2);
        BlockCodec.Encoder encoder = Codecs.ofNumber(header.codec).encoder(header.samples);
        encoder.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit(), header);
        for (BinRecord bin : bins) {
            if (!encoder.add(bin, stepCode)) {
                throw new IllegalStateException("bin " + own.size() + " does not fit");
            }
            own.add(bin);
        }
        base = Arrays.copyOf(writer.buffer(), writer.finish(encoder.finish()));
        own.get(2).counts[first + 11] += 400_000; // as if the base had lost a line
        byte[] body = body(base, key);
        BlockCodec.Decoder decoder = Codecs.ofBody(body).decoder(header.samples);
        decoder.begin(body, 0, body.length, new BlockHeader());
        for (int n = 0; n < own.size(); n++) {
            BinRecord bin = new BinRecord(header.samples);
            decoder.next(bin);
            told.add(bin);
        }
        writer.begin(Kind.DIVE, true, 77, 12, 9, BlockType.SAMPLES.number(), 0);
        int rows = (int) told.stream().filter(bin -> bin.samples > 0).count();
        SamplesEncoder samples = new SamplesEncoder(own.size(), rows * REFINED);
        samples.begin(header, rows, first, DARK_NOISE);
        for (int n = 0; n < own.size(); n++) {
            if (!samples.add(own.get(n), told.get(n))) {
                throw new IllegalStateException("bin " + n);
            }
        }
        int length = samples.write(writer.buffer(), writer.bodyOffset(), writer.bodyLimit(), BASE_POSITION);
        bytes = Arrays.copyOf(writer.buffer(), writer.finish(length));
    }

    private static byte[] body(byte[] message, byte[] key) {
        KeyRing ring = key == null ? KeyRing.none() : KeyRing.of(java.util.Map.of(77, key));
        return ((Verdict.Accepted) MessageReader.read(message, ring)).message().body();
    }

    /** The same message, but its samples end one beyond the base's. */
    byte[] beyond() {
        byte[] body = body(bytes, key);
        int first = header.samples + 1 - REFINED;
        body[2] = (byte) (first >>> 2);
        body[3] = (byte) (first << 6 | body[3] & 0x3f);
        MessageWriter writer = new MessageWriter(key, 340);
        writer.begin(Kind.DIVE, true, 77, 12, 9, BlockType.SAMPLES.number(), 0);
        System.arraycopy(body, 0, writer.buffer(), writer.bodyOffset(), body.length);
        return Arrays.copyOf(writer.buffer(), writer.finish(body.length));
    }

    /** What goes before the message's bytes. */
    String given() {
        StringBuilder text = new StringBuilder("base = " + HexFormat.of().formatHex(base) + "\n");
        for (int n = 0; n < own.size(); n++) {
            text.append("given counts ").append(n).append(" =").append(counts(own.get(n).counts, own.get(n).samples));
        }
        return text.toString();
    }

    /** What a reader gives back. */
    String refined(byte[] body) {
        int[][] refined = new int[own.size()][header.samples];
        for (int n = 0; n < refined.length; n++) {
            System.arraycopy(told.get(n).counts, 0, refined[n], 0, header.samples);
        }
        boolean sound = new SamplesDecoder(refined.length)
                .read(body, 0, body.length, header, told.toArray(new BinRecord[0]), refined);
        StringBuilder text = new StringBuilder();
        for (int n = 0; n < refined.length && sound; n++) {
            text.append("refined counts ").append(n).append(" =").append(counts(refined[n], told.get(n).samples));
        }
        return text.append(sound ? "end = well\n" : "end = spoilt\n").toString();
    }

    private static String counts(int[] counts, int samples) {
        return Arrays.stream(counts).limit(samples).mapToObj(c -> " " + c).collect(Collectors.joining()) + "\n";
    }
}
