package sunward.simulator;

import java.io.BufferedOutputStream;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStream;
import java.io.Reader;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.StringJoiner;
import java.util.TreeMap;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;
import sunward.firmware.RawScan;

/**
 * A recording as two plain files in a directory, so that a bench test or a recovered card can be flown again.
 *
 * <ul>
 *   <li>{@code events.csv} (UTF-8): one event a line, in order, with the columns {@link #COLUMNS}; a cell that does not
 *       belong to the event, or whose sensor gave nothing, is empty. Events: boot, fix, tare, battery, trim, start_profile,
 *       ancillary, instant, scan, end_profile. Times are ms since 2000-01-01T00:00:00Z, e4 means 1e-4, c 0.01 and m 0.001 of the unit.
 *   <li>{@code scans.bin}: the 16 bytes {@code "SUNWARD SCANS 1\n"}, then for each scan line in its order as many 16-bit
 *       big-endian counts as its column channels says.
 * </ul>
 */
public final class RecordingFiles {
    /** Columns of events.csv. */
    public static final List<String> COLUMNS = List.of(
            "event",
            "time_ms",
            "latitude_e5deg",
            "longitude_e5deg",
            "pressure_e4dbar",
            "temperature_mdegc",
            "salinity_mpsu",
            "chlorophyll_ug_per_m3",
            "backscatter_e6_per_m",
            "battery_percent",
            "head",
            "exposure_code",
            "shutter_closed",
            "pitch_1_cdeg",
            "pitch_2_cdeg",
            "roll_1_cdeg",
            "roll_2_cdeg",
            "heading_cdeg",
            "field_dip_cdeg",
            "head_temperature_cdegc",
            "channels");

    private static final byte[] SCANS_START = "SUNWARD SCANS 1\n".getBytes(StandardCharsets.US_ASCII);
    private static final String EVENTS = "events.csv";
    private static final String SCANS = "scans.bin";
    private static final int MOST_CHANNELS = 1024;

    private RecordingFiles() {}

    /** Writes a recording into a directory, which is made if it is not there. */
    public static void write(Recording recording, Path directory) throws IOException {
        Files.createDirectories(directory);
        try (Writer events = Files.newBufferedWriter(directory.resolve(EVENTS), StandardCharsets.UTF_8);
                OutputStream scans = new BufferedOutputStream(Files.newOutputStream(directory.resolve(SCANS)))) {
            events.write(String.join(",", COLUMNS));
            events.write('\n');
            scans.write(SCANS_START);
            recording.play(new FileWriter(events, scans));
        } catch (UncheckedIOException e) {
            throw e.getCause();
        }
    }

    /** Writes every event that it is told. */
    private static final class FileWriter implements FloatEvents {
        private final Writer events;
        private final OutputStream scans;

        FileWriter(Writer events, OutputStream scans) {
            this.events = events;
            this.scans = scans;
        }

        /** Writes one line; {@code cells} are column names and values in turn. */
        private void line(String event, Object... cells) {
            StringJoiner line = new StringJoiner(",", "", "\n").add(event);
            for (String column : COLUMNS.subList(1, COLUMNS.size())) {
                String text = "";
                for (int i = 0; i < cells.length; i += 2) {
                    boolean missing = cells[i + 1].equals(RawScan.MISSING);
                    text = cells[i].equals(column) && !missing ? cells[i + 1].toString() : text;
                }
                line.add(text);
            }
            try {
                events.write(line.toString());
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        }

        @Override
        public void boot(long timeMs) {
            line("boot", "time_ms", timeMs);
        }

        @Override
        public void fix(long timeMs, int latitudeE5, int longitudeE5) {
            line("fix", "time_ms", timeMs, "latitude_e5deg", latitudeE5, "longitude_e5deg", longitudeE5);
        }

        @Override
        public void tare(long timeMs, int rawPressureE4Dbar) {
            line("tare", "time_ms", timeMs, "pressure_e4dbar", rawPressureE4Dbar);
        }

        @Override
        public void battery(int percent) {
            line("battery", "battery_percent", percent);
        }

        @Override
        public void trim(long timeMs, int pitch1Cdeg, int roll1Cdeg, int pitch2Cdeg, int roll2Cdeg) {
            line(
                    "trim",
                    "time_ms",
                    timeMs,
                    "pitch_1_cdeg",
                    pitch1Cdeg,
                    "pitch_2_cdeg",
                    pitch2Cdeg,
                    "roll_1_cdeg",
                    roll1Cdeg,
                    "roll_2_cdeg",
                    roll2Cdeg);
        }

        @Override
        public void startProfile(long timeMs) {
            line("start_profile", "time_ms", timeMs);
        }

        @Override
        public void ancillary(
                int pressureCdbar,
                int temperatureMdegc,
                int salinityMpsu,
                int chlorophyllUgPerM3,
                int backscatterE6PerM) {
            line(
                    "ancillary",
                    "pressure_e4dbar",
                    100L * pressureCdbar,
                    "temperature_mdegc",
                    temperatureMdegc,
                    "salinity_mpsu",
                    salinityMpsu,
                    "chlorophyll_ug_per_m3",
                    chlorophyllUgPerM3,
                    "backscatter_e6_per_m",
                    backscatterE6PerM);
        }

        @Override
        public void instant(long timeMs) {
            line("instant", "time_ms", timeMs);
        }

        @Override
        public void scan(RawScan scan) {
            line(
                    "scan",
                    "time_ms",
                    scan.timeMs,
                    "pressure_e4dbar",
                    scan.pressureE4Dbar,
                    "head",
                    scan.head,
                    "exposure_code",
                    scan.exposureCode,
                    "shutter_closed",
                    scan.shutterClosed ? 1 : 0,
                    "pitch_1_cdeg",
                    scan.pitchCdeg[0],
                    "pitch_2_cdeg",
                    scan.pitchCdeg[1],
                    "roll_1_cdeg",
                    scan.rollCdeg[0],
                    "roll_2_cdeg",
                    scan.rollCdeg[1],
                    "heading_cdeg",
                    scan.headingCdeg,
                    "field_dip_cdeg",
                    scan.fieldDipCdeg,
                    "head_temperature_cdegc",
                    scan.temperatureCdeg,
                    "channels",
                    scan.channels);
            ByteBuffer row = ByteBuffer.allocate(2 * scan.channels);
            row.asCharBuffer().put(scan.counts, 0, scan.channels);
            try {
                scans.write(row.array());
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        }

        @Override
        public void endProfile(long timeMs) {
            line("end_profile", "time_ms", timeMs);
        }
    }

    /**
     * Reads a recording of the heads of a plan.
     *
     * @param channels that each head of the plan reads, by head
     * @throws IllegalArgumentException also when a scan is of another head or of other channels
     */
    public static Recording read(Path directory, List<Integer> channels) throws IOException {
        MemoryRecording recording = new MemoryRecording();
        read(directory).play(new Both(recording, new MemoryRecording() {
            @Override
            public void scan(RawScan scan) {
                boolean known = scan.head >= 0 && scan.head < channels.size();
                if (!known || scan.channels != channels.get(scan.head)) {
                    throw new IllegalArgumentException(directory + ": holds a scan of head " + scan.head + " with "
                            + scan.channels + " channels, but the plan's heads read " + channels
                            + "; give the plan that the recording was made with, or one with the same heads");
                }
            }
        }));
        return recording;
    }

    /**
     * Reads a recording.
     *
     * @param place its directory, or an archive of it (tar, tar.gz, tar.zst, zip or 7z)
     * @throws IllegalArgumentException with one sentence that names file, line and what was expected
     * @throws IOException when a file cannot be read at all
     */
    public static Recording read(Path place) throws IOException {
        Map<String, byte[]> files =
                Files.isRegularFile(place) ? RecordingArchive.read(place, List.of(EVENTS, SCANS)) : files(place);
        for (String name : List.of(EVENTS, SCANS)) {
            if (!files.containsKey(name)) {
                throw new IllegalArgumentException(
                        place + ": holds no " + name + "; a recording has " + EVENTS + " and " + SCANS);
            }
        }
        Path eventsFile = place.resolve(EVENTS);
        Path scansFile = place.resolve(SCANS);
        ByteBuffer scans = ByteBuffer.wrap(files.get(SCANS));
        byte[] start = new byte[SCANS_START.length];
        if (scans.remaining() >= start.length) {
            scans.get(start);
        }
        if (!Arrays.equals(start, SCANS_START)) {
            throw new IllegalArgumentException(
                    scansFile + ": does not start with \"SUNWARD SCANS 1\"; give the scans of a recording of layout 1");
        }
        CSVFormat format = CSVFormat.DEFAULT
                .builder()
                .setHeader()
                .setSkipHeaderRecord(true)
                .get();
        MemoryRecording recording = new MemoryRecording();
        try (Reader reader =
                        new InputStreamReader(new ByteArrayInputStream(files.get(EVENTS)), StandardCharsets.UTF_8);
                CSVParser parser = CSVParser.parse(reader, format)) {
            if (!parser.getHeaderNames().equals(COLUMNS)) {
                throw new IllegalArgumentException(
                        eventsFile + ", line 1: the columns must be " + String.join(",", COLUMNS));
            }
            for (CSVRecord line : parser) {
                event(new Line(eventsFile, line), scans, recording);
            }
        }
        if (scans.hasRemaining()) {
            throw new IllegalArgumentException(scansFile + ": holds " + scans.remaining()
                    + " bytes more than the scans of " + EVENTS + "; give the two files of one recording");
        }
        return recording;
    }

    private static Map<String, byte[]> files(Path directory) throws IOException {
        Map<String, byte[]> files = new TreeMap<>();
        for (String name : List.of(EVENTS, SCANS)) {
            Path file = directory.resolve(name);
            if (Files.isRegularFile(file)) {
                if (Files.size(file) > RecordingArchive.UNPACKED_BYTES) {
                    throw new IllegalArgumentException(file + ": has more than "
                            + (RecordingArchive.UNPACKED_BYTES >> 20) + " MiB; give the recording of one dive");
                }
                files.put(name, Files.readAllBytes(file));
            }
        }
        return files;
    }

    private static void event(Line line, ByteBuffer scans, MemoryRecording into) {
        switch (line.text("event")) {
            case "boot" -> into.boot(line.whole("time_ms"));
            case "fix" ->
                into.fix(line.whole("time_ms"), line.number("latitude_e5deg"), line.number("longitude_e5deg"));
            case "tare" -> into.tare(line.whole("time_ms"), line.number("pressure_e4dbar"));
            case "battery" -> into.battery(line.number("battery_percent"));
            case "trim" ->
                into.trim(
                        line.whole("time_ms"),
                        line.numberOrMissing("pitch_1_cdeg"),
                        line.numberOrMissing("roll_1_cdeg"),
                        line.numberOrMissing("pitch_2_cdeg"),
                        line.numberOrMissing("roll_2_cdeg"));
            case "start_profile" -> into.startProfile(line.whole("time_ms"));
            case "ancillary" ->
                into.ancillary(
                        line.number("pressure_e4dbar") / 100,
                        line.numberOrMissing("temperature_mdegc"),
                        line.numberOrMissing("salinity_mpsu"),
                        line.numberOrMissing("chlorophyll_ug_per_m3"),
                        line.numberOrMissing("backscatter_e6_per_m"));
            case "instant" -> into.instant(line.whole("time_ms"));
            case "scan" -> into.scan(scan(line, scans));
            case "end_profile" -> into.endProfile(line.whole("time_ms"));
            default ->
                throw line.wrong(
                        "event",
                        "boot, fix, tare, battery, trim, start_profile, ancillary, instant, scan or end_profile was expected");
        }
    }

    private static RawScan scan(Line line, ByteBuffer scans) {
        int channels = line.number("channels");
        if (channels < 1 || channels > MOST_CHANNELS) {
            throw line.wrong("channels", "a number from 1 to " + MOST_CHANNELS + " was expected");
        }
        if (scans.remaining() < 2 * channels) {
            throw line.wrong(
                    "channels", "but " + SCANS + " ends before this scan; give the two files of one recording");
        }
        RawScan scan = new RawScan(channels);
        scan.timeMs = line.whole("time_ms");
        scan.pressureE4Dbar = line.number("pressure_e4dbar");
        scan.head = line.number("head");
        scan.exposureCode = line.number("exposure_code");
        scan.shutterClosed = line.number("shutter_closed") != 0;
        scan.pitchCdeg[0] = line.numberOrMissing("pitch_1_cdeg");
        scan.pitchCdeg[1] = line.numberOrMissing("pitch_2_cdeg");
        scan.rollCdeg[0] = line.numberOrMissing("roll_1_cdeg");
        scan.rollCdeg[1] = line.numberOrMissing("roll_2_cdeg");
        scan.headingCdeg = line.numberOrMissing("heading_cdeg");
        scan.fieldDipCdeg = line.numberOrMissing("field_dip_cdeg");
        scan.temperatureCdeg = line.numberOrMissing("head_temperature_cdegc");
        scan.channels = channels;
        for (int k = 0; k < channels; k++) {
            scan.counts[k] = scans.getChar();
        }
        return scan;
    }

    /** A line of events.csv with its place, for sentences. */
    private record Line(Path file, CSVRecord cells) {
        String text(String column) {
            if (!cells.isSet(column)) {
                throw new IllegalArgumentException(
                        file + ", line " + (cells.getRecordNumber() + 1) + ": too few cells; give one for each column");
            }
            return cells.get(column);
        }

        long whole(String column) {
            try {
                return Long.parseLong(text(column));
            } catch (NumberFormatException e) {
                throw wrong(column, "a whole number was expected");
            }
        }

        int number(String column) {
            long value = whole(column);
            if (value != (int) value) {
                throw wrong(column, "a number of at most ten digits was expected");
            }
            return (int) value;
        }

        int numberOrMissing(String column) {
            return text(column).isEmpty() ? RawScan.MISSING : number(column);
        }

        IllegalArgumentException wrong(String column, String expected) {
            return new IllegalArgumentException(file + ", line " + (cells.getRecordNumber() + 1) + ", " + column
                    + ": \"" + text(column) + "\" found, " + expected);
        }
    }
}
