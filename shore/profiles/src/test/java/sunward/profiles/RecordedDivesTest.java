package sunward.profiles;

import static org.junit.jupiter.api.Assertions.assertEquals;

import com.google.protobuf.TextFormat;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.Codecs;
import sunward.protocol.spectra.FirstLook;

/**
 * What shore makes of the messages that the firmware's tests wrote in {@code test-vectors/dives/v0/recorded}: complete, with
 * losses made good by repair messages, with more losses than those, unsealed. Written anew with {@code
 * -Dtest.jvm.arguments=-Dsunward.vectors=write}.
 */
class RecordedDivesTest {
    private static final Path FOLDER = Path.of("..", "..", "test-vectors", "dives", "v0", "recorded");
    private static final HexFormat HEX = HexFormat.of();
    private static final int FLOAT = 77;

    /** The last column: positions that do not arrive. */
    @ParameterizedTest
    @CsvSource({
        "complete, sent-sealed, ''",
        "unsealed, sent-unsealed, ''",
        "repaired, sent-sealed, 0 1 7 22 23 24",
        "lossy, sent-sealed, 1 3 9 12 14 22 25 27",
        "first-message-alone, sent-sealed, 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20 21 22 23 24 25 26 27 28 29"
    })
    void decodedValuesAreThoseOfTheFile(String name, String messages, String lost) throws IOException {
        Path file = FOLDER.resolve("decoded-" + name + ".txt");
        String text = "# Sunward wire version 0, invented data; README.md beside this file says how to read it.\n"
                + "messages = " + messages + ".txt\n"
                + "lost = " + (lost.isEmpty() ? "none" : lost) + "\n"
                + decoded(arrived(messages, lost));
        if ("write".equals(System.getProperty("sunward.vectors"))) {
            Files.writeString(file, text, StandardCharsets.UTF_8);
        }
        assertEquals(Files.readString(file, StandardCharsets.UTF_8), text, name);
    }

    private static List<Message> arrived(String messages, String lost) throws IOException {
        List<String> gone = Arrays.asList(lost.split(" ", -1));
        List<Message> arrived = new ArrayList<>();
        KeyRing keys = KeyRing.none();
        for (String line : Files.readAllLines(FOLDER.resolve(messages + ".txt"), StandardCharsets.UTF_8)) {
            String[] pair = line.split(" = ", 2);
            if (line.startsWith("key = ") && !pair[1].equals("none")) {
                keys = KeyRing.of(Map.of(FLOAT, HEX.parseHex(pair[1])));
            } else if (line.startsWith("sent ") && !gone.contains(pair[0].substring(5))) {
                arrived.add(((Verdict.Accepted) MessageReader.read(HEX.parseHex(pair[1]), keys)).message());
            }
        }
        return arrived;
    }

    private static String decoded(List<Message> arrived) {
        AssembledDive dive = Assembler.assemble(arrived, Codecs::ofNumber);
        StringBuilder text = new StringBuilder();
        dive.messages().stream()
                .filter(Message::repaired)
                .forEach(m -> line(
                        text,
                        "derived %d = block %d, part %d, body %s",
                        m.position(),
                        m.block(),
                        m.part(),
                        HEX.formatHex(m.body())));
        String missing = IntStream.range(0, dive.ledger().getMessagesPlanned())
                .filter(p -> dive.messages().stream().noneMatch(m -> m.position() == p))
                .mapToObj(String::valueOf)
                .collect(Collectors.joining(" "));
        line(text, "missing = %s", missing.isEmpty() ? "none" : missing);
        line(
                text,
                "%s = %s",
                dive.ledgerArrived() ? "ledger" : "instead of the ledger",
                TextFormat.printer().emittingSingleLine(true).printToString(dive.ledger()));
        for (WaterReadings.Level level : dive.cast()) {
            line(
                    text,
                    "level = pressure_dbar %.2f, temperature %.3f, salinity %.3f, chlorophyll %.3f, backscatter %.6f",
                    level.pressureDbar(),
                    level.temperatureDegC(),
                    level.salinity(),
                    level.chlorophyllMgPerM3(),
                    level.backscatterPerM());
        }
        for (WaterReadings.Layer layer : dive.attitude()) {
            line(
                    text,
                    "layer = from_dbar %.0f, readings %d, tilt %.1f %.1f %.1f, heading %.0f, length %.2f, turned %.0f",
                    layer.fromDbar(),
                    layer.readings(),
                    layer.tiltMeanDeg(),
                    layer.tiltSdDeg(),
                    layer.tiltMostDeg(),
                    layer.headingDeg(),
                    layer.headingLength(),
                    layer.turnedDeg());
        }
        for (WaterReadings.Succession layer : dive.successions()) {
            line(
                    text,
                    "scans = from_dbar %.0f, pairs %d, correlation %.2f %.2f %.2f",
                    layer.fromDbar(),
                    layer.pairs(),
                    layer.ofBand().get(0),
                    layer.ofBand().get(1),
                    layer.ofBand().get(2));
        }
        if (dive.firstLook() != null) {
            firstLook(dive.firstLook().look(), text);
        }
        dive.bins().forEach(bin -> bin(bin, text));
        return text.toString();
    }

    private static void firstLook(FirstLook look, StringBuilder text) {
        line(
                text,
                "first look = surfaced_s %d, latitude_cdeg %s, longitude_cdeg %s, tare_mdbar %s, messages %d, repair %d",
                look.surfacedS,
                look.placeKnown ? look.latitudeCdeg : "none",
                look.placeKnown ? look.longitudeCdeg : "none",
                look.tareKnown ? look.tareMdbar : "none",
                look.messagesPlanned,
                look.repairMessages);
        for (int h = 0; h < look.heads; h++) {
            FirstLook.Head head = look.head(h);
            line(
                    text,
                    "first look head %d = bins %d, top_cm %d, bottom_cm %d, effective_bins %s, scatter %s, misfit %s,"
                            + " surface_sd %s, attenuation_sd %s",
                    head.number,
                    head.bins,
                    head.topCm,
                    head.bottomCm,
                    Arrays.toString(head.effectiveBins),
                    Arrays.toString(head.scatter),
                    Arrays.toString(head.misfitPercent),
                    Arrays.toString(head.surfaceSd),
                    Arrays.toString(head.attenuationSd));
            for (int i = 0; i < head.samples; i++) {
                line(
                        text,
                        "first look head %d sample %d = %s",
                        head.number,
                        i,
                        head.lit[i]
                                ? "log_surface " + head.logSurface[i] + ", log_attenuation " + head.logAttenuation[i]
                                : "dark");
            }
        }
    }

    private static void bin(DecodedBin bin, StringBuilder text) {
        BinRecord b = bin.record();
        line(
                text,
                "bin = head %d, message %d, bin %d, pass %d, shaded %b, exposure_code %d, mixed_exposure %b, used %d,"
                        + " rejected %d, shaded_scans %d, pressure_mdbar %d, time_s %d, offset_mm %d, depth_sd_mm %d,"
                        + " tilt_cdeg %d, antisun_deg %d, fallback %d, dark_counts %d, dark_scans %d, spread %d %d %d,"
                        + " counts %s",
                bin.header().head,
                bin.position(),
                b.bin,
                b.pass,
                b.shaded,
                b.exposureCode,
                b.mixedExposure,
                b.used,
                b.rejected,
                b.shadedScans,
                b.pressureMdbar,
                b.timeS,
                b.offsetMm,
                b.depthSdMm,
                b.tiltCdeg,
                b.antisunDeg,
                b.fallback,
                b.darkCounts,
                b.darkScans,
                b.spread[0],
                b.spread[1],
                b.spread[2],
                IntStream.range(0, b.samples)
                        .mapToObj(i -> String.valueOf(b.counts[i]))
                        .collect(Collectors.joining(" ")));
    }

    private static void line(StringBuilder text, String format, Object... values) {
        text.append(String.format(Locale.ROOT, format, values)).append('\n');
    }
}
