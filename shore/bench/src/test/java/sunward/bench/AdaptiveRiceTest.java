package sunward.bench;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HexFormat;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class AdaptiveRiceTest {
    private static final Path VECTORS = Path.of("../../test-vectors/checks/adaptive-rice.txt");

    static String[] vectors() throws IOException {
        return Files.readAllLines(VECTORS).stream()
                .filter(line -> !line.startsWith("#"))
                .toArray(String[]::new);
    }

    /** Second implementation: the vectors of the aec tool, to the bit and back. */
    @ParameterizedTest
    @MethodSource("vectors")
    void codesAsAnotherImplementation(String line) {
        String[] part = line.split(", ", -1);
        int bits = Integer.parseInt(part[0]);
        boolean signed = part[3].contains("-s");
        AdaptiveRice coder = new AdaptiveRice(
                bits, Integer.parseInt(part[1]), Integer.parseInt(part[2]), !part[3].contains("-N"), signed);
        byte[] input = HexFormat.of().parseHex(part[4]);
        int bytes = bits > 16 ? 4 : bits > 8 ? 2 : 1;
        long[] samples = new long[input.length / bytes];
        for (int i = 0; i < samples.length; i++) {
            for (int b = 0; b < bytes; b++) {
                samples[i] = samples[i] << 8 | input[bytes * i + b] & 0xff;
            }
            samples[i] = signed ? samples[i] << (64 - bits) >> (64 - bits) : samples[i];
        }
        byte[] coded = coder.encode(samples);
        assertEquals(part[5], HexFormat.of().formatHex(coded));
        assertArrayEquals(samples, coder.decode(coded, samples.length));
    }

    @Test
    void givesBackWhatItTook() {
        for (long seed = 1; seed <= 200; seed++) {
            SplittableRandom random = new SplittableRandom(seed);
            int bits = 8 + random.nextInt(9);
            AdaptiveRice coder = new AdaptiveRice(bits, 8 << random.nextInt(4), 1 + random.nextInt(200), true, false);
            long[] samples = new long[1 + random.nextInt(3000)];
            int spread = 1 << random.nextInt(bits);
            for (int i = 0; i < samples.length; i++) {
                boolean same = i > 0 && random.nextInt(100) < 70 - seed % 70;
                samples[i] = same ? samples[i - 1] : random.nextInt(spread);
            }
            assertArrayEquals(samples, coder.decode(coder.encode(samples), samples.length), "seed " + seed);
        }
    }
}
