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

/** The vector of the samples tier: a coarse base by codec 1, and a message that refines the middle of its samples. */
final class SamplesVector {
    private static final int SAMPLES = 40;
    private static final int FIRST = 9;
    private static final int BASE_POSITION = 3;
    private static final int STEP_CODE = 13;

    /** 1/64 count: 8 counts and 11 parts more. */
    private static final int DARK_NOISE = 8 * 64 + 11;

    final List<BinRecord> own = new ArrayList<>();
    final List<BinRecord> told = new ArrayList<>();
    final BlockHeader header;
    final byte[] base;
    final byte[] bytes;

    /** Five bins over two exposures; one has no spectrum, one a sample far from its base. */
    SamplesVector(byte[] key, BlockHeader header, java.util.function.IntFunction<BinRecord> bins) {
        this.header = header;
        MessageWriter writer = new MessageWriter(key, 340);
        writer.begin(Kind.DIVE, true, 77, 12, BASE_POSITION, BlockType.BINS.number(), 2);
        BlockCodec.Encoder encoder = Codecs.ofNumber(header.codec).encoder(SAMPLES);
        encoder.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit(), header);
        for (int n = 0; n < 5; n++) {
            BinRecord bin = bins.apply(n);
            encoder.add(bin, STEP_CODE);
            own.add(bin);
        }
        base = Arrays.copyOf(writer.buffer(), writer.finish(encoder.finish()));
        own.get(2).counts[20] += 400_000; // as if the base had lost a line
        byte[] body = body(base, key);
        BlockCodec.Decoder decoder = Codecs.ofBody(body).decoder(SAMPLES);
        decoder.begin(body, 0, body.length, new BlockHeader());
        for (int n = 0; n < own.size(); n++) {
            BinRecord bin = new BinRecord(SAMPLES);
            decoder.next(bin);
            told.add(bin);
        }
        writer.begin(Kind.DIVE, true, 77, 12, 9, BlockType.SAMPLES.number(), 0);
        SamplesEncoder samples = new SamplesEncoder(own.size(), 4 * 22);
        samples.begin(header, 4, FIRST, DARK_NOISE);
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
        int[][] refined = new int[own.size()][SAMPLES];
        for (int n = 0; n < refined.length; n++) {
            System.arraycopy(told.get(n).counts, 0, refined[n], 0, SAMPLES);
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
