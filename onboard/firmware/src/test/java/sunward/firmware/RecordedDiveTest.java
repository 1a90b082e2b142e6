package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * The messages of the recorded dive are those in its files, byte for byte. Written anew with {@code
 * -Dtest.jvm.arguments=-Dsunward.vectors=write}, here first, then in shore/profiles; a change of bytes is a change to look at.
 */
class RecordedDiveTest {
    private static final HexFormat HEX = HexFormat.of();
    private static final byte[] KEY = HEX.parseHex("000102030405060708090a0b0c0d0e0f101112131415161718191a1b1c1d1e1f");

    @ParameterizedTest
    @ValueSource(strings = {"sent-sealed", "sent-unsealed"})
    void messagesAreThoseOfTheFile(String name) throws IOException {
        byte[] key = name.equals("sent-sealed") ? KEY : null;
        List<byte[]> sent = RecordedDive.fly(key);
        StringBuilder text = new StringBuilder(
                "# Sunward wire version 0, invented data; README.md beside this file says how to read it.\n");
        text.append("key = ").append(key == null ? "none" : HEX.formatHex(key)).append('\n');
        for (int i = 0; i < sent.size(); i++) {
            text.append("sent ")
                    .append(i)
                    .append(" = ")
                    .append(HEX.formatHex(sent.get(i)))
                    .append('\n');
        }
        Path file = RecordedDive.FOLDER.resolve(name + ".txt");
        if ("write".equals(System.getProperty("sunward.vectors"))) {
            Files.writeString(file, text, StandardCharsets.UTF_8);
        }
        assertEquals(Files.readString(file, StandardCharsets.UTF_8), text.toString(), name);
    }
}
