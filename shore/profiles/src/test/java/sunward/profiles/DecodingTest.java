package sunward.profiles;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import sunward.protocol.message.KeyRing;

class DecodingTest {
    private static final TestDive DIVE = TestDive.of(3, true, TestDive.few());

    @TempDir
    Path folder;

    private void fill() throws IOException {
        Path inner = Files.createDirectories(folder.resolve("a").resolve("inner"));
        for (int i = 0; i < DIVE.bytes.size(); i++) {
            Files.write((i % 2 == 0 ? folder : inner).resolve("m" + (97 * i % 100) + ".bin"), DIVE.bytes.get(i));
            Files.write(inner.resolve("copy" + i + ".bin"), DIVE.bytes.get(i));
        }
        Files.write(
                folder.resolve("picture.png"),
                new byte[] {(byte) 0x89, 'P', 'N', 'G', 13, 10, 26, 10, 0, 0, 0, 13, 1, 2, 3, 4});
        Files.write(folder.resolve("empty"), new byte[0]);
        byte[] spoilt = DIVE.bytes.get(2).clone();
        spoilt[20] ^= 1;
        Files.write(folder.resolve("spoilt.bin"), spoilt);
        Files.write(folder.resolve("long.bin"), new byte[150_000]);
    }

    @Test
    void foreignFilesAndCopiesChangeNothingAndAreNamed() throws IOException {
        fill();
        DecodingResult result = Decoding.decode(List.of(folder), DIVE.inputs, KeyRing.none());
        assertEquals(2 * DIVE.bytes.size(), result.accepted().size());
        assertEquals(
                List.of("empty", "long.bin", "picture.png", "spoilt.bin"),
                result.rejected().stream()
                        .map(r -> r.file().getFileName().toString())
                        .toList());
        result.rejected().forEach(r -> assertTrue(r.sentence().length() > 20, r.sentence()));
        assertEquals(1, result.products().size());
        assertEquals(
                ProductFiles.radianceCsv(ProcessingChain.process(DIVE.messages(), DIVE.inputs)),
                ProductFiles.radianceCsv(result.products().get(0)));
    }

    @Test
    void nothingButPicturesIsNothingDecodable() throws IOException {
        Files.write(
                folder.resolve("picture.png"),
                new byte[] {(byte) 0x89, 'P', 'N', 'G', 13, 10, 26, 10, 0, 0, 0, 13, 1, 2, 3, 4});
        DecodingResult result = Decoding.decode(List.of(folder), DIVE.inputs, KeyRing.none());
        assertTrue(result.nothingDecodable());
        assertEquals(1, result.rejected().size());
    }

    @Test
    void aMissingFileIsOneSentence() {
        IOException e = assertThrows(
                IOException.class,
                () -> Decoding.decode(List.of(folder.resolve("nowhere")), DIVE.inputs, KeyRing.none()));
        assertTrue(e.getMessage().contains("nowhere is neither a file nor a directory"), e.getMessage());
    }

    /** The tables open where people look at them, and say that they are simulated. */
    @Test
    void profileOpensInNcdumpAndXarray() throws IOException, InterruptedException {
        DiveProduct product = ProcessingChain.process(DIVE.messages(), DIVE.inputs);
        Path file = folder.resolve("profile.nc");
        ProductFiles.writeProfile(product, file);
        String header = Tools.run("ncdump", "ncdump", "-h", file.toString());
        for (String part : List.of(
                ":Conventions = \"CF-1.8\"",
                ":simulated = \"true: SIMULATED",
                ":title = \"SIMULATED",
                "wavelength:units = \"nm\"",
                "lw:units = \"W m-2 nm-1 sr-1\"",
                "lw:comment = \"SIMULATED",
                "lw:standard_name = \"surface_upwelling_radiance_per_unit_wavelength_in_air_emerging_from_sea_water\"",
                "lu:coordinates = \"depth bin_time latitude longitude\"",
                "depth:positive = \"down\"")) {
            assertTrue(header.contains(part), part + " not in\n" + header);
        }
        String script = "import xarray,sys,numpy as np; d=xarray.open_dataset(sys.argv[1]);"
                + "k=int(np.argmin(abs(d.wavelength.values-450)));"
                + "print(str(d.time.values)[:19], '%.6e' % float(d.lw[k]), d.lu.dims, int(np.isnan(d.lu.values).sum()),"
                + "d.contribution_name.values[0].decode())";
        String text = Tools.run("python3-xarray", "/usr/bin/python3", "-c", script, file.toString());
        int k = 5;
        assertEquals(450, DIVE.nm[k], 0.5);
        assertEquals(
                String.format(
                        java.util.Locale.ROOT,
                        "2026-12-15T02:27:00 %.6e ('bin', 'wavelength') 0 calibration, laboratory standard",
                        product.surface().lw().at(k)),
                text.trim());
    }

    @Test
    void radianceHasALinePerWavelengthAndEveryColumn() throws IOException {
        Path file = folder.resolve("radiance.csv");
        ProductFiles.writeRadiance(ProcessingChain.process(DIVE.messages(), DIVE.inputs), file);
        List<String> lines = Files.readAllLines(file, StandardCharsets.UTF_8);
        assertEquals(DIVE.nm.length + 1, lines.size());
        assertEquals(String.join(",", ProductFiles.RADIANCE_COLUMNS), lines.get(0));
        for (String line : lines.subList(1, lines.size())) {
            String[] cells = line.split(",(?=(?:[^\"]*\"[^\"]*\")*[^\"]*$)", -1);
            assertEquals(ProductFiles.RADIANCE_COLUMNS.size(), cells.length, line);
            assertEquals("true", cells[cells.length - 1]);
            double low = Double.parseDouble(cells[5]);
            double high = Double.parseDouble(cells[6]);
            double lw = Double.parseDouble(cells[2]);
            assertEquals(lw, (low + high) / 2, 1e-6 * lw, line);
        }
    }
}
