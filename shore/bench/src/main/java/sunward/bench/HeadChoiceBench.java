package sunward.bench;

import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.Arrays;
import java.util.Locale;
import java.util.SplittableRandom;
import sunward.firmware.FloatComputer;
import sunward.firmware.FloatPlan;
import sunward.firmware.RawScan;
import sunward.firmware.port.Modem;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.NorFlash;
import sunward.simulator.PlanMapping;
import sunward.simulator.Sun;
import sunward.simulator.SunPosition;

/**
 * The float computer's head choice over many simulated scans, judged by {@link StraightRays}: {@code HeadChoiceBench
 * [DIVES [CASE]]}. The two cases with limits fly DIVES rises of the reference float and the others an eighth of them, half with the plan's attenuation and half with others,
 * under suns from 10 to 70 degrees from the zenith, and prints what the preferred head lost beyond the better one.
 */
public final class HeadChoiceBench {
    private static final long EPOCH_MS = Instant.parse("2000-01-01T00:00:00Z").toEpochMilli();
    private static final double WATER_INDEX = 1.34;
    private static final double DELTA_T_S = 69.2;
    private static final int CHANNELS = 16;

    /** Brightness of the float's view: share of direct light, its fading with depth, waves (all invented). */
    private static final double DIRECT_SHARE = 0.7;

    private static final double BEAM_M = 60;
    private static final double WAVES = 0.025;
    private static final double WAVES_M = 6;

    /** What is wrong with the compass. */
    enum Case {
        ERROR_5_DEG(0L),
        HARD_IRON_30_DEG(1000L),
        REVERSED(2000L),
        MIRRORED(3000L),
        STUCK(4000L),
        ABSENT(5000L),
        SPIKES(6000L),
        OVERCAST(7000L);

        /** First seed of the case's dives. */
        final long firstSeed;

        Case(long firstSeed) {
            this.firstSeed = firstSeed;
        }
    }

    /** What one case came to. */
    static final class Outcome {
        double excess;
        double afterFirstTurn;
        long lateInstants;
        double[] excesses = new double[0];
        long instants;
        long switches;
        double halfTurns;
        int worstSwitchesOverHalfTurns = Integer.MIN_VALUE;
        int worstDive;
        final long[] fallbacks = new long[16];

        double meanPercent() {
            return 100 * excess / instants;
        }

        double afterFirstTurnPercent() {
            return 100 * afterFirstTurn / lateInstants;
        }

        double p95Percent() {
            double[] sorted = Arrays.copyOf(excesses, (int) instants);
            Arrays.sort(sorted);
            return 100 * sorted[(int) (0.95 * instants)];
        }
    }

    /** Takes every message. */
    private static final class Nowhere implements Modem {
        @Override
        public boolean send(byte[] message, int offset, int length) {
            return true;
        }

        @Override
        public int receive(byte[] into, int offset, int limit) {
            return 0;
        }
    }

    private final FloatPlan plan;
    private final StraightRays rays;
    private final FloatComputer computer;
    private final int[] codes;
    private final boolean[] dark;
    private final double[] toSun = new double[3];

    HeadChoiceBench() {
        PlanFile defaults = PlanReader.defaults();
        var thin = defaults.getPlan().toBuilder().clearFlyWavelengthsNm();
        for (int c = 0; c < CHANNELS; c++) {
            thin.addFlyWavelengthsNm(400 + 20.25 * c);
        }
        plan = PlanMapping.floatPlan(thin.build(), defaults.getCalibration(), true, null);
        rays = new StraightRays(plan.hullRadiusM, plan.hullTopM, plan.hullBottomM, plan.heads[0].halfFieldDeg);
        codes = new int[plan.heads.length];
        dark = new boolean[plan.heads.length];
        computer = new FloatComputer(plan, NorFlash.reference(), new Nowhere(), (head, code, closed) -> {
            codes[head] = code;
            dark[head] = closed;
        });
    }

    /** Runs and prints its figures. */
    public static void main(String[] arguments) {
        PrintStream out = new PrintStream(System.out, true, StandardCharsets.UTF_8);
        int dives = arguments.length > 0 ? Integer.parseInt(arguments[0]) : 170;
        HeadChoiceBench bench = new HeadChoiceBench();
        Case[] cases =
                arguments.length > 1 ? new Case[] {Case.valueOf(arguments[1].toUpperCase(Locale.ROOT))} : Case.values();
        for (Case which : cases) {
            boolean gated = which == Case.ERROR_5_DEG || which == Case.HARD_IRON_30_DEG;
            Outcome o = bench.fly(which, gated ? dives : Math.max(1, dives / 8));
            String name = which.name().toLowerCase(Locale.ROOT);
            out.printf(
                    Locale.ROOT,
                    "%-18s %8d scans  excess mean %.4f %%  after the first turn %.4f %%  p95 %.4f %%  switches %d in"
                            + " %.0f half turns, at most %d more than half turns (dive %d)  fallbacks %s%n",
                    name,
                    2 * o.instants,
                    o.meanPercent(),
                    o.afterFirstTurnPercent(),
                    o.p95Percent(),
                    o.switches,
                    o.halfTurns,
                    o.worstSwitchesOverHalfTurns,
                    o.worstDive,
                    Arrays.toString(Arrays.copyOf(o.fallbacks, 9)));
            String figure = which == Case.ERROR_5_DEG
                    ? "firmware.head_excess_loss_555_percent"
                    : "firmware.head_excess_loss_555_" + name + "_percent";
            out.printf(Locale.ROOT, "figure %s %.4f percent%n", figure, o.meanPercent());
        }
    }

    /** Flies a case from its first dive on. */
    Outcome fly(Case which, int dives) {
        return fly(which, 0, dives);
    }

    /** Flies dives of a case. */
    Outcome fly(Case which, int from, int dives) {
        Outcome outcome = new Outcome();
        for (int d = from; d < from + dives; d++) {
            dive(which, d, new SplittableRandom(which.firstSeed + d), outcome);
        }
        return outcome;
    }

    private void dive(Case which, int number, SplittableRandom random, Outcome outcome) {
        double latitude = -60 + 120 * random.nextDouble();
        double longitude = -180 + 360 * random.nextDouble();
        long endMs = sunnyMoment(latitude, longitude, random);
        double kappa = 2 * (number % 2 == 0 ? plan.attenuation555PerM : 0.06 + 0.09 * random.nextDouble());
        Compass compass = new Compass(which, random);
        Swing swing = new Swing(random);
        double brightShare = which == Case.OVERCAST ? 0 : DIRECT_SHARE;
        double port = plan.startDbar;
        double seconds =
                (plan.startDbar - plan.slowAboveDbar) / plan.speedMPerS + plan.slowAboveDbar / plan.slowSpeedMPerS;
        long timeMs = endMs - (long) (seconds * 1000);
        computer.boot(timeMs - 1000);
        computer.onFix(timeMs, (int) (latitude * 1e5), (int) (longitude * 1e5));
        computer.onTare(timeMs, 0);
        computer.startProfile(timeMs);
        RawScan[] scans = new RawScan[plan.heads.length];
        for (int h = 0; h < scans.length; h++) {
            scans[h] = new RawScan(CHANNELS);
            scans[h].channels = CHANNELS;
            scans[h].head = h;
        }
        int before = -1;
        long switches = 0;
        double turned = 0;
        double heading = 360 * random.nextDouble();
        double[] loss = new double[scans.length];
        while (port > plan.hullTopM - plan.portAboveM) {
            swing.step(random);
            double step = swing.spinDegPerS;
            heading = ((heading + step) % 360 + 360) % 360;
            turned += Math.abs(step);
            SunPosition sun = Sun.at(timeMs, latitude, longitude, DELTA_T_S);
            towardsSun(sun, heading, swing.pitchDeg, swing.rollDeg);
            for (int h = 0; h < scans.length; h++) {
                loss[h] = loss(h, kappa, port);
            }
            computer.onInstant(timeMs);
            int read = compass.read(heading - plan.declinationDeg, random);
            for (int h = 0; h < scans.length; h++) {
                RawScan scan = scans[h];
                scan.timeMs = timeMs;
                scan.exposureCode = codes[h];
                scan.shutterClosed = dark[h];
                scan.pressureE4Dbar = (int) (port * 1e4) + random.nextInt(40);
                scan.headingCdeg = read;
                scan.fieldDipCdeg = RawScan.MISSING;
                for (int i = 0; i < 2; i++) {
                    scan.pitchCdeg[i] = (int) Math.rint(100 * swing.pitchDeg);
                    scan.rollCdeg[i] = (int) Math.rint(100 * swing.rollDeg);
                }
                double waves = 1 + WAVES * Math.exp(-port / WAVES_M) * random.nextGaussian();
                double bright = (1 - brightShare * Math.exp(-port / BEAM_M) * loss[h]) * waves;
                for (int c = 0; c < CHANNELS; c++) {
                    double signal = dark[h] ? 0 : 38_000 * bright * (c == 8 ? 1 : 0.6);
                    scan.counts[c] =
                            (char) Math.rint(900 + signal + Math.sqrt(signal / 3.8 + 64) * random.nextGaussian());
                }
                computer.onScan(scan);
            }
            int preferred = computer.preferredHead();
            note(outcome, loss, preferred, turned, brightShare > 0);
            switches += before >= 0 && before != preferred ? 1 : 0;
            before = preferred;
            timeMs += 1000;
            port -= port > plan.slowAboveDbar ? plan.speedMPerS : plan.slowSpeedMPerS;
        }
        outcome.switches += switches;
        outcome.halfTurns += turned / 180;
        int more = (int) (switches - Math.ceil(turned / 180));
        if (more > outcome.worstSwitchesOverHalfTurns) {
            outcome.worstSwitchesOverHalfTurns = more;
            outcome.worstDive = number;
        }
    }

    private void note(Outcome outcome, double[] loss, int preferred, double turned, boolean sunny) {
        double least = Arrays.stream(loss).min().orElseThrow();
        double excess = sunny ? loss[preferred] - least : 0;
        if (outcome.instants == outcome.excesses.length) {
            outcome.excesses = Arrays.copyOf(outcome.excesses, Math.max(4096, 2 * outcome.excesses.length));
        }
        outcome.excesses[(int) outcome.instants++] = excess;
        outcome.excess += excess;
        outcome.fallbacks[computer.fallback()]++;
        if (turned > 360) {
            outcome.afterFirstTurn += excess;
            outcome.lateInstants++;
        }
    }

    /** A moment in 2026 to 2028 with the sun 10 to 70 degrees from the zenith, ms since 2000. */
    private static long sunnyMoment(double latitude, double longitude, SplittableRandom random) {
        long from = Instant.parse("2026-12-01T00:00:00Z").toEpochMilli() - EPOCH_MS;
        for (int i = 0; i < 10_000; i++) {
            long moment = from + (long) (365 * 86_400_000.0 * random.nextDouble());
            double zenith = Sun.at(moment, latitude, longitude, DELTA_T_S).zenithDeg();
            if (zenith > 10 && zenith < 70) {
                return moment;
            }
        }
        throw new IllegalStateException("no sun at latitude " + latitude);
    }

    /** The refracted sun in the hull frame: the turn of heading, pitch and roll undone one after the other. */
    private void towardsSun(SunPosition sun, double headingDeg, double pitchDeg, double rollDeg) {
        double sine = Math.sin(Math.toRadians(sun.zenithDeg())) / WATER_INDEX;
        double azimuth = Math.toRadians(sun.azimuthDeg() - headingDeg);
        double x = sine * Math.cos(azimuth);
        double y = sine * Math.sin(azimuth);
        double z = -Math.sqrt(1 - sine * sine);
        double p = Math.toRadians(pitchDeg);
        double r = Math.toRadians(rollDeg);
        double x1 = Math.cos(p) * x - Math.sin(p) * z;
        double z1 = Math.sin(p) * x + Math.cos(p) * z;
        toSun[0] = x1;
        toSun[1] = Math.cos(r) * y + Math.sin(r) * z1;
        toSun[2] = -Math.sin(r) * y + Math.cos(r) * z1;
    }

    private double loss(int h, double kappa, double portDbar) {
        FloatPlan.Head head = plan.heads[h];
        if (head.armXM * toSun[0] + head.armYM * toSun[1] > 0.4) {
            return 0; // far on the sun's side
        }
        return rays.loss(new double[] {head.armXM, head.armYM, head.armZM}, toSun, kappa, portDbar + plan.portAboveM);
    }

    /** A compass with what is wrong with it. */
    private static final class Compass {
        private final Case which;
        private final double fixedDeg;
        private final double onceRoundDeg;
        private final double phase;
        private final double stuckAt;

        Compass(Case which, SplittableRandom random) {
            this.which = which;
            double rms = which == Case.HARD_IRON_30_DEG ? 0 : which == Case.ERROR_5_DEG ? 5 : 3;
            fixedDeg = rms * Math.sqrt(0.5) * random.nextGaussian();
            onceRoundDeg = which == Case.HARD_IRON_30_DEG ? 30 : rms;
            phase = 2 * Math.PI * random.nextDouble();
            stuckAt = 360 * random.nextDouble();
        }

        /** 0.01 degree, or missing. */
        int read(double magneticDeg, SplittableRandom random) {
            double read = magneticDeg
                    + fixedDeg
                    + onceRoundDeg * Math.sin(Math.toRadians(magneticDeg) + phase)
                    + 0.3 * random.nextGaussian();
            switch (which) {
                case REVERSED -> read += 180;
                case MIRRORED -> read = -read;
                case STUCK -> read = stuckAt;
                case SPIKES -> read = random.nextInt(20) == 0 ? 360 * random.nextDouble() : read;
                case ABSENT -> {
                    return RawScan.MISSING;
                }
                default -> {
                    // as read
                }
            }
            return (int) Math.floorMod(Math.round(read * 100), 36_000L);
        }
    }

    /** Tilt and turning: first-order wandering, stepped by a second. */
    private static final class Swing {
        double pitchDeg;
        double rollDeg;
        double spinDegPerS;
        private final double tiltRms;
        private final double meanSpin;

        Swing(SplittableRandom random) {
            tiltRms = 0.5 + 2.5 * random.nextDouble();
            meanSpin = (random.nextBoolean() ? 1 : -1) * (0.5 + 0.6 * random.nextDouble());
            spinDegPerS = meanSpin;
        }

        void step(SplittableRandom random) {
            double kept = Math.exp(-1 / 4.0);
            double fresh = Math.sqrt(1 - kept * kept) * tiltRms / Math.sqrt(2);
            pitchDeg = kept * pitchDeg + fresh * random.nextGaussian();
            rollDeg = kept * rollDeg + fresh * random.nextGaussian();
            double slow = Math.exp(-1 / 40.0);
            spinDegPerS = meanSpin
                    + slow * (spinDegPerS - meanSpin)
                    + 0.3 * Math.sqrt(1 - slow * slow) * random.nextGaussian();
        }
    }
}
