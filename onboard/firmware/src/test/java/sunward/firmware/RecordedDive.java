package sunward.firmware;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import sunward.firmware.port.Modem;

/** The recording of {@code test-vectors/dives/v0/recorded}, flown: its integers in, messages out. */
final class RecordedDive {
    static final Path FOLDER = Path.of("..", "..", "test-vectors", "dives", "v0", "recorded");
    static final int CHANNELS = 32;

    private RecordedDive() {}

    /** The float of the recording: what README.md there says of it. */
    static FloatPlan plan(byte[] sealKey) {
        FloatPlan plan = TestPlans.reference(2, CHANNELS);
        plan.floatNumber = 77;
        plan.sealKey = sealKey;
        plan.startDbar = 8;
        plan.scanIntervalMs = 5000;
        plan.darkEvery = 6;
        plan.messageBytes = 200;
        plan.dataMessages = 24;
        plan.repairMessages = 6;
        plan.declinationDeg = -1.5;
        return plan;
    }

    /** The messages that a fresh float makes of the recording, in sending order. */
    static List<byte[]> fly(byte[] sealKey) throws IOException {
        List<byte[]> sent = new ArrayList<>();
        Modem modem = new Modem() {
            @Override
            public boolean send(byte[] message, int offset, int length) {
                sent.add(Arrays.copyOfRange(message, offset, offset + length));
                return true;
            }

            @Override
            public int receive(byte[] into, int offset, int limit) {
                return 0;
            }
        };
        FloatComputer computer =
                new FloatComputer(plan(sealKey), new TestFlash(1 << 22), modem, (head, code, closed) -> {});
        List<String> lines = Files.readAllLines(FOLDER.resolve("recording.csv"), StandardCharsets.UTF_8);
        for (String line : lines.subList(1, lines.size())) {
            tell(computer, line.split(",", -1));
        }
        computer.pack();
        while (computer.sendNext(MadeUpDive.NOON)) {
            // until all are handed over
        }
        return sent;
    }

    /** Columns: event, time_ms, head, exposure_code, shutter_closed, then what the event is about, then a scan's counts. */
    private static void tell(FloatComputer computer, String[] cells) {
        long timeMs = Long.parseLong(cells[1]);
        int[] v = Arrays.stream(cells[5].split(" ", -1))
                .filter(text -> !text.isEmpty())
                .mapToInt(Integer::parseInt)
                .toArray();
        switch (cells[0]) {
            case "boot" -> computer.boot(timeMs);
            case "fix" -> computer.onFix(timeMs, v[0], v[1]);
            case "tare" -> computer.onTare(timeMs, v[0]);
            case "start_profile" -> computer.startProfile(timeMs);
            case "instant" -> computer.onInstant(timeMs);
            case "ancillary" -> computer.onAncillary(v[0], v[1], v[2], v[3], v[4]);
            case "end_profile" -> computer.endProfile(timeMs);
            case "scan" -> computer.onScan(scan(timeMs, cells, v));
            default -> throw new IllegalArgumentException(cells[0]);
        }
    }

    private static RawScan scan(long timeMs, String[] cells, int[] v) {
        RawScan scan = new RawScan(CHANNELS);
        scan.timeMs = timeMs;
        scan.head = Integer.parseInt(cells[2]);
        scan.exposureCode = Integer.parseInt(cells[3]);
        scan.shutterClosed = cells[4].equals("1");
        scan.pressureE4Dbar = v[0];
        scan.pitchCdeg[0] = v[1];
        scan.pitchCdeg[1] = v[2];
        scan.rollCdeg[0] = v[3];
        scan.rollCdeg[1] = v[4];
        scan.headingCdeg = v[5];
        scan.temperatureCdeg = v[6];
        scan.channels = CHANNELS;
        String[] counts = cells[6].split(" ", -1);
        for (int c = 0; c < CHANNELS; c++) {
            scan.counts[c] = (char) Integer.parseInt(counts[c]);
        }
        return scan;
    }
}
