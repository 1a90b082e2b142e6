package sunward.planning;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import sunward.profiles.Decoding;
import sunward.profiles.DecodingResult;
import sunward.profiles.DiveProduct;
import sunward.profiles.ProductFiles;
import sunward.profiles.ProfileBin;
import sunward.profiles.ShoreInputs;
import sunward.profiles.SurfaceRadiance;
import sunward.protocol.message.KeyRing;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.Dive;
import sunward.simulator.Seeds;

/** The whole data path, once, with few channels; every test looks at the files that it left. */
class RehearsalTest {
    private static final Dive.Progress SILENT = (stage, share) -> {};
    private static final InstantSource CLOCK = InstantSource.fixed(Instant.parse("2026-01-01T00:00:00Z"));
    private static final List<String> FILES =
            List.of("plan.yaml", "profile.nc", "radiance.csv", "report.html", "run.json", "truth.nc");

    /** A relative uncertainty also moves with the value that it is relative to. */
    private static final double NOISE_OF_THE_VALUE = 1e-3;

    @TempDir
    static Path place;

    private static Path run;
    private static Rehearsal.Outcome outcome;

    @BeforeAll
    static void rehearse() throws IOException {
        outcome = rehearse(ThinDive.file(), place.resolve("first"));
        run = outcome.directory();
    }

    private static Rehearsal.Outcome rehearse(PlanFile file, Path to) throws IOException {
        try (OutputDirectory out = OutputDirectory.at(to, false)) {
            return new Rehearsal(file, Seeds.all(ThinDive.SEED), null, 0, CLOCK).run(out, "test", SILENT);
        }
    }

    private static List<Path> list(Path directory) throws IOException {
        try (Stream<Path> all = Files.list(directory)) {
            return all.sorted().toList();
        }
    }

    private static ShoreInputs shore() {
        return RehearsedDive.shore(ThinDive.file());
    }

    private static DiveProduct decode(List<Path> files) throws IOException {
        return Decoding.decode(files, shore(), KeyRing.none()).products().get(0);
    }

    private static void sameFiles(DiveProduct product, Path directory) throws IOException {
        Path again = Files.createTempDirectory(place, "again");
        ProductFiles.writeProfile(product, again.resolve("profile.nc"));
        ProductFiles.writeRadiance(product, again.resolve("radiance.csv"));
        for (String name : List.of("profile.nc", "radiance.csv")) {
            assertArrayEquals(
                    Files.readAllBytes(directory.resolve(name)), Files.readAllBytes(again.resolve(name)), name);
        }
    }

    @Test
    void writesEverythingThatItPromises() throws IOException {
        assertTrue(outcome.decoded());
        List<String> names = list(run).stream()
                .map(p -> p.getFileName().toString())
                .filter(n -> !n.equals("messages"))
                .toList();
        assertEquals(FILES, names);
        for (Path message : list(run.resolve("messages"))) {
            assertTrue(Files.size(message) <= 340, message.toString());
            assertTrue(
                    message.getFileName()
                            .toString()
                            .matches("[0-9]{4}-(f[0-9]{5}-d[0-9]{4}-p[0-9]{4}|unverified)\\.msg"),
                    message.toString());
        }
        JsonNode record =
                new ObjectMapper().readTree(Files.readString(run.resolve("run.json"), StandardCharsets.UTF_8));
        assertTrue(record.get("link").get("sent").asInt() <= 64);
        for (String name : FILES) {
            if (!name.equals("run.json")) {
                assertEquals(
                        RunRecord.sha256(Files.readAllBytes(run.resolve(name))),
                        record.get("files_sha256").get(name).asText());
            }
        }
        assertEquals(
                list(run.resolve("messages")).size(),
                record.get("link").get("deliveries").size());
        String plan = Files.readString(run.resolve("plan.yaml"), StandardCharsets.UTF_8);
        assertEquals(ThinDive.file(), PlanReader.read(plan, "plan.yaml"), "the resolved plan reads back equal");
    }

    @Test
    void sameSeedGivesTheSameBytesOnOneThreadAndOnTwo() throws Exception {
        ExecutorService two = Executors.newFixedThreadPool(2);
        List<Callable<Rehearsal.Outcome>> both = new ArrayList<>();
        for (String name : List.of("left", "right")) {
            both.add(() -> rehearse(ThinDive.file(), place.resolve(name)));
        }
        for (Future<Rehearsal.Outcome> one : two.invokeAll(both)) {
            Path other = one.get().directory();
            List<Path> all;
            try (Stream<Path> walk = Files.walk(run)) {
                all = walk.filter(Files::isRegularFile).toList();
            }
            for (Path file : all) {
                Path relative = run.relativize(file);
                assertArrayEquals(
                        Files.readAllBytes(file), Files.readAllBytes(other.resolve(relative)), relative.toString());
            }
        }
        two.shutdown();
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3})
    void shuffledAndDoubledMessagesGiveTheVerySameFiles(long seed) throws IOException {
        Path heap = Files.createTempDirectory(place, "heap");
        List<Path> messages = new ArrayList<>(list(run.resolve("messages")));
        messages.addAll(list(run.resolve("messages")));
        Collections.shuffle(messages, new Random(seed));
        for (int i = 0; i < messages.size(); i++) {
            Files.copy(messages.get(i), heap.resolve("copy-" + i));
        }
        Files.writeString(heap.resolve("holiday.txt"), "not a message, however often it is read");
        DecodingResult result = Decoding.decode(List.of(heap), shore(), KeyRing.none());
        assertEquals(1, result.products().size(), "seed " + seed);
        assertTrue(result.rejected().stream().anyMatch(r -> r.file().endsWith("holiday.txt")), "seed " + seed);
        sameFiles(result.products().get(0), run);
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 6})
    void aFifthRemovedNamesGapsAndInventsNothing(long seed) throws IOException {
        List<Path> messages = new ArrayList<>(list(run.resolve("messages")));
        DiveProduct whole = decode(messages);
        Collections.shuffle(messages, new Random(seed));
        DiveProduct part = decode(messages.subList(messages.size() / 5, messages.size()));
        Set<List<Integer>> had = new HashSet<>();
        for (ProfileBin bin : whole.profile().bins()) {
            had.add(List.of(bin.head(), bin.bin(), bin.pass()));
        }
        for (ProfileBin bin : part.profile().bins()) {
            assertTrue(had.contains(List.of(bin.head(), bin.bin(), bin.pass())), "seed " + seed + " bin " + bin.bin());
        }
        assertTrue(part.profile().bins().size() < whole.profile().bins().size(), "seed " + seed);
        assertFalse(part.profile().gaps().isEmpty());
        for (int k = 0; k < whole.surface().wavelengthNm().size(); k++) {
            double before = whole.surface().lwRelative().at(k);
            double after = part.surface().lwRelative().at(k);
            assertTrue(
                    Double.isNaN(after) || after >= before * (1 - NOISE_OF_THE_VALUE),
                    "seed " + seed + " at " + whole.surface().wavelengthNm().at(k) + " nm: " + before + " then "
                            + after);
        }
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4})
    void oneFlippedBitIsNamedAndTheOthersStand(long seed) throws IOException {
        List<Path> messages = list(run.resolve("messages")).stream()
                .filter(p -> !p.toString().contains("unverified"))
                .toList();
        Random random = new Random(seed);
        Path victim = messages.get(random.nextInt(messages.size()));
        Path folder = Files.createTempDirectory(place, "flip");
        for (Path message : messages) {
            byte[] bytes = Files.readAllBytes(message);
            if (message.equals(victim)) {
                int bit = random.nextInt(bytes.length * 8);
                bytes[bit / 8] ^= (byte) (1 << bit % 8);
            }
            Files.write(folder.resolve(message.getFileName()), bytes);
        }
        DecodingResult result = Decoding.decode(List.of(folder), shore(), KeyRing.none());
        assertEquals(
                List.of(victim.getFileName()),
                result.rejected().stream().map(r -> r.file().getFileName()).toList(),
                "seed " + seed);
        Files.delete(folder.resolve(victim.getFileName()));
        DiveProduct without = decode(List.of(folder));
        Path files = Files.createTempDirectory(place, "without");
        ProductFiles.writeProfile(without, files.resolve("profile.nc"));
        ProductFiles.writeRadiance(without, files.resolve("radiance.csv"));
        sameFiles(result.products().get(0), files);
    }

    /** Where, when and how many: all in the first message, without which a ledger later tells the same more exactly. */
    @Test
    void theFirstMessageAloneTellsPlaceTimeAndHowMany() throws IOException {
        List<Path> files = list(run.resolve("messages"));
        DiveProduct whole = decode(files);
        DiveProduct first = decode(
                files.stream().filter(f -> f.toString().endsWith("p0000.msg")).toList());
        assertEquals(whole.place().timeS(), first.place().timeS());
        assertEquals(whole.place().latitudeDeg(), first.place().latitudeDeg(), 0.0051);
        assertEquals(whole.place().longitudeDeg(), first.place().longitudeDeg(), 0.0051);
        assertEquals(whole.place().sunZenithDeg(), first.place().sunZenithDeg(), 0.02);
        assertEquals(whole.messagesPlanned(), first.messagesPlanned());
        assertEquals(null, first.ledger());
        assertTrue(
                first.reasons().stream().anyMatch(reason -> reason.startsWith("surface from the first look alone")),
                first.reasons().toString());
    }

    /** The float's own fit carried through the surface: near what all bins give, less sure, and as good as it says. */
    @Test
    void theFirstMessageAloneGivesASurface() throws IOException {
        List<Path> files = list(run.resolve("messages"));
        SurfaceRadiance whole = decode(files).surface();
        SurfaceRadiance first = decode(files.stream()
                        .filter(f -> f.toString().endsWith("p0000.msg"))
                        .toList())
                .surface();
        int told = 0;
        for (int k = 0; k < first.wavelengthNm().size(); k++) {
            double nm = first.wavelengthNm().at(k);
            int same = BudgetSheet.nearest(whole, nm);
            if (nm < 400 || nm > 650) {
                continue;
            }
            told++;
            double u = first.lwRelative().at(k);
            assertTrue(u > whole.lwRelative().at(same) && u < 0.08, nm + " nm: u " + u);
            assertEquals(1, first.lw().at(k) / whole.lw().at(same), 2 * u, nm + " nm");
            assertEquals(
                    first.attenuation().at(k),
                    whole.attenuation().at(same),
                    3 * first.attenuationUncertainty().at(k)
                            + 3 * whole.attenuationUncertainty().at(same),
                    nm + " nm");
        }
        assertTrue(told > 10, told + " wavelengths");
    }

    /** One data message fewer, made good from the repair messages: the same values, and the product says so. */
    @Test
    void aLostMessageIsMadeGoodOnTheWayThroughDecode() throws IOException {
        List<Path> files = new ArrayList<>(list(run.resolve("messages")));
        DiveProduct whole = decode(files);
        files.removeIf(file -> file.toString().endsWith("p0002.msg"));
        DiveProduct repaired = decode(files);
        assertEquals(whole.profile().bins().size(), repaired.profile().bins().size());
        assertArrayEquals(
                whole.surface().lw().toArray(), repaired.surface().lw().toArray());
        assertTrue(
                repaired.reasons().stream().anyMatch(reason -> reason.startsWith("repaired:")),
                repaired.reasons().toString());
    }

    @Test
    void sceneStaysOutOfTheProducts() throws IOException {
        PlanFile.Builder other = ThinDive.file().toBuilder();
        other.getSceneBuilder().setTitle("Elsewhere").setLatitudeDeg(-40).setSurfacingUtc("2027-06-01T01:00:00Z");
        other.getSceneBuilder()
                .getWaterBuilder()
                .setSurfaceChlorophyllMgPerM3(5)
                .setCast("2");
        other.getSceneBuilder().getAtmosphereBuilder().setOzoneDu(400);
        DecodingResult result =
                Decoding.decode(List.of(run.resolve("messages")), RehearsedDive.shore(other.build()), KeyRing.none());
        sameFiles(result.products().get(0), run);
    }

    @Test
    void anInterruptedRunLeavesNothing() throws IOException {
        Path empty = Files.createDirectory(place.resolve("interrupted"));
        assertThrows(IllegalStateException.class, () -> {
            try (OutputDirectory out = OutputDirectory.at(empty.resolve("run"), false)) {
                new Rehearsal(ThinDive.file(), Seeds.all(1), null, 0, CLOCK).run(out, "test", (stage, share) -> {
                    if (stage.equals("write") && share > 0.5) {
                        throw new IllegalStateException("stopped");
                    }
                });
            }
        });
        assertEquals(List.of(), list(empty));
    }

    @Test
    void nothingReceivedIsSaidAndNotInvented() throws IOException {
        PlanFile.Builder silent = ThinDive.file().toBuilder();
        silent.getSceneBuilder().getLinkBuilder().setLossPercent(100);
        Rehearsal.Outcome none = rehearse(silent.build(), place.resolve("silent"));
        assertFalse(none.decoded());
        assertFalse(Files.exists(none.directory().resolve("profile.nc")));
        String page = Files.readString(none.directory().resolve("report.html"), StandardCharsets.UTF_8);
        assertTrue(page.contains("No message of this dive could be decoded"));
    }

    /** Read by xarray (a general-purpose library) through netCDF-C. */
    @Test
    void truthOpensInXarray() throws Exception {
        Path python = Path.of("/usr/bin/python3");
        boolean there = Files.isExecutable(python)
                && runs(python, "import xarray, netCDF4").isEmpty();
        assertFalse(!there && "true".equals(System.getenv("CI")), "CI must have xarray: see .ci/run");
        assumeTrue(there, "needs python3-xarray and python3-netcdf4");
        String said = runs(
                python,
                "import sys, xarray\nd = xarray.open_dataset('" + run.resolve("truth.nc") + "')\n"
                        + "assert d.attrs['simulated'] == 'true' and 'SIMULATED' in d.attrs['title']\n"
                        + "assert all('SIMULATED' in d[v].attrs['comment'] for v in d.data_vars if v != 'head_name')\n"
                        + "assert d.lw.dims == ('wavelength',) and d.lu.dims == ('depth', 'wavelength')\n"
                        + "assert abs(float(d.lu[0].sel(wavelength=443, method='nearest') / d.lu0.sel(wavelength=443,"
                        + " method='nearest')) - 1) < 1e-9\n"
                        + "assert str(d.surfacing_time.values)[:16] == '2026-12-15T02:27'\n");
        assertEquals("", said);
    }

    private static String runs(Path python, String script) throws Exception {
        Path says = Files.createTempFile(place, "python", ".txt");
        Process process = new ProcessBuilder(python.toString(), "-c", script)
                .redirectErrorStream(true)
                .redirectOutput(says.toFile())
                .start();
        assertTrue(process.waitFor(60, TimeUnit.SECONDS), "python did not end");
        return process.exitValue() == 0 ? "" : "failed: " + Files.readString(says, StandardCharsets.UTF_8);
    }
}
