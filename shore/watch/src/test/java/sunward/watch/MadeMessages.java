package sunward.watch;

import com.google.protobuf.ByteString;
import com.google.protobuf.CodedOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.Kind;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.schema.Fix;
import sunward.protocol.schema.Ledger;

/** Messages for tests: real envelopes, ledger bodies that can be read, other bodies of random bytes. All invented. */
public final class MadeMessages {
    private MadeMessages() {}

    /** A whole dive of {@code count} messages, the ledger first. */
    public static List<byte[]> dive(int floatNumber, int dive, int count, long seed) {
        List<byte[]> messages = new ArrayList<>();
        SplittableRandom random = new SplittableRandom(seed * 1_000_003 + floatNumber * 4099L + dive);
        messages.add(ledger(floatNumber, dive, count, random));
        for (int position = 1; position < count; position++) {
            byte[] body = new byte[40 + random.nextInt(280)];
            random.nextBytes(body);
            messages.add(message(floatNumber, dive, position, BlockType.BINS, position - 1, body));
        }
        return messages;
    }

    private static byte[] ledger(int floatNumber, int dive, int count, SplittableRandom random) {
        Ledger ledger = Ledger.newBuilder()
                .setMessagesPlanned(count)
                .setSurfacedS(850_000_000 + dive * 864_000)
                .addFixes(Fix.newBuilder()
                        .setTimeS(850_000_100 + dive * 864_000)
                        .setLatitudeE5(random.nextInt(-6_000_000, 6_000_000))
                        .setLongitudeE5(random.nextInt(-18_000_000, 18_000_000)))
                .setPlanDigest(ByteString.copyFrom(new byte[8]))
                .build();
        return message(floatNumber, dive, 0, BlockType.LEDGER, 0, ledger.toByteArray());
    }

    /** One message, marked simulated and unsealed. */
    public static byte[] message(int floatNumber, int dive, int position, BlockType block, int part, byte[] body) {
        MessageWriter writer = new MessageWriter(null, 400);
        writer.begin(Kind.DIVE, true, floatNumber, dive, position, block.number(), part);
        System.arraycopy(body, 0, writer.buffer(), writer.bodyOffset(), body.length);
        return Arrays.copyOf(writer.buffer(), writer.finish(body.length));
    }

    /** The bytes on the stream of one request. */
    public static byte[] frame(com.google.protobuf.MessageLite request) {
        try {
            byte[] out = new byte[CodedOutputStream.computeMessageSizeNoTag(request)];
            CodedOutputStream coded = CodedOutputStream.newInstance(out);
            coded.writeMessageNoTag(request);
            coded.flush();
            return out;
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
