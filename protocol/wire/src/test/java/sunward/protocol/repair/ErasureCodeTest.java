package sunward.protocol.repair;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.Random;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class ErasureCodeTest {
    private static byte[] symbol(byte[][] codeword, int[] known, int k, int target) {
        int[] coefficients = new int[k];
        ErasureCode.coefficients(known, k, target, coefficients);
        byte[] made = new byte[codeword[known[0]].length];
        for (int i = 0; i < k; i++) {
            ErasureCode.addScaled(coefficients[i], codeword[known[i]], 0, made.length, made, 0);
        }
        return made;
    }

    /**
     * Second implementation: vectors computed apart from this code by the matrix construction of RFC 5510 (polynomial
     * 0x11D from memory), one-byte symbols; not published values.
     */
    @ParameterizedTest
    @CsvSource({
        "2,4,0102,0408",
        "3,5,010203,1d51",
        "4,8,deadbeef,d84238d4",
        "5,7,48454c4c4f,df1f",
        "10,14,00010203040506070809,8aacb528",
        "16,20,303132333435363738393a3b3c3d3e3f,e3733595"
    })
    void matchesTheMatrixConstruction(int k, int n, String sourceHex, String parityHex) {
        byte[] source = HexFormat.of().parseHex(sourceHex);
        byte[][] codeword = new byte[n][1];
        for (int i = 0; i < k; i++) {
            codeword[i][0] = source[i];
        }
        int[] known = IntStream.range(0, k).toArray();
        byte[] parity = new byte[n - k];
        for (int j = k; j < n; j++) {
            parity[j - k] = symbol(codeword, known, k, j)[0];
        }
        assertEquals(parityHex, HexFormat.of().formatHex(parity));
    }

    /** Whole groups, up to the most symbols that there can be: {@code test-vectors/checks/reed-solomon.txt}. */
    @Test
    void matchesTheSecondImplementationsFile() throws IOException {
        Path file = Path.of("..", "..", "test-vectors", "checks", "reed-solomon.txt");
        byte[][] data = {};
        int groups = 0;
        for (String line : Files.readAllLines(file, StandardCharsets.UTF_8)) {
            byte[][] symbols = line.matches("(data|repair) = .*")
                    ? Arrays.stream(line.substring(line.indexOf('=') + 2).split(" ", -1))
                            .map(HexFormat.of()::parseHex)
                            .toArray(byte[][]::new)
                    : null;
            if (line.startsWith("data")) {
                data = symbols;
            } else if (line.startsWith("repair")) {
                int[] known = IntStream.range(0, data.length).toArray();
                for (int r = 0; r < symbols.length; r++) {
                    assertArrayEquals(symbols[r], symbol(data, known, data.length, data.length + r), line);
                }
                groups++;
            }
        }
        assertEquals(4, groups);
    }

    /** Any k of n symbols give back all the others. */
    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
    void anyKOfNRestore(long seed) {
        Random random = new Random(seed);
        int k = 1 + random.nextInt(200);
        int n = k + 1 + random.nextInt(ErasureCode.MAX_SYMBOLS - k);
        byte[][] codeword = new byte[n][17];
        for (int i = 0; i < k; i++) {
            random.nextBytes(codeword[i]);
        }
        int[] data = IntStream.range(0, k).toArray();
        for (int j = k; j < n; j++) {
            codeword[j] = symbol(codeword, data, k, j);
        }
        for (int trial = 0; trial < 5; trial++) {
            int[] order = IntStream.range(0, n).toArray();
            for (int i = n - 1; i > 0; i--) {
                int other = random.nextInt(i + 1);
                int kept = order[i];
                order[i] = order[other];
                order[other] = kept;
            }
            int[] known = Arrays.copyOf(order, k);
            for (int lost = k; lost < n; lost++) {
                assertArrayEquals(
                        codeword[order[lost]],
                        symbol(codeword, known, k, order[lost]),
                        "seed " + seed + " k " + k + " n " + n + " symbol " + order[lost]);
            }
        }
    }

    @Test
    void multiplicationIsThatOfTheField() {
        for (int a = 0; a < 256; a++) {
            for (int b = 0; b < 256; b++) {
                int product = 0;
                for (int bit = 7; bit >= 0; bit--) {
                    product <<= 1;
                    if ((product & 0x100) != 0) {
                        product ^= 0x11D;
                    }
                    if ((b >> bit & 1) != 0) {
                        product ^= a;
                    }
                }
                assertEquals(product, ErasureCode.multiply(a, b), a + " times " + b);
            }
        }
    }
}
