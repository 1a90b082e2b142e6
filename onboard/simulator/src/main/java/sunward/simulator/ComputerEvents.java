package sunward.simulator;

import sunward.firmware.FloatComputer;
import sunward.firmware.RawScan;

/** Passes events on to a float computer; allocates nothing. */
public final class ComputerEvents implements FloatEvents {
    private final FloatComputer computer;

    /** Passes events on to this one. */
    public ComputerEvents(FloatComputer computer) {
        this.computer = computer;
    }

    @Override
    public void boot(long timeMs) {
        computer.boot(timeMs);
    }

    @Override
    public void fix(long timeMs, int latitudeE5, int longitudeE5) {
        computer.onFix(timeMs, latitudeE5, longitudeE5);
    }

    @Override
    public void tare(long timeMs, int rawPressureE4Dbar) {
        computer.onTare(timeMs, rawPressureE4Dbar);
    }

    @Override
    public void battery(int percent) {
        computer.onBattery(percent);
    }

    @Override
    public void trim(long timeMs, int pitch1Cdeg, int roll1Cdeg, int pitch2Cdeg, int roll2Cdeg) {
        computer.onTrim(pitch1Cdeg, roll1Cdeg, pitch2Cdeg, roll2Cdeg);
    }

    @Override
    public void startProfile(long timeMs) {
        computer.startProfile(timeMs);
    }

    @Override
    public void ancillary(
            int pressureCdbar, int temperatureMdegc, int salinityMpsu, int chlorophyllUgPerM3, int backscatterE6PerM) {
        computer.onAncillary(pressureCdbar, temperatureMdegc, salinityMpsu, chlorophyllUgPerM3, backscatterE6PerM);
    }

    @Override
    public void instant(long timeMs) {
        computer.onInstant(timeMs);
    }

    @Override
    public void scan(RawScan scan) {
        computer.onScan(scan);
    }

    @Override
    public void endProfile(long timeMs) {
        computer.endProfile(timeMs);
    }
}
