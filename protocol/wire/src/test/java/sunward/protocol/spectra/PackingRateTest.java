package sunward.protocol.spectra;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HexFormat;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Assertions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import sunward.protocol.seal.Sha256;

/** How close codec 1 comes to what noise itself costs, on invented dives. */
class PackingRateTest {
    /**
     * The floor is the entropy of unit Gaussian noise in centred steps. The codec pays above it for the unrest of its own
     * reference, for structure it has to learn, and for the bins' fields (0.07 bit a sample here).
     */
    @ParameterizedTest
    @CsvSource({"4, 1", "6, 2", "8, 4"})
    void wholeDivesCostLittleMoreThanTheirNoise(int stepCode, double stepSigma) {
        double bits = 0;
        int dives = 2;
        for (int seed = 101; seed < 101 + dives; seed++) {
            SyntheticDive dive = new SyntheticDive(seed, 720, 1);
            List<BinRecord> bins = dive.bins();
            BlockCodec.Encoder encoder = Codecs.ofNumber(DeltaCodec.NUMBER).encoder(dive.samples());
            encoder.begin(new byte[200_000], 0, 200_000, dive.header());
            for (BinRecord bin : bins) {
                assertTrue(encoder.add(bin, stepCode));
            }
            bits += 8.0 * encoder.finish() / bins.size() / dive.samples() / dives;
        }
        double noise = gaussianEntropy(stepSigma);
        System.out.printf(
                java.util.Locale.ROOT, "figure codec.bits_per_sample_step_%d_sigma %.3f bit%n", (int) stepSigma, bits);
        assertTrue(bits < noise + 0.5, bits + " bits a sample where noise alone costs " + noise);
    }

    /** Bits of a unit Gaussian rounded to whole steps, by summing its cells (Shannon 1948). */
    private static double gaussianEntropy(double step) {
        double entropy = 0;
        for (int cell = -40; cell <= 40; cell++) {
            double mass = 0;
            for (int i = 0; i < 1000; i++) {
                double x = step * (cell - 0.5 + (i + 0.5) / 1000);
                mass += Math.exp(-0.5 * x * x) / Math.sqrt(2 * Math.PI) * step / 1000;
            }
            entropy -= mass > 0 ? mass * Math.log(mass) / Math.log(2) : 0;
        }
        return entropy;
    }

    @Test
    void fieldsOfABinTakeAtMostEightBytes() {
        SyntheticDive dive = new SyntheticDive(111, 16, 1);
        BlockCodec.Encoder encoder = Codecs.ofNumber(DeltaCodec.NUMBER).encoder(16);
        encoder.begin(new byte[20_000], 0, 20_000, dive.header());
        List<BinRecord> bins = dive.bins();
        for (BinRecord bin : bins) {
            bin.samples = 0;
            assertTrue(encoder.add(bin, 6));
        }
        double bytes = (double) encoder.finish() / bins.size();
        System.out.printf(java.util.Locale.ROOT, "figure codec.field_bytes_per_bin %.2f byte%n", bytes);
        assertTrue(bytes < 8, bytes + " bytes");
    }

    @Test
    void theTableIsTheOneInTheTablesFolder() throws IOException {
        Path table = Path.of("..", "tables", "residual-start.txt");
        List<String> lines = Files.readAllLines(table, StandardCharsets.UTF_8).stream()
                .filter(line -> !line.startsWith("#"))
                .collect(Collectors.toList());
        List<String> code = IntStream.range(0, SpectrumCoder.STOP.length)
                .mapToObj(i -> IntStream.of(SpectrumCoder.STOP[i])
                        .mapToObj(Integer::toString)
                        .collect(Collectors.joining(" ")))
                .collect(Collectors.toList());
        Assertions.assertEquals(code, lines);
        byte[] digest = new byte[Sha256.DIGEST_BYTES];
        byte[] bytes = Files.readAllBytes(table);
        Sha256 hash = new Sha256();
        hash.update(bytes, 0, bytes.length);
        hash.finish(digest, 0);
        String description = Files.readString(Path.of("..", "WIRE.md"), StandardCharsets.UTF_8);
        assertTrue(description.contains(HexFormat.of().formatHex(digest)), "WIRE.md names the table's hash");
    }
}
