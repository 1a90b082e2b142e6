package sunward.simulator;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import sunward.firmware.DiveCycle;
import sunward.firmware.FloatComputer;
import sunward.firmware.FloatPlan;
import sunward.firmware.RawScan;
import sunward.firmware.port.Buoyancy;
import sunward.firmware.port.Sensors;
import sunward.protocol.schema.Calibration;
import sunward.protocol.schema.LinkTruth;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.Scene;
import sunward.protocol.spectra.BinRecord;

/**
 * One dive, all wiring: the true world on one side, the float computer with its ports on the other, the link behind it. A
 * pure function of plan, calibration, scene and seeds: the same bytes every time, on any thread.
 */
public final class Dive {
    /** Told how far a dive is. */
    public interface Progress {
        /** Tells nobody. */
        Progress NONE = (stage, share) -> {};

        /**
         * How far.
         *
         * @param stage what is being done, in a word or two
         * @param share of the stage, 0 to 1
         */
        void at(String stage, double share);
    }

    /** The dive lasts this long at least, from fix to surfacing, s (invented); the plan's rest would only add to the parking. */
    private static final double SUBMERGED_S = 12 * 3600.0;

    private static final double METRES_PER_DEGREE = 111_320;

    /** After the surfacing: the gauge dries, a fix comes, the session starts; ms. */
    private static final long TARE_AFTER_MS = 30_000;

    private static final long FIX_AFTER_MS = 60_000;
    private static final int BATTERY_PERCENT = 100;

    /** Shore answers what it has received so long after the float began to listen, ms (invented). */
    private static final long ANSWERED_AFTER_MS = 120_000;

    /** A float stays parked for so long at least, ms (invented). */
    private static final long PARKED_MS = 3_600_000;

    /** A float that has lost its power starts again after so long, ms (invented). */
    private static final long RESTART_MS = 5_000;

    /** Longest time between two ticks of a float that rises, ms: a start on time needs a tick then. */
    private static final long TICK_MS = 10_000;

    private final Plan plan;
    private final Scene scene;
    private final Seeds seeds;
    private final Progress progress;
    private final World world;
    private final Exposures exposures;
    private final FloatComputer computer;
    private final Link link;
    private final NorFlash flash = NorFlash.reference();
    private final MemoryRecording recording = new MemoryRecording();
    private final FloatEvents events;
    private final FloatEvents told;
    private final SpoiltEvents spoilt;
    private final DiveCycle cycle;
    private final long sinkMs;
    private final FloatPlan floatPlan;
    private final Pose pose = new Pose();
    private final Emitters emitters;
    private final RawScan scan;
    private final List<TrackPoint> track = new ArrayList<>();
    private long nowMs;
    private long surfacedMs;
    private boolean instant;
    private boolean powerCut;
    private int instants;
    private int darkScans;

    private Dive(
            Plan plan, Calibration calibration, Scene scene, Seeds seeds, byte[] sealKeyOrNull, Progress progress) {
        this.plan = plan;
        this.scene = scene;
        this.seeds = seeds;
        this.progress = progress;
        progress.at("sea", 0);
        world = new World(plan, calibration, scene, seeds);
        exposures = new Exposures(plan.getHeadsCount());
        emitters = new Emitters(
                plan.getEmitters().getFlashMs(), scene.getFailures().getEmittersUnblanked());
        link = new Link(scene.getLink(), seeds.link());
        floatPlan = PlanMapping.floatPlan(plan, calibration, true, sealKeyOrNull);
        computer = new FloatComputer(floatPlan, flash, link, exposures);
        told = new ComputerEvents(computer);
        FloatClock clock = new FloatClock(scene.getClock(), seeds.instrument());
        spoilt = new SpoiltEvents(scene.getFailures(), clock, seeds.dive(), new Both(recording, told));
        events = spoilt;
        cycle = new DiveCycle(floatPlan, computer, new Pump(), new Rise());
        scan = new RawScan(plan.getHeadsList().stream()
                .mapToInt(head -> head.getChannels())
                .max()
                .orElseThrow());
        double speed = plan.getAscent().getSpeedMPerS();
        double parkM = world.motion.parkDepthM();
        double startM = world.motion.depthM(-world.motion.durationS());
        long riseMs = Math.round((parkM - startM) / speed * 1000 / TICK_MS + 0.5) * TICK_MS;
        long wayMs = Math.round(world.motion.durationS() * 1000) + riseMs;
        long downMs = Math.round(parkM / speed * 1000) + PARKED_MS;
        long underMs = Math.max(Math.round(SUBMERGED_S * 1000), wayMs + downMs);
        sinkMs = world.surfacingMs - underMs;
        floatPlan.betweenDivesMs = underMs - wayMs; // the rise begins so that it ends at the scene's moment
        progress.at("sea", 1);
    }

    /**
     * Flies a dive, from the last fix before it to the end of the session at the surface after it.
     *
     * @param plan read and checked
     * @param calibration what the laboratory says of the heads
     * @param scene the truth
     * @param sealKeyOrNull key that seals the messages, or null: unsealed
     * @param progress told how far it is
     * @throws IllegalArgumentException with one sentence for the user, when the scene cannot be built
     */
    public static DiveResult fly(
            Plan plan, Calibration calibration, Scene scene, Seeds seeds, byte[] sealKeyOrNull, Progress progress) {
        return fly(plan, calibration, scene, seeds, sealKeyOrNull, Shore.SILENT, 0, progress);
    }

    /**
     * As {@link #fly(Plan, Calibration, Scene, Seeds, byte[], Progress)}, with a shore that may answer.
     *
     * @param shore whoever answers
     * @param rounds how often the float listens for orders after sending, then sends what they ask for, while the session
     *     lasts
     */
    public static DiveResult fly(
            Plan plan,
            Calibration calibration,
            Scene scene,
            Seeds seeds,
            byte[] sealKeyOrNull,
            Shore shore,
            int rounds,
            Progress progress) {
        return new Dive(plan, calibration, scene, seeds, sealKeyOrNull, progress).fly(shore, rounds);
    }

    /**
     * Plays a recording into a fresh float computer and returns the messages that it makes: those of the dive recorded,
     * when plan, calibration and key are the same.
     */
    public static List<byte[]> replay(Plan plan, Calibration calibration, Recording recording, byte[] sealKeyOrNull) {
        Link link = new Link(LinkTruth.getDefaultInstance(), 0);
        FloatComputer computer = new FloatComputer(
                PlanMapping.floatPlan(plan, calibration, true, sealKeyOrNull),
                NorFlash.reference(),
                link,
                (head, exposureCode, shutterClosed) -> {});
        recording.play(new ComputerEvents(computer));
        computer.pack();
        transmit(computer, link, plan, 0, sessionMs(plan));
        return link.sent();
    }

    /**
     * What a float made of a dive.
     *
     * @param bins with every channel flown: what packing starts from
     * @param messages what it packed them into, all of them, as sent
     */
    public record Packed(List<BinRecord> bins, List<byte[]> messages) {}

    /**
     * Flies a dive up to its packed messages. Arguments as for {@link #fly}.
     *
     * @param channels the most channels of a head
     */
    public static Packed pack(Plan plan, Calibration calibration, Scene scene, Seeds seeds, int channels) {
        Dive dive = new Dive(plan, calibration, scene, seeds, null, Progress.NONE);
        dive.rise(0);
        dive.fix(dive.events, dive.world.surfacingMs + FIX_AFTER_MS, 0, 1);
        dive.computer.pack();
        List<BinRecord> bins = new ArrayList<>();
        for (int i = 0; i < dive.computer.binsMade(); i++) {
            BinRecord bin = new BinRecord(channels);
            dive.computer.copyBin(i, bin);
            bins.add(bin);
        }
        long fromMs = dive.world.surfacingMs;
        transmit(dive.computer, dive.link, plan, fromMs, fromMs + sessionMs(plan));
        return new Packed(List.copyOf(bins), dive.link.sent());
    }

    private DiveResult fly(Shore shore, int rounds) {
        rise(rounds);
        double sessionS = surface(shore);
        progress.at("link", 1);
        return new DiveResult(recording, link.sent(), link.deliveries(), world.truth(track), account(sessionS));
    }

    /** From the last fix before the dive to the surface and the tare there; shore has nothing to order before it has risen. */
    private void rise(int rounds) {
        nowMs = sinkMs;
        events.boot(nowMs);
        cycle.boot(nowMs + spoilt.jumpMs(), world.pressure.tareBeforeE4Dbar(nowMs - world.surfacingMs));
        double awayS = (world.surfacingMs - nowMs) / 1000.0;
        fix(events, nowMs, awayS * scene.getMotion().getDriftMPerS(), 0);
        events.tare(nowMs, world.pressure.tareBeforeE4Dbar(nowMs - world.surfacingMs));
        events.battery(BATTERY_PERCENT);
        floatPlan.listenRounds = 0;
        boolean risen = false;
        while (!risen || !up()) {
            cutPower();
            // The few seconds that a clock drifts in a dive move no scan: the phases go by true time, jumps included.
            long shownMs = nowMs + spoilt.jumpMs();
            instant = false;
            if (nowMs >= world.surfacingMs && profiling()) {
                cycle.surfaced(shownMs); // the conductivity cell is in air
            } else {
                cycle.tick(shownMs, gaugeE4(), BATTERY_PERCENT);
            }
            risen |= cycle.phase() == DiveCycle.Phase.PROFILE;
            if (risen) {
                floatPlan.listenRounds = rounds;
            }
            if (instant) {
                readings();
            } else if (cycle.phase() == DiveCycle.Phase.PARK) {
                trim();
            }
            nowMs += Math.max(1, cycle.nextTickMs() - shownMs);
        }
        progress.at("profile", 1);
        events.tare(surfacedMs + TARE_AFTER_MS, world.pressure.tareAfterE4Dbar(TARE_AFTER_MS));
    }

    private boolean up() {
        return cycle.phase() == DiveCycle.Phase.SURFACE || cycle.phase() == DiveCycle.Phase.SLEEP;
    }

    private long fixMs() {
        return world.surfacingMs + FIX_AFTER_MS + Math.round(scene.getFailures().getFixLateS() * 1000);
    }

    /** True sea pressure at the port now: on its way down, at its parking depth, or where the scene has it. */
    private double portDbar() {
        double timeS = (nowMs - world.surfacingMs) / 1000.0;
        double sunkM = (nowMs - sinkMs) / 1000.0 * plan.getAscent().getSpeedMPerS();
        double depthM = Math.min(sunkM, world.motion.depthM(timeS));
        return world.pressureDbar(Math.max(0, depthM - plan.getHull().getPortAboveHeadsM()));
    }

    private int gaugeE4() {
        int sound = world.pressure.readE4Dbar(portDbar(), nowMs - world.surfacingMs);
        return profiling() ? spoilt.pressure(sound) : sound;
    }

    private boolean profiling() {
        return cycle.phase() == DiveCycle.Phase.PROFILE || cycle.phase() == DiveCycle.Phase.NEAR_SURFACE;
    }

    private void cutPower() {
        double at = scene.getFailures().getPowerCutDbar();
        if (!powerCut && at > 0 && profiling() && portDbar() <= at) {
            powerCut = true;
            nowMs += RESTART_MS;
            events.boot(nowMs);
            events.battery(BATTERY_PERCENT);
            cycle.boot(nowMs + spoilt.jumpMs(), gaugeE4());
        }
    }

    /** The pump, whose strokes the scene's motion has already. */
    private static final class Pump implements Buoyancy {
        @Override
        public void sink() {
            // see above
        }

        @Override
        public void hold() {
            // see above
        }

        @Override
        public void rise() {
            // see above
        }
    }

    /** Stands between the phases and the computer, so that the recording has all and the true time rules. */
    private final class Rise implements DiveCycle.Rise {
        @Override
        public void startProfile(long timeMs) {
            events.startProfile(nowMs);
        }

        @Override
        public void instant(long timeMs) {
            exposures.clear();
            events.instant(nowMs);
            instant = true;
        }

        @Override
        public void endProfile(long timeMs) {
            events.endProfile(nowMs);
            surfacedMs = nowMs;
        }
    }

    /** How the float hangs while it drifts at its parking depth. */
    private void trim() {
        long tickMs = nowMs - world.surfacingMs;
        world.motion.at(tickMs / 1000.0, pose);
        world.attitude.read(pose, tickMs, scan);
        events.trim(nowMs, scan.pitchCdeg[0], scan.rollCdeg[0], scan.pitchCdeg[1], scan.rollCdeg[1]);
    }

    /** A fix, off by the scene's error and by what the float still drifts until the surfacing. */
    private void fix(FloatEvents into, long timeMs, double awayM, int number) {
        long drift = Noise.hash(seeds.dive(), Part.SURFACE_DRIFT);
        long own = Noise.hash(seeds.dive(), Part.FIX, number);
        double direction = 2 * Math.PI * Noise.uniform(drift);
        double errorM = scene.getCompass().getFixErrorM();
        double north = awayM * StrictMath.cos(direction) + errorM * Noise.gaussian(Noise.hash(own, 0));
        double east = awayM * StrictMath.sin(direction) + errorM * Noise.gaussian(Noise.hash(own, 1));
        double latitude = Math.max(-90, Math.min(90, scene.getLatitudeDeg() + north / METRES_PER_DEGREE));
        double metres = METRES_PER_DEGREE * Math.max(0.01, StrictMath.cos(StrictMath.toRadians(latitude)));
        double longitude = Math.IEEEremainder(scene.getLongitudeDeg() + east / metres, 360);
        into.fix(timeMs, (int) Math.rint(latitude * 1e5), (int) Math.rint(longitude * 1e5));
    }

    /** The world answers an instant: the heads, the shorter exposure first, and the other sensors. */
    private void readings() {
        double durationS = world.motion.durationS();
        double scansExpected = durationS / plan.getExposure().getScanIntervalS();
        int every = (int) Math.ceil((scansExpected + 1) / Truth.MOST_TRACK_POINTS);
        double timeS = (nowMs - world.surfacingMs) / 1000.0;
        SunPosition sun = world.sun(timeS);
        for (int code = 0; code <= plan.getExposure().getOctaves(); code++) {
            for (int head = 0; head < world.heads.length; head++) {
                if (exposures.asked[head] && exposures.exposureCode[head] == code) {
                    read(head, nowMs, sun);
                }
            }
        }
        castReading(timeS, nowMs, sun);
        if (instants % every == 0 && track.size() < Truth.MOST_TRACK_POINTS) {
            track.add(trackPoint(timeS, sun));
        }
        if (instants % 64 == 0) {
            progress.at("profile", Math.max(0, Math.min(1, 1 + timeS / durationS)));
        }
        instants++;
    }

    private void read(int head, long timeMs, SunPosition sun) {
        double exposureS = plan.getExposure().getShortestMs() * (1 << exposures.exposureCode[head]) / 1000;
        scan.timeMs = timeMs + Math.round(exposureS * 500);
        scan.exposureCode = exposures.exposureCode[head];
        scan.shutterClosed = exposures.shutterClosed[head];
        darkScans += scan.shutterClosed ? 1 : 0;
        long tickMs = scan.timeMs - world.surfacingMs;
        double timeS = tickMs / 1000.0;
        world.motion.at(timeS, pose);
        double pressure = world.pressureDbar(portDepthM());
        scan.pressureE4Dbar = world.pressure.readE4Dbar(pressure, tickMs);
        world.attitude.read(pose, tickMs, scan);
        double lit = emitters.litShare(timeMs, exposureS);
        world.heads[head].read(pose, sun, timeS, exposureS, world.headDegC(timeS), lit, scan);
        exposures.endsMs = timeMs + (long) Math.ceil(exposureS * 1000);
        events.scan(scan);
    }

    private double portDepthM() {
        return pose.depthM(0, 0, -plan.getHull().getPortAboveHeadsM());
    }

    private void castReading(double timeS, long timeMs, SunPosition sun) {
        world.motion.at(timeS, pose);
        double depthM = portDepthM();
        double pressure = world.pressureDbar(depthM);
        long tickMs = timeMs - world.surfacingMs;
        boolean flashed = exposures.flashed;
        events.ancillary(
                (int) Math.rint(world.pressure.readE4Dbar(pressure, tickMs) / 100.0),
                world.waterSensors.temperatureMdegC(timeS),
                world.waterSensors.salinityMpsu(timeS),
                flashed
                        ? world.waterSensors.chlorophyllUgPerM3(depthM, timeS, world.brightness(timeS, sun))
                        : RawScan.MISSING,
                flashed ? world.waterSensors.backscatterE6PerM(depthM, timeS) : RawScan.MISSING);
    }

    private TrackPoint trackPoint(double timeS, SunPosition sun) {
        return new TrackPoint(
                world.surfacingMs / 1000.0 + timeS,
                world.pressureDbar(portDepthM()),
                pose.headingDeg(),
                pose.tiltDeg(),
                computer.preferredHead(),
                sun.azimuthDeg(),
                world.brightness(timeS, sun),
                world.lossPercent555(pose, sun));
    }

    /**
     * At the surface, until the float dives again: it takes a fix, packs, sends, listens and sends again, and comes back
     * while the network takes nothing. Returns the time in sessions, s.
     */
    private double surface(Shore shore) {
        link.refuseUntil(world.surfacingMs + Math.round(scene.getFailures().getNoLinkS() * 1000));
        long inSessionsMs = 0;
        boolean fixed = false;
        progress.at("packing", 0);
        while (up()) {
            if (!fixed && fixMs() <= nowMs) {
                fixed = true;
                // A recording ends where the dive is packed.
                fix(computer.unpacked() ? events : told, fixMs(), 0, 1);
            }
            if (cycle.listening()) {
                long askedMs = nowMs - floatPlan.listenMs + ANSWERED_AFTER_MS;
                link.setTime(askedMs);
                shore.orders(link.deliveriesUntil(askedMs)).forEach(link::order);
            }
            link.setTime(nowMs);
            long shownMs = nowMs + spoilt.jumpMs();
            cycle.tick(shownMs, world.pressure.tareAfterE4Dbar(nowMs - world.surfacingMs), BATTERY_PERCENT);
            boolean session = cycle.phase() == DiveCycle.Phase.SURFACE;
            long stepMs = Math.max(1, cycle.nextTickMs() - shownMs);
            inSessionsMs += session && !computer.unpacked() ? stepMs : 0;
            nowMs += stepMs;
        }
        progress.at("packing", 1);
        return inSessionsMs / 1000.0;
    }

    private static long sessionMs(Plan plan) {
        return Math.round(plan.getLink().getSessionS() * 1000);
    }

    /** Sends what waits; returns when it was done. */
    private static long transmit(FloatComputer computer, Link link, Plan plan, long fromMs, long endMs) {
        long stepMs = Math.round(plan.getLink().getMessageS() * 1000);
        long nowMs = fromMs;
        link.setTime(nowMs);
        while (nowMs + stepMs <= endMs && computer.sendNext(nowMs)) {
            nowMs += stepMs;
            link.setTime(nowMs);
        }
        return nowMs;
    }

    private FloatAccount account(double sessionS) {
        double profileS = (surfacedMs - world.surfacingMs) / 1000.0 + world.motion.durationS();
        var energy = plan.getEnergy();
        return new FloatAccount(
                computer.ramBytes(),
                computer.flashBytesUsed(),
                instants,
                recording.scans() - darkScans,
                darkScans,
                link.sent().size(),
                computer.messagesWaiting(),
                link.lost(),
                link.duplicated(),
                link.corrupted(),
                sessionS,
                energy.getPumpJPerDive(),
                energy.getHeadsW() * profileS,
                energy.getSensorsW() * profileS,
                energy.getComputerW() * (profileS + sessionS),
                plan.getLink().getJoulesPerMessage() * link.sent().size(),
                energy.getSleepW() * energy.getDaysBetweenDives() * 86_400);
    }

    /** Remembers what the float computer asks of the heads until the world has answered. */
    private final class Exposures implements Sensors {
        private final boolean[] asked;
        private final int[] exposureCode;
        private final boolean[] shutterClosed;
        private long endsMs;
        private boolean flashed;

        Exposures(int heads) {
            asked = new boolean[heads];
            exposureCode = new int[heads];
            shutterClosed = new boolean[heads];
        }

        void clear() {
            Arrays.fill(asked, false);
            flashed = false;
        }

        @Override
        public void flash() {
            flashed = true;
            emitters.flashed(endsMs);
        }

        @Override
        public void expose(int head, int code, boolean closed) {
            asked[head] = true;
            exposureCode[head] = code;
            shutterClosed[head] = closed;
        }
    }
}
