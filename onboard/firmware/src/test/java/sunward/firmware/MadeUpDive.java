package sunward.firmware;

import java.time.Instant;
import java.util.Random;
import sunward.firmware.port.Flash;
import sunward.firmware.port.Modem;
import sunward.firmware.port.Sensors;

/**
 * A made-up dive that drives a float computer: exponential light with depth and wavelength, slow spin, waves, noise,
 * and shading where asked for. Nothing in it is meant as physics; it allocates nothing while it runs.
 */
final class MadeUpDive implements Sensors {
    static final long NOON = Instant.parse("2026-12-15T02:27:00Z").toEpochMilli()
            - Instant.parse("2000-01-01T00:00:00Z").toEpochMilli();
    static final int TARE_E4 = 523;

    final FloatPlan plan;
    final Flash flash;
    final FloatComputer computer;
    private final RawScan[] scans;
    private final Random random;
    Runnable afterScan = () -> {};
    private long timeMs;
    private double portDbar;
    private double headingDeg;

    MadeUpDive(FloatPlan plan, Flash flash, Modem modem, long seed) {
        this.plan = plan;
        this.flash = flash;
        random = new Random(seed);
        scans = new RawScan[plan.heads.length];
        for (int h = 0; h < scans.length; h++) {
            scans[h] = new RawScan(plan.heads[h].channels);
            scans[h].channels = plan.heads[h].channels;
        }
        computer = new FloatComputer(plan, flash, modem, this);
    }

    /** From boot to a packed outbox. */
    void fly() {
        computer.boot(NOON - 4_000_000);
        profile();
        computer.pack();
    }

    /** One dive up to the surface, booted already; not packed. */
    void profile() {
        timeMs = NOON - 3_600_000;
        computer.onFix(timeMs, 1_100_000, 14_200_000);
        computer.onTare(timeMs, TARE_E4);
        computer.startProfile(timeMs);
        portDbar = plan.startDbar;
        while (portDbar > plan.hullTopM - plan.portAboveM) {
            computer.onInstant(timeMs);
            for (RawScan scan : scans) {
                computer.onScan(scan);
                afterScan.run();
            }
            computer.onAncillary(
                    (int) (portDbar * 100),
                    (int) (28_000 - 60 * portDbar),
                    (int) (34_500 + 2 * portDbar),
                    (int) (60 + portDbar),
                    (int) (400 + portDbar));
            int step = computer.instantIntervalMs();
            timeMs += step;
            portDbar -= step / 1000.0 * (portDbar > 20 ? 0.10 : 0.03);
            headingDeg = (headingDeg + 0.8 * step / 1000) % 360;
        }
        computer.endProfile(timeMs);
        computer.onTare(timeMs, TARE_E4 + 90);
        computer.onFix(timeMs, 1_100_500, 14_200_700);
    }

    @Override
    public void expose(int head, int exposureCode, boolean shutterClosed) {
        RawScan scan = scans[head];
        scan.head = head;
        scan.timeMs = timeMs;
        scan.exposureCode = exposureCode;
        scan.shutterClosed = shutterClosed;
        scan.pressureE4Dbar = TARE_E4 + (int) (portDbar * 1e4) + random.nextInt(40);
        double pitch = 1.5 * Math.sin(timeMs / 7000.0);
        for (int i = 0; i < 2; i++) {
            scan.pitchCdeg[i] = (int) (100 * pitch) + random.nextInt(20);
            scan.rollCdeg[i] = random.nextInt(100) - 50;
        }
        scan.headingCdeg = (int) (headingDeg * 100);
        double seconds = plan.shortestMs * (1 << exposureCode) / 1000;
        double depth = portDbar + plan.portAboveM;
        double wave = 1 + 0.03 * Math.exp(-depth / 6) * random.nextGaussian();
        int n = scan.channels;
        for (int c = 0; c < n; c++) {
            double x = (c + 0.5) / n;
            double attenuation = 0.03 + 2.5 * Math.pow(Math.max(0, x - 0.25), 2) + 0.3 * Math.pow(x - 0.25, 2);
            double rate = 4e5 * (1 + 0.2 * Math.sin(40 * x)) * Math.exp(-attenuation * depth) * wave;
            double signal = shutterClosed ? 0 : rate * seconds;
            double noise = Math.sqrt(signal / 3.8 + 64) * random.nextGaussian();
            double count = Math.rint(900 + 60 * seconds + signal + noise);
            scan.counts[c] = (char) Math.max(0, Math.min(65535, count));
        }
    }
}
