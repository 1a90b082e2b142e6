package sunward.bench;

import java.io.BufferedInputStream;
import java.io.DataInputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.FirstLook;

/** This side of {@link DecodeMessages}: message files out, the other process, its arrays back. */
final class DecodedFiles {
    private final Path place;

    DecodedFiles(Path place) {
        this.place = place;
    }

    /** Writes the messages of a tier. */
    void put(String tier, List<byte[]> messages) throws IOException {
        Path directory = Files.createDirectories(place.resolve(tier));
        for (int i = 0; i < messages.size(); i++) {
            Files.write(directory.resolve(String.format(Locale.ROOT, "%04d.message", i)), messages.get(i));
        }
    }

    /** Where the outline's spectra are wanted. */
    void ask(List<BinRecord> bins) throws IOException {
        List<String> lines =
                bins.stream().map(bin -> bin.head + " " + DiveBins.depthM(bin)).toList();
        Files.write(place.resolve("outline").resolve("places"), lines, StandardCharsets.UTF_8);
    }

    /** Runs the other process to its end. */
    void decode() throws IOException, InterruptedException {
        Path said = place.resolve("said");
        Process process = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-Xmx256m",
                        "-XX:+UseSerialGC",
                        "-XX:TieredStopAtLevel=1",
                        "-cp",
                        SameBytes.classPath(),
                        DecodeMessages.class.getName(),
                        place.toString())
                .redirectErrorStream(true)
                .redirectOutput(said.toFile())
                .start();
        int exit = process.waitFor();
        if (exit != 0) {
            throw new IOException("decoding " + place + " ended with " + exit + " and said: "
                    + Files.readString(said, StandardCharsets.UTF_8).strip());
        }
    }

    private DataInputStream open(String tier) throws IOException {
        return new DataInputStream(
                new BufferedInputStream(Files.newInputStream(place.resolve(tier).resolve("decoded"))));
    }

    /** What came of a first look. */
    record Look(FirstLook look, int channelsPerSample) {}

    Look firstLook() throws IOException {
        try (DataInputStream in = open("first-look")) {
            int group = in.readInt();
            FirstLook look = new FirstLook(FirstLook.MAX_HEADS, 1024);
            look.heads = in.readInt();
            for (int h = 0; h < look.heads; h++) {
                FirstLook.Head head = look.head(h);
                head.number = in.readInt();
                head.topCm = in.readInt();
                head.bottomCm = in.readInt();
                head.samples = in.readInt();
                for (int k = 0; k < head.samples; k++) {
                    head.lit[k] = in.readBoolean();
                    head.logSurface[k] = in.readInt();
                    head.logAttenuation[k] = in.readInt();
                }
            }
            return new Look(look, group);
        }
    }

    /** What came of an outline: ln of counts per second at the places asked for. */
    @SuppressWarnings("ArrayRecordComponent") // internal to the benchmark and never compared
    record Profile(double[][] log, int channelsPerSample) {}

    Profile outline(int places) throws IOException {
        try (DataInputStream in = open("outline")) {
            int samples = in.readInt();
            int group = in.readInt();
            double[][] log = new double[places][samples];
            for (double[] row : log) {
                for (int k = 0; k < samples; k++) {
                    row[k] = in.readDouble();
                }
            }
            return new Profile(log, group);
        }
    }

    /** Bins of the tiers bins and samples. */
    List<BinRecord> bins(String tier) throws IOException {
        List<BinRecord> bins = new ArrayList<>();
        try (DataInputStream in = open(tier)) {
            for (int n = in.readInt(); n > 0; n--) {
                BinRecord bin = new BinRecord(1024);
                bin.head = in.readInt();
                bin.bin = in.readInt();
                bin.pass = in.readInt();
                bin.shaded = in.readBoolean();
                bin.exposureCode = in.readInt();
                bin.used = in.readInt();
                bin.pressureMdbar = in.readInt();
                bin.offsetMm = in.readInt();
                bin.samples = in.readInt();
                for (int c = 0; c < bin.samples; c++) {
                    bin.counts[c] = in.readInt();
                }
                bins.add(bin);
            }
        }
        return bins;
    }
}
