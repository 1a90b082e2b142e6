package sunward.protocol.message;

import java.util.HexFormat;
import java.util.function.UnaryOperator;
import sunward.protocol.bits.AdaptiveIntegers;
import sunward.protocol.bits.BitModels;
import sunward.protocol.bits.RangeEncoder;

/** Bodies that no writer makes, in sound messages. */
final class SpoiltVectors {
    private static final int HEADER = 18;

    private SpoiltVectors() {}

    /** Makes them from the bytes of sound vectors, by name. */
    static void give(UnaryOperator<String> soundBytes, VectorSink sink) {
        byte[] basis = body(soundBytes.apply("bins-basis.txt"));
        basis[basis.length - 300] ^= 0x40;
        add(sink, "spoilt-basis", BlockType.BINS, basis, basis.length);

        byte[] look = body(soundBytes.apply("first-look.txt"));
        RangeEncoder stream = new RangeEncoder();
        stream.begin(look, HEADER, look.length);
        stream.plain(3, 1);
        stream.plain(1, 1);
        BitModels latitude = new BitModels(AdaptiveIntegers.MODELS);
        AdaptiveIntegers.prepare(latitude, 0, 11);
        AdaptiveIntegers.code(stream, latitude, 0, 9001);
        stream.finish();
        add(sink, "spoilt-first-look", BlockType.FIRST_LOOK, look, HEADER + stream.length());

        byte[] outline = body(soundBytes.apply("outline-eleven-knots.txt"));
        stream.begin(outline, HEADER, outline.length);
        stream.plain(3, 2);
        stream.plain(4, 2);
        stream.plain(2, 2);
        stream.plain(5, 27 - 1);
        stream.finish();
        add(sink, "spoilt-outline", BlockType.OUTLINE, outline, HEADER + stream.length());
    }

    private static byte[] body(String hex) {
        byte[] message = HexFormat.of().parseHex(hex);
        int length = message.length - MessageLayout.HEADER_BYTES - MessageLayout.SEALED_BYTES;
        byte[] body = new byte[length];
        System.arraycopy(message, MessageLayout.HEADER_BYTES, body, 0, length);
        return body;
    }

    private static void add(VectorSink sink, String name, BlockType block, byte[] body, int length) {
        MessageWriter writer = new MessageWriter(null, 1960);
        writer.begin(Kind.DIVE, true, TestVectorsTest.FLOAT, 12, 4, block.number(), 0);
        System.arraycopy(body, 0, writer.buffer(), writer.bodyOffset(), length);
        sink.add(name, null, "", TestVectorsTest.bytes(writer, length));
    }
}
