package sunward.simulator;

import java.util.ArrayList;
import java.util.List;
import sunward.firmware.RawScan;

/** A recording in memory: remembers every event that it is told. One writer; then safe to play on any thread. */
public class MemoryRecording implements Recording, FloatEvents {
    private final List<Event> events = new ArrayList<>();
    private int scans;

    /** One event, able to happen again. */
    private interface Event {
        void happen(FloatEvents into);
    }

    @Override
    public void boot(long timeMs) {
        events.add(into -> into.boot(timeMs));
    }

    @Override
    public void fix(long timeMs, int latitudeE5, int longitudeE5) {
        events.add(into -> into.fix(timeMs, latitudeE5, longitudeE5));
    }

    @Override
    public void tare(long timeMs, int rawPressureE4Dbar) {
        events.add(into -> into.tare(timeMs, rawPressureE4Dbar));
    }

    @Override
    public void battery(int percent) {
        events.add(into -> into.battery(percent));
    }

    @Override
    public void trim(long timeMs, int pitch1Cdeg, int roll1Cdeg, int pitch2Cdeg, int roll2Cdeg) {
        events.add(into -> into.trim(timeMs, pitch1Cdeg, roll1Cdeg, pitch2Cdeg, roll2Cdeg));
    }

    @Override
    public void startProfile(long timeMs) {
        events.add(into -> into.startProfile(timeMs));
    }

    @Override
    public void ancillary(
            int pressureCdbar, int temperatureMdegc, int salinityMpsu, int chlorophyllUgPerM3, int backscatterE6PerM) {
        events.add(into ->
                into.ancillary(pressureCdbar, temperatureMdegc, salinityMpsu, chlorophyllUgPerM3, backscatterE6PerM));
    }

    @Override
    public void instant(long timeMs) {
        events.add(into -> into.instant(timeMs));
    }

    @Override
    public void scan(RawScan scan) {
        RawScan copy = new RawScan(scan.channels);
        copy(scan, copy);
        events.add(into -> into.scan(copy));
        scans++;
    }

    @Override
    public void endProfile(long timeMs) {
        events.add(into -> into.endProfile(timeMs));
    }

    @Override
    public void play(FloatEvents into) {
        for (int i = 0; i < events.size(); i++) {
            events.get(i)
                    .happen(into); // no iterator: playing allocates nothing, so that what the float allocates shows
        }
    }

    @Override
    public int scans() {
        return scans;
    }

    private static void copy(RawScan from, RawScan to) {
        to.head = from.head;
        to.timeMs = from.timeMs;
        to.exposureCode = from.exposureCode;
        to.shutterClosed = from.shutterClosed;
        to.pressureE4Dbar = from.pressureE4Dbar;
        System.arraycopy(from.pitchCdeg, 0, to.pitchCdeg, 0, to.pitchCdeg.length);
        System.arraycopy(from.rollCdeg, 0, to.rollCdeg, 0, to.rollCdeg.length);
        to.headingCdeg = from.headingCdeg;
        to.fieldDipCdeg = from.fieldDipCdeg;
        to.temperatureCdeg = from.temperatureCdeg;
        to.channels = from.channels;
        System.arraycopy(from.counts, 0, to.counts, 0, from.channels);
    }
}
