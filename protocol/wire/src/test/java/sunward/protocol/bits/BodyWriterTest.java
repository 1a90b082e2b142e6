package sunward.protocol.bits;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.HexFormat;
import java.util.function.Consumer;
import org.junit.jupiter.api.Test;

/** Bytes of the Protocol Buffers wire format; examples from the published encoding page where named. */
class BodyWriterTest {
    private static String hex(Consumer<BodyWriter> content) {
        byte[] bytes = new byte[4096];
        BodyWriter writer = new BodyWriter();
        writer.begin(bytes, 0, bytes.length);
        content.accept(writer);
        assertFalse(writer.overflowed());
        return HexFormat.of().formatHex(bytes, 0, writer.length());
    }

    @Test
    void examplesOfTheEncodingPage() {
        // Published: protobuf.dev, "Encoding": Test1 {a: 150}, Test2 {b: "testing"}, Test3 {c: {a: 150}},
        // Test4 {d: "hello", e: [1, 2, 3]}, Test5 {f: [3, 270, 86942]}.
        assertEquals("089601", hex(w -> w.varint(1, 150)));
        byte[] testing = {'t', 'e', 's', 't', 'i', 'n', 'g'};
        assertEquals("120774657374696e67", hex(w -> w.bytes(2, testing, 0, 7)));
        assertEquals("1a03089601", hex(w -> {
            int mark = w.open(3);
            w.varint(1, 150);
            w.close(mark);
        }));
        assertEquals("3206038e029ea705", hex(w -> {
            int mark = w.open(6);
            w.packedVarint(3);
            w.packedVarint(270);
            w.packedVarint(86942);
            w.close(mark);
        }));
        // The same page's table of zigzag numbers: 0, -1, 1, -2, 2147483647, -2147483648.
        assertEquals("0800" + "0801" + "0802" + "0803" + "08feffffff0f" + "08ffffffff0f", hex(w -> {
            for (long value : new long[] {0, -1, 1, -2, 2147483647L, -2147483648L}) {
                w.sint(1, value);
            }
        }));
        // The same page: -2 as int64 takes ten bytes.
        assertEquals("08feffffffffffffffff01", hex(w -> w.varint(1, -2)));
    }

    @Test
    void fixedFieldsAreLittleEndian() {
        assertEquals("0d78563412" + "11efcdab8967452301", hex(w -> {
            w.fixed32(1, 0x12345678);
            w.fixed64(2, 0x0123456789abcdefL);
        }));
    }

    @Test
    void longNestedContentMovesToMakeRoomForItsLength() {
        for (int length : new int[] {0, 1, 127, 128, 200, 3000}) {
            byte[] content = new byte[length];
            java.util.Arrays.fill(content, (byte) 0x5a);
            String nested = hex(w -> {
                int outer = w.open(1);
                for (byte value : content) {
                    w.packedVarint(value);
                }
                w.close(outer);
                w.varint(2, 1);
            });
            assertEquals(hex(w -> w.bytes(1, content, 0, length)) + "1001", nested, "length " + length);
        }
    }

    @Test
    void whatDoesNotFitRaisesTheFlagAndStaysInside() {
        for (int limit = 0; limit < 12; limit++) {
            byte[] bytes = new byte[16];
            BodyWriter writer = new BodyWriter();
            writer.begin(bytes, 2, 2 + limit);
            int mark = writer.open(1);
            writer.sint(1, -1000);
            writer.bytes(2, new byte[] {1, 2, 3}, 0, 3);
            writer.close(mark);
            assertEquals(limit < 10, writer.overflowed(), "limit " + limit);
            assertTrue(writer.length() <= limit);
            for (int i = 2 + limit; i < 16; i++) {
                assertEquals(0, bytes[i], "limit " + limit);
            }
        }
    }

    @Test
    void aNestedLengthThatGrowsPastTheLimitRaisesTheFlag() {
        byte[] bytes = new byte[140];
        BodyWriter writer = new BodyWriter();
        writer.begin(bytes, 0, 130);
        int mark = writer.open(1);
        for (int i = 0; i < 128; i++) {
            writer.packedVarint(1);
        }
        assertFalse(writer.overflowed());
        writer.close(mark);
        assertTrue(writer.overflowed());
        assertEquals(0, bytes[130]);
    }
}
