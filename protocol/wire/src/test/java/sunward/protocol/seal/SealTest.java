package sunward.protocol.seal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.util.HexFormat;
import java.util.Random;
import java.util.zip.CRC32C;
import javax.crypto.Mac;
import javax.crypto.spec.SecretKeySpec;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Check values and seals against published values and the JDK's own implementations. */
class SealTest {
    private static final HexFormat HEX = HexFormat.of();

    @Test
    void crcOfTheCatalogueCheckString() {
        // Published: check value of CRC-32/ISCSI in the CRC RevEng catalogue.
        byte[] check = "123456789".getBytes(StandardCharsets.US_ASCII);
        assertEquals(0xE3069283, Crc32c.of(check, 0, check.length));
    }

    @Test
    void crcOfRfc3720Patterns() {
        // Published: RFC 3720 (2004), appendix B.4; its byte order is that of the little-endian wire.
        byte[] bytes = new byte[32];
        assertEquals(0x8A9136AA, Crc32c.of(bytes, 0, 32), "32 zeros");
        java.util.Arrays.fill(bytes, (byte) 0xff);
        assertEquals(0x62A8AB43, Crc32c.of(bytes, 0, 32), "32 ones");
        for (int i = 0; i < 32; i++) {
            bytes[i] = (byte) i;
        }
        assertEquals(0x46DD794E, Crc32c.of(bytes, 0, 32), "ascending");
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

    /** Published: RFC 4231 (2005), test cases 1 to 7; keys and data as hexadecimal, "xx*n" repeats a byte. */
    @ParameterizedTest
    @CsvSource({
        "1, 0b*20, 4869205468657265, b0344c61d8db38535ca8afceaf0bf12b881dc200c9833da726e9376c2e32cff7",
        "2, 4a656665, 7768617420646f2079612077616e7420666f72206e6f7468696e673f,"
                + " 5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843",
        "3, aa*20, dd*50, 773ea91e36800e46854db8ebd09181a72959098b3ef8c122d9635514ced565fe",
        "4, 0102030405060708090a0b0c0d0e0f10111213141516171819, cd*50,"
                + " 82558a389a443c0ea4cc819899f2083a85f0faa3e578f8077a2e3ff46729665b",
        "5, 0c*20, 546573742057697468205472756e636174696f6e, a3b6167473100ee06e0c796c2955552b",
        "6, aa*131, 54657374205573696e67204c6172676572205468616e20426c6f636b2d53697a65204b6579202d2048617368204b65"
                + "79204669727374, 60e431591ee0b67f0d8a26aacbf5b77f8e0bc6213728c5140546040f0ee37f54",
        "7, aa*131, 5468697320697320612074657374207573696e672061206c6172676572207468616e20626c6f636b2d73697a65206b65"
                + "7920616e642061206c6172676572207468616e20626c6f636b2d73697a6520646174612e20546865206b6579206e656564"
                + "7320746f20626520686173686564206265666f7265206265696e6720757365642062792074686520484d414320616c676f"
                + "726974686d2e, 9b09ffa71b942fcb27635fbcd5b0e944bfdc63644f0713938a7f51535c3a35e2"
    })
    void hmacOfRfc4231(int testCase, String key, String data, String expected) {
        byte[] input = hex(data);
        byte[] code = new byte[expected.length() / 2];
        HmacSha256 hmac = new HmacSha256(hex(key));
        hmac.update(input, 0, input.length);
        hmac.finish(code, 0, code.length);
        assertEquals(expected, HEX.formatHex(code), "case " + testCase);
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
}
