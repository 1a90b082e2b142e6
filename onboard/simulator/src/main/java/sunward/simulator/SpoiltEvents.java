package sunward.simulator;

import java.util.Arrays;
import sunward.firmware.RawScan;
import sunward.protocol.schema.Failures;

/**
 * Passes events on by the float's own clock and as the scene's failures leave them: what the float is told when its sensors
 * break.
 */
final class SpoiltEvents implements FloatEvents {
    /** Every so manieth heading is a spike. */
    private static final int SPIKE_EVERY = 20;

    private static final int CIRCLE_CDEG = 36_000;

    private final Failures failures;
    private final FloatClock drift;
    private final long address;
    private final FloatEvents into;
    private boolean broken;
    private boolean frozen;
    private int frozenE4;
    private int frozenHeading = RawScan.MISSING;
    private int startE4 = Integer.MIN_VALUE;
    private boolean clockSet;

    SpoiltEvents(Failures failures, FloatClock drift, long diveSeed, FloatEvents into) {
        this.failures = failures;
        this.drift = drift;
        this.address = Noise.hash(diveSeed, Part.FAILURES);
        this.into = into;
    }

    private long clock(long timeMs) {
        return drift.at(timeMs) + jumpMs();
    }

    /** By how much the float's clock has jumped. */
    long jumpMs() {
        return broken && !clockSet ? Math.round(failures.getClockJumpS() * 1000) : 0;
    }

    /** What the gauge says instead of the raw pressure that it should. */
    int pressure(int soundE4) {
        if (startE4 == Integer.MIN_VALUE) {
            startE4 = soundE4;
        }
        broken |= soundE4 <= failures.getFromDbar() * 1e4;
        if (!broken) {
            return soundE4;
        }
        if (!frozen) {
            frozen = true;
            frozenE4 = soundE4;
        }
        return switch (failures.getPressure()) {
            case "stuck" -> frozenE4;
            case "reversed" -> 2 * frozenE4 - soundE4;
            default -> soundE4;
        };
    }

    @Override
    public void boot(long timeMs) {
        drift.set(timeMs);
        into.boot(timeMs);
    }

    @Override
    public void fix(long timeMs, int latitudeE5, int longitudeE5) {
        drift.set(timeMs);
        clockSet = broken; // the receiver's time is right
        into.fix(timeMs, latitudeE5, longitudeE5);
    }

    @Override
    public void tare(long timeMs, int rawPressureE4Dbar) {
        boolean stuck = broken && failures.getPressure().equals("stuck");
        into.tare(clock(timeMs), stuck ? frozenE4 : rawPressureE4Dbar);
    }

    @Override
    public void battery(int percent) {
        into.battery(percent);
    }

    @Override
    public void trim(long timeMs, int pitch1Cdeg, int roll1Cdeg, int pitch2Cdeg, int roll2Cdeg) {
        into.trim(clock(timeMs), pitch1Cdeg, roll1Cdeg, pitch2Cdeg, roll2Cdeg);
    }

    @Override
    public void startProfile(long timeMs) {
        into.startProfile(clock(timeMs));
    }

    @Override
    public void ancillary(
            int pressureCdbar, int temperatureMdegc, int salinityMpsu, int chlorophyllUgPerM3, int backscatterE6PerM) {
        int spoilt = Math.floorDiv(pressure(100 * pressureCdbar) + 50, 100);
        into.ancillary(spoilt, temperatureMdegc, salinityMpsu, chlorophyllUgPerM3, backscatterE6PerM);
    }

    @Override
    public void instant(long timeMs) {
        into.instant(clock(timeMs));
    }

    @Override
    public void scan(RawScan scan) {
        int soundE4 = scan.pressureE4Dbar;
        scan.pressureE4Dbar = pressure(soundE4);
        scan.timeMs = clock(scan.timeMs);
        if (!broken) {
            into.scan(scan);
            return;
        }
        if (scan.head + 1 == failures.getDeadHead()) {
            return;
        }
        if (scan.head + 1 == failures.getDazzledHead() && !scan.shutterClosed) {
            Arrays.fill(scan.counts, 0, scan.channels, Character.MAX_VALUE);
        }
        compass(scan);
        if (failures.getDeadTiltSensor() > 0) {
            scan.pitchCdeg[failures.getDeadTiltSensor() - 1] = RawScan.MISSING;
            scan.rollCdeg[failures.getDeadTiltSensor() - 1] = RawScan.MISSING;
        }
        if (failures.getSlippedTiltSensor() > 0) {
            scan.pitchCdeg[failures.getSlippedTiltSensor() - 1] += (int) Math.rint(failures.getSlipDeg() * 100);
        }
        into.scan(scan);
    }

    private void compass(RawScan scan) {
        int heading = scan.headingCdeg;
        if (heading == RawScan.MISSING) {
            return;
        }
        frozenHeading = frozenHeading == RawScan.MISSING ? heading : frozenHeading;
        long draw = Noise.hash(address, scan.timeMs);
        scan.headingCdeg = switch (failures.getCompass()) {
            case "stuck" -> frozenHeading;
            case "reversed" -> Math.floorMod(heading + CIRCLE_CDEG / 2, CIRCLE_CDEG);
            case "mirrored" -> Math.floorMod(-heading, CIRCLE_CDEG);
            case "spikes" ->
                Math.floorMod(draw, SPIKE_EVERY) == 0
                        ? (int) (CIRCLE_CDEG * Noise.uniform(Noise.hash(draw, 1)))
                        : heading;
            case "silent" -> RawScan.MISSING;
            default -> heading;
        };
    }

    @Override
    public void endProfile(long timeMs) {
        into.endProfile(clock(timeMs));
    }
}
