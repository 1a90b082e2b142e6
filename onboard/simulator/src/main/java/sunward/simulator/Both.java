package sunward.simulator;

import sunward.firmware.RawScan;

/** Passes events on to two receivers, the first one first. */
record Both(FloatEvents first, FloatEvents second) implements FloatEvents {
    @Override
    public void boot(long timeMs) {
        first.boot(timeMs);
        second.boot(timeMs);
    }

    @Override
    public void fix(long timeMs, int latitudeE5, int longitudeE5) {
        first.fix(timeMs, latitudeE5, longitudeE5);
        second.fix(timeMs, latitudeE5, longitudeE5);
    }

    @Override
    public void tare(long timeMs, int rawPressureE4Dbar) {
        first.tare(timeMs, rawPressureE4Dbar);
        second.tare(timeMs, rawPressureE4Dbar);
    }

    @Override
    public void battery(int percent) {
        first.battery(percent);
        second.battery(percent);
    }

    @Override
    public void trim(long timeMs, int pitch1Cdeg, int roll1Cdeg, int pitch2Cdeg, int roll2Cdeg) {
        first.trim(timeMs, pitch1Cdeg, roll1Cdeg, pitch2Cdeg, roll2Cdeg);
        second.trim(timeMs, pitch1Cdeg, roll1Cdeg, pitch2Cdeg, roll2Cdeg);
    }

    @Override
    public void startProfile(long timeMs) {
        first.startProfile(timeMs);
        second.startProfile(timeMs);
    }

    @Override
    public void ancillary(
            int pressureCdbar, int temperatureMdegc, int salinityMpsu, int chlorophyllUgPerM3, int backscatterE6PerM) {
        first.ancillary(pressureCdbar, temperatureMdegc, salinityMpsu, chlorophyllUgPerM3, backscatterE6PerM);
        second.ancillary(pressureCdbar, temperatureMdegc, salinityMpsu, chlorophyllUgPerM3, backscatterE6PerM);
    }

    @Override
    public void instant(long timeMs) {
        first.instant(timeMs);
        second.instant(timeMs);
    }

    @Override
    public void scan(RawScan scan) {
        first.scan(scan);
        second.scan(scan);
    }

    @Override
    public void endProfile(long timeMs) {
        first.endProfile(timeMs);
        second.endProfile(timeMs);
    }
}
