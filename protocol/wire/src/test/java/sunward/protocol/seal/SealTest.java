package sunward.protocol.seal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.util.HexFormat;
import java.util.List;
import java.util.Random;
import java.util.stream.Collectors;
import java.util.zip.CRC32C;
import javax.crypto.Mac;
import javax.crypto.spec.SecretKeySpec;
import org.junit.jupiter.api.Test;

/** Check values and seals against published values and the JDK's own implementations. */
class SealTest {
    private static final HexFormat HEX = HexFormat.of();

    /** Published values; the file names its sources. */
    @Test
    void crcOfTheCatalogueAndOfRfc3720() throws IOException {
        List<String[]> checks = checks("crc-32c.txt");
        assertEquals(4, checks.size());
        for (String[] check : checks) {
            byte[] input = hex(check[0]);
            assertEquals(check[1], HEX.toHexDigits(Crc32c.of(input, 0, input.length)), check[0]);
        }
    }

    /** Lines of a file of check values: the fields before and after the commas and the equals sign. */
    private static List<String[]> checks(String file) throws IOException {
        Path path = Path.of("..", "..", "test-vectors", "checks", file);
        return Files.readAllLines(path, StandardCharsets.UTF_8).stream()
                .filter(line -> !line.startsWith("#"))
                .map(line -> line.split(", | = ", -1))
                .collect(Collectors.toList());
    }

    @Test
    void sha256OfTheStandardsExample() {
        // Published: FIPS 180-4 example "abc".
        byte[] digest = new byte[32];
        Sha256 hash = new Sha256();
        hash.update("abc".getBytes(StandardCharsets.US_ASCII), 0, 3);
        hash.finish(digest, 0);
        assertEquals("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", HEX.formatHex(digest));
    }

    /** Published: RFC 4231 (2005), test cases 1 to 7. */
    @Test
    void hmacOfRfc4231() throws IOException {
        List<String[]> checks = checks("hmac-sha-256.txt");
        assertEquals(7, checks.size());
        for (String[] check : checks) {
            byte[] input = hex(check[1]);
            byte[] code = new byte[check[2].length() / 2];
            HmacSha256 hmac = new HmacSha256(hex(check[0]));
            hmac.update(input, 0, input.length);
            hmac.finish(code, 0, code.length);
            assertEquals(check[2], HEX.formatHex(code), check[1]);
        }
    }

    private static byte[] hex(String text) {
        int star = text.indexOf('*');
        return star < 0
                ? HEX.parseHex(text)
                : HEX.parseHex(text.substring(0, star).repeat(Integer.parseInt(text.substring(star + 1))));
    }

    @Test
    void agreesWithTheJdkOnRandomBytesInRandomPieces() throws Exception {
        for (int seed = 1; seed <= 300; seed++) {
            Random random = new Random(seed);
            byte[] key = new byte[1 + random.nextInt(150)];
            byte[] data = new byte[random.nextInt(700)];
            random.nextBytes(key);
            random.nextBytes(data);
            Sha256 hash = new Sha256();
            HmacSha256 hmac = new HmacSha256(key);
            int crc = 0;
            for (int at = 0; at < data.length; ) {
                int piece = Math.min(data.length - at, 1 + random.nextInt(130));
                crc = Crc32c.continued(crc, data, at, piece);
                hash.update(data, at, piece);
                hmac.update(data, at, piece);
                at += piece;
            }
            byte[] digest = new byte[32];
            CRC32C jdkCrc = new CRC32C();
            jdkCrc.update(data);
            assertEquals((int) jdkCrc.getValue(), crc, "CRC-32C, seed " + seed);
            hash.finish(digest, 0);
            assertArrayEquals(MessageDigest.getInstance("SHA-256").digest(data), digest, "SHA-256, seed " + seed);
            Mac mac = Mac.getInstance("HmacSHA256");
            mac.init(new SecretKeySpec(key, "HmacSHA256"));
            hmac.finish(digest, 0, 32);
            assertArrayEquals(mac.doFinal(data), digest, "HMAC, seed " + seed);
            hmac.update(data, 0, data.length);
            hmac.finish(digest, 0, 32);
            assertArrayEquals(mac.doFinal(data), digest, "HMAC again, seed " + seed);
        }
    }

    @Test
    void comparisonSeesEveryBit() {
        byte[] a = {1, 2, 3, 4, 5, 6, 7, 8};
        assertTrue(HmacSha256.same(a, 0, a.clone(), 0, 8));
        for (int bit = 0; bit < 64; bit++) {
            byte[] b = a.clone();
            b[bit / 8] ^= (byte) (1 << bit % 8);
            assertFalse(HmacSha256.same(a, 0, b, 0, 8), "bit " + bit);
        }
    }

    /** Second implementation: the JDK's Mac. */
    @Test
    void theTwoDirectionsHaveKeysOfTheirOwn() throws Exception {
        byte[] floatKey = "a key for tests only, 32 bytes!!".getBytes(StandardCharsets.US_ASCII);
        DirectionKeys keys = new DirectionKeys(floatKey);
        assertArrayEquals(directed(floatKey, "float to shore"), code(keys.toShore()));
        assertArrayEquals(directed(floatKey, "shore to float"), code(keys.toFloat()));
        assertEquals("key", keys.toString());
    }

    private static byte[] code(HmacSha256 seal) {
        seal.update(new byte[] {1, 2, 3}, 0, 3);
        byte[] code = new byte[32];
        seal.finish(code, 0, code.length);
        return code;
    }

    private static byte[] directed(byte[] floatKey, String label) throws Exception {
        byte[] key = mac(floatKey, label.getBytes(StandardCharsets.US_ASCII));
        return mac(key, new byte[] {1, 2, 3});
    }

    private static byte[] mac(byte[] key, byte[] data) throws Exception {
        Mac mac = Mac.getInstance("HmacSHA256");
        mac.init(new SecretKeySpec(key, "HmacSHA256"));
        return mac.doFinal(data);
    }
}
