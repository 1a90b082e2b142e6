package sunward.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.net.URISyntaxException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class CodecBenchTest {
    private static Path tuning() throws URISyntaxException {
        return Path.of(CodecBenchTest.class.getResource("tuning.csv").toURI());
    }

    private static Outcome outcome(String dive, String tier, String coder, double bytes) {
        Outcome outcome = new Outcome(dive, "ordinary", tier, coder, new LinkedHashMap<>());
        return Double.isNaN(bytes) ? outcome : outcome.with(Outcome.BYTES, bytes);
    }

    /** Short version of the whole: one dive of the tuning set, every tier of ours decoded by another process. */
    @Test
    void judgesWhatAnotherProcessDecoded(@TempDir Path work)
            throws IOException, InterruptedException, URISyntaxException {
        Condition condition = new Condition(CodecBench.rows(tuning()).get(6), 0);
        DiveBins dive = condition.fly();
        List<Outcome> ours = new OwnTrial(condition, dive, null, work).run();
        List<String> tiers = ours.stream().map(Outcome::tier).toList();
        assertEquals(List.of("first-look", "bins", "samples"), tiers);
        Outcome bins = ours.get(1);
        Outcome samples = ours.get(2);
        assertTrue(bins.number("band_p95") <= 0.3 && bins.bytes() > Bounds.binsBytes(dive), bins::line);
        assertTrue(samples.number("worst_sigma") <= 1 && samples.bytes() > Bounds.samplesBytes(dive), samples::line);
        assertTrue(bins.bytes() < samples.bytes());
        // The files hold all that the judge's process knew, and their bytes are those that were counted.
        try (var files = Files.list(work.resolve("bins"))) {
            long bytes = files.filter(f -> f.toString().endsWith(".message"))
                    .mapToLong(f -> f.toFile().length())
                    .sum();
            assertEquals(bytes, Math.round(bins.bytes()));
        }
        Path one = work.resolve("bins").resolve("0001.message");
        byte[] spoilt = Files.readAllBytes(one);
        spoilt[40] ^= 1;
        Files.write(one, spoilt);
        assertThrows(IOException.class, () -> new DecodedFiles(work).decode());
    }

    @Test
    void goesOnWhereItWas(@TempDir Path place) throws IOException, InterruptedException, URISyntaxException {
        BenchOptions options = BenchOptions.parse(
                new String[] {tuning().toString(), "family=saturated", "results=" + place, "seeds=2", "threads=2"});
        List<String> lines =
                List.of(outcome("t-saturated-6/5551", "bins", "ours", 123).line());
        Path results = Files.createDirectories(place.resolve("key"));
        Files.write(results.resolve("t-saturated-6-5551.tsv"), lines, StandardCharsets.UTF_8);
        Files.write(results.resolve("t-saturated-6-5552.tsv"), lines, StandardCharsets.UTF_8);
        List<Outcome> outcomes = CodecBench.run(options, "key");
        assertEquals(2, outcomes.size());
        assertEquals(123, outcomes.get(0).bytes());
    }

    @Test
    void wordsThatAreNotUnderstoodAreRefused() {
        assertNull(BenchOptions.parse(new String[0]));
        assertNull(BenchOptions.parse(new String[] {"a.csv", "seed=3"}));
        assertEquals(3, BenchOptions.parse(new String[] {"a.csv", "seeds=3"}).seeds());
    }

    /** By hand: the median of three ratios, a peer that wins, a gate that failed. */
    @Test
    void reportShowsWhereAPeerWinsAndWhatFailed() {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        List<Outcome> outcomes = List.of(
                outcome("a", "bins", "ours", 100),
                outcome("a", "bins", "one peer", 400),
                outcome("a", "bins", "another", 500),
                outcome("b", "bins", "ours", 100),
                outcome("b", "bins", "one peer", 50),
                outcome("c", "bins", "ours", 100),
                outcome("c", "bins", "another", 200),
                outcome("d", "bins", "ours", Double.NaN),
                outcome("d", "bins", "noise bound", 1));
        new CodecReport(outcomes, new PrintStream(bytes, true, StandardCharsets.UTF_8)).print();
        String said = bytes.toString(StandardCharsets.UTF_8);
        assertTrue(said.contains("figure codec.bins_over_best_peer 0.5000 1\n"), said);
        assertTrue(said.contains("figure codec.bins_met_share 0.7500 1\n"), said);
        assertTrue(said.contains("a peer wins: b bins one peer 50 bytes, ours 100\n"), said);
        assertTrue(said.contains("failed: d ordinary bins ours\n"), said);
    }

    @Test
    void outcomesAreReadAsTheyWereWritten() {
        Outcome outcome = outcome("a/1", "bins", "LMS + Golomb", 12.25).with("step", 1 / 3.0);
        assertEquals(List.of(outcome), Outcome.parse(List.of(outcome.line())));
        assertEquals(Map.of(), outcome("a", "b", "c", Double.NaN).numbers());
    }

    @Test
    void pictureIsDrawnFromTheMedians() {
        List<Outcome> curve = List.of(
                outcome("a", "curve", "ours", 20_000).with("step", 1).with("band_p95", 0.3),
                outcome("a", "curve", "ours", 10_000).with("step", 2).with("band_p95", 0.6));
        String svg = RateCurve.svg(curve);
        assertTrue(svg.contains("<polyline") && svg.endsWith("</svg>\n"), svg);
        assertFalse(svg.contains("NaN"), svg);
    }
}
