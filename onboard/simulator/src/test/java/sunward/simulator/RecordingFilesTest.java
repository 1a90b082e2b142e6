package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import sunward.firmware.RawScan;

class RecordingFilesTest {
    @TempDir
    private Path directory;

    private static MemoryRecording example() {
        MemoryRecording recording = new MemoryRecording();
        recording.boot(1000);
        recording.fix(1001, 1_100_000, -14_200_000);
        recording.tare(1002, -25);
        recording.startProfile(2000);
        recording.instant(2000);
        RawScan scan = new RawScan(20);
        scan.timeMs = 2128;
        scan.head = 1;
        scan.exposureCode = 6;
        scan.pressureE4Dbar = 123_456;
        scan.pitchCdeg[0] = -150;
        scan.pitchCdeg[1] = RawScan.MISSING;
        scan.headingCdeg = RawScan.MISSING;
        scan.temperatureCdeg = 2511;
        scan.channels = 16;
        for (int k = 0; k < 16; k++) {
            scan.counts[k] = (char) (4095 * k + 7);
        }
        recording.scan(scan);
        scan.shutterClosed = true;
        scan.counts[0] = 0xffff;
        scan.temperatureCdeg = RawScan.MISSING;
        recording.scan(scan);
        recording.ancillary(1235, 28_500, 34_123, 71, RawScan.MISSING);
        recording.battery(83);
        recording.endProfile(3000);
        return recording;
    }

    @Test
    void whatIsWrittenReadsBackEqual() throws IOException {
        RecordingFiles.write(example(), directory.resolve("first"));
        Recording read = RecordingFiles.read(directory.resolve("first"));
        RecordingFiles.write(read, directory.resolve("second"));
        for (String file : new String[] {"events.csv", "scans.bin"}) {
            assertArrayEquals(
                    Files.readAllBytes(directory.resolve("first").resolve(file)),
                    Files.readAllBytes(directory.resolve("second").resolve(file)),
                    file);
        }
        assertEquals(2, read.scans());
        assertEquals(16 + 2 * 2 * 16, Files.size(directory.resolve("first/scans.bin")));
        String scanLine =
                Files.readAllLines(directory.resolve("first/events.csv")).get(6);
        assertEquals("scan,2128,,,123456,,,,,,1,6,0,-150,,0,0,,,2511,16", scanLine);
    }

    @Test
    void aRecordingKeepsScansAsTheyWereTold() {
        RawScan scan = new RawScan(16);
        scan.channels = 16;
        scan.counts[3] = 77;
        MemoryRecording recording = new MemoryRecording();
        recording.scan(scan);
        scan.counts[3] = 0;
        MemoryRecording[] copy = {new MemoryRecording()};
        int[] seen = {0};
        recording.play(new Both(copy[0], new MemoryRecording() {
            @Override
            public void scan(RawScan told) {
                seen[0] = told.counts[3];
            }
        }));
        assertEquals(77, seen[0]);
        assertEquals(1, copy[0].scans());
    }

    private String spoilt(String from, String to) throws IOException {
        RecordingFiles.write(example(), directory);
        Path events = directory.resolve("events.csv");
        Files.writeString(events, Files.readString(events).replace(from, to));
        return assertThrows(IllegalArgumentException.class, () -> RecordingFiles.read(directory))
                .getMessage();
    }

    @Test
    void spoiltFilesGetOneSentenceWithTheirPlace() throws IOException {
        assertTrue(spoilt("boot,", "booot,").contains("line 2, event: \"booot\" found"));
        assertTrue(spoilt("scan,2128", "scan,noon").contains("line 7, time_ms: \"noon\" found, a whole number"));
        assertTrue(spoilt(",2511,16", ",2511,2000").contains("line 7, channels: \"2000\""));
        assertTrue(spoilt("2511,16", "2511").contains("line 7: too few cells"));
        assertTrue(spoilt("event,time_ms", "event,time_s").contains("line 1: the columns must be"));
        assertTrue(spoilt(",2511,16", ",2511,24").contains("ends before this scan"));
        assertTrue(spoilt(",2511,16", ",2511,15").contains("bytes more than the scans"));
        Files.writeString(directory.resolve("scans.bin"), "something else altogether");
        String wrong = assertThrows(IllegalArgumentException.class, () -> RecordingFiles.read(directory))
                .getMessage();
        assertTrue(wrong.contains("SUNWARD SCANS 1"), wrong);
        String none = assertThrows(
                        IllegalArgumentException.class, () -> RecordingFiles.read(directory.resolve("nowhere")))
                .getMessage();
        assertTrue(none.contains("holds no events.csv"), none);
    }

    @Test
    void scansOfOtherHeadsThanThePlansAreRefused() throws IOException {
        RecordingFiles.write(example(), directory);
        assertEquals(2, RecordingFiles.read(directory, List.of(720, 16)).scans());
        for (List<Integer> channels : List.of(List.of(720), List.of(16, 720))) {
            String wrong = assertThrows(IllegalArgumentException.class, () -> RecordingFiles.read(directory, channels))
                    .getMessage();
            assertTrue(wrong.contains("head 1 with 16 channels"), wrong);
        }
    }
}
