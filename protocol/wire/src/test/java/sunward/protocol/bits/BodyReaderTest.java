package sunward.protocol.bits;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.HexFormat;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class BodyReaderTest {
    private static BodyReader reader(String hex) {
        byte[] bytes = HexFormat.of().parseHex(hex);
        BodyReader reader = new BodyReader();
        reader.begin(bytes, 0, bytes.length);
        return reader;
    }

    /** Published: the encoding page of the Protocol Buffers documentation, fields 1 = 150, 2 = "testing", packed 6. */
    @Test
    void readsThePublishedExamples() {
        BodyReader reader = reader("089601120774657374696e67" + "3206038e029ea705");
        assertTrue(reader.next());
        assertEquals(1, reader.field());
        assertEquals(150, reader.varint());
        assertTrue(reader.next());
        assertEquals(2, reader.field());
        assertEquals(7, reader.length());
        assertTrue(reader.next());
        assertEquals(6, reader.field());
        BodyReader packed = new BodyReader();
        packed.begin(reader);
        for (long expected : new long[] {3, 270, 86942}) {
            assertTrue(packed.nextPacked());
            assertEquals(expected, packed.varint());
        }
        assertFalse(packed.nextPacked());
        assertFalse(packed.spoilt());
        assertFalse(reader.next());
        assertFalse(reader.spoilt());
    }

    /** Cut varint, cut fixed, length beyond the end, negative length, field 0, groups, tag too wide, varint too long. */
    @ParameterizedTest
    @CsvSource({
        "0896",
        "08",
        "0d010203",
        "0901020304050607",
        "120461",
        "12ffffffffffffffffff01",
        "0001",
        "0b",
        "0c",
        "0e01",
        "8880808010",
        "08ffffffffffffffffffff01"
    })
    void saysWhatIsNoField(String hex) {
        BodyReader reader = reader(hex);
        assertFalse(reader.next());
        assertTrue(reader.spoilt());
        assertFalse(reader.next());
        assertFalse(reader.nextPacked());
    }

    @Test
    void readsBackWhatTheWriterWrote() {
        BodyWriter writer = new BodyWriter();
        BodyReader reader = new BodyReader();
        byte[] body = new byte[400];
        for (int seed = 1; seed <= 2000; seed++) {
            Random random = new Random(seed);
            int offset = random.nextInt(20);
            writer.begin(body, offset, body.length);
            long[] values = new long[1 + random.nextInt(12)];
            for (int i = 0; i < values.length; i++) {
                values[i] = random.nextLong() >> random.nextInt(64);
                if (i % 4 == 0) {
                    writer.varint(i + 1, values[i]);
                } else if (i % 4 == 1) {
                    writer.sint(i + 1, values[i]);
                } else if (i % 4 == 2) {
                    writer.fixed64(i + 1, values[i]);
                } else {
                    int mark = writer.open(i + 1);
                    writer.packedSint(values[i]);
                    writer.close(mark);
                }
            }
            reader.begin(body, offset, offset + writer.length());
            for (int i = 0; i < values.length; i++) {
                assertTrue(reader.next(), "seed " + seed);
                assertEquals(i + 1, reader.field(), "seed " + seed);
                long value = i % 4 == 1 ? reader.sint() : reader.varint();
                if (i % 4 == 3) {
                    BodyReader inner = new BodyReader();
                    inner.begin(reader);
                    assertTrue(inner.nextPacked());
                    value = inner.sint();
                }
                assertEquals(values[i], value, "seed " + seed + " field " + (i + 1));
            }
            assertFalse(reader.next() || reader.spoilt());
        }
    }

    /** Random bytes end; nothing outside the range is touched: other bytes around it change nothing. */
    @Test
    void randomBytesEndInsideTheirRange() {
        BodyReader reader = new BodyReader();
        for (int seed = 1; seed <= 20_000; seed++) {
            Random random = new Random(seed);
            byte[] bytes = new byte[60];
            random.nextBytes(bytes);
            int end = 20 + random.nextInt(30);
            byte[] other = bytes.clone();
            Arrays.fill(other, end, other.length, (byte) 1);
            Arrays.fill(other, 0, 20, (byte) 1);
            assertEquals(trail(reader, bytes, 20, end), trail(reader, other, 20, end), "seed " + seed);
        }
    }

    private static String trail(BodyReader reader, byte[] bytes, int from, int end) {
        StringBuilder trail = new StringBuilder();
        reader.begin(bytes, from, end);
        while (reader.next()) {
            trail.append(reader.field())
                    .append(' ')
                    .append(reader.type())
                    .append(' ')
                    .append(reader.varint())
                    .append(';');
            assertTrue(reader.length() == 0 || reader.start() >= from && reader.start() + reader.length() <= end);
        }
        return trail.append(reader.spoilt()).toString();
    }
}
