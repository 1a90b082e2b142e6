package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import sunward.firmware.DiveCycle.Phase;
import sunward.firmware.port.Buoyancy;
import sunward.firmware.port.Modem;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;

/**
 * A float in a made-up water column: it sinks and rises as the pump says, unless something is broken. Whatever breaks, it
 * must end at the surface trying to report, and say in a ledger what it was. Common practice, no published source.
 */
class DiveCycleTest {
    private static final long HOUR = 3_600_000;
    private static final int TARE_E4 = 523;

    /** The world, the float in it, and what is broken. */
    private static final class World implements Buoyancy, Modem {
        final FloatPlan plan = TestPlans.reference(2, 16);
        final List<byte[]> taken = new ArrayList<>();
        final Set<Phase> seen = new HashSet<>();
        final FloatComputer computer;
        final DiveCycle cycle;
        private final RawScan[] scans = new RawScan[2];
        private final boolean[] asked = new boolean[2];
        long nowMs = MadeUpDive.NOON;
        double dbar;
        int order; // +1 sink, 0 hold, -1 rise
        double bottomDbar = 5000;
        double gaugeFreezesAboveDbar = -1;
        boolean valveOpen;
        boolean pumpJammed;
        boolean noFixEver;
        long linkFromMs;
        int battery = 80;
        long tickLostUntilMs;
        long fixAtMs = Long.MAX_VALUE;
        private double frozen = Double.NaN;

        World(double dwellS) {
            plan.dwellDbar = 5;
            plan.dwellS = dwellS;
            plan.startDbar = 30;
            plan.parkDbar = 200;
            plan.deepestDbar = 260;
            plan.zoneToDbar = new double[] {10, 30};
            plan.zoneWidthDbar = new double[] {0.5, 1};
            plan.betweenDivesMs = 12 * HOUR;
            plan.dataMessages = 12;
            for (int h = 0; h < 2; h++) {
                scans[h] = new RawScan(16);
                scans[h].head = h;
                scans[h].channels = 16;
            }
            computer = new FloatComputer(plan, new TestFlash(1 << 22), this, (head, code, closed) -> {
                asked[head] = true;
                scans[head].exposureCode = code;
                scans[head].shutterClosed = closed;
            });
            cycle = new DiveCycle(plan, computer, this);
        }

        @Override
        public void sink() {
            order = 1;
        }

        @Override
        public void hold() {
            order = 0;
        }

        @Override
        public void rise() {
            order = -1;
        }

        @Override
        public boolean send(byte[] message, int offset, int length) {
            if (dbar > 0 || nowMs < linkFromMs) {
                return false;
            }
            taken.add(Arrays.copyOfRange(message, offset, offset + length));
            return true;
        }

        @Override
        public int receive(byte[] into, int offset, int limit) {
            return 0;
        }

        int gaugeE4() {
            double sound = dbar;
            if (dbar < gaugeFreezesAboveDbar
                    && (cycle.phase() == Phase.RISE || cycle.phase() == Phase.PROFILE)
                    && Double.isNaN(frozen)) {
                frozen = dbar;
            }
            return Double.isNaN(frozen)
                    ? TARE_E4 + (int) Math.round(sound * 1e4) + (int) (nowMs / 1000 % 5)
                    : TARE_E4 + (int) Math.round(frozen * 1e4);
        }

        private void move(double seconds) {
            double speed = order * 0.1;
            if (valveOpen && order >= 0) {
                speed = 0.1;
            }
            if (pumpJammed) {
                speed = dbar > 0 && order != 0 ? 0 : speed;
            }
            dbar = Math.max(0, Math.min(bottomDbar, dbar + speed * seconds));
        }

        void boot() {
            computer.boot(nowMs);
            cycle.boot(nowMs, gaugeE4());
        }

        /** Lives until a time. */
        void live(long untilMs) {
            while (nowMs < untilMs) {
                long next = Math.max(nowMs + 1, Math.max(cycle.nextTickMs(), tickLostUntilMs));
                long step = next - nowMs;
                while (step > 0) {
                    long part = Math.min(step, 1000);
                    move(part / 1000.0);
                    nowMs += part;
                    step -= part;
                }
                air();
                Arrays.fill(asked, false);
                cycle.tick(nowMs, gaugeE4(), battery);
                seen.add(cycle.phase());
                for (int h = 0; h < 2; h++) {
                    if (asked[h]) {
                        scan(scans[h]);
                    }
                }
            }
        }

        private void air() {
            boolean up = dbar == 0;
            if (up && fixAtMs == Long.MAX_VALUE) {
                fixAtMs = nowMs + 60_000;
            }
            if (!up) {
                fixAtMs = Long.MAX_VALUE;
            }
            if (up && !noFixEver && nowMs >= fixAtMs && nowMs - fixAtMs < HOUR) {
                computer.onFix(nowMs, 1_100_000, 14_200_000);
                computer.onTare(nowMs, TARE_E4);
            }
        }

        private void scan(RawScan scan) {
            scan.timeMs = nowMs;
            scan.pressureE4Dbar = gaugeE4();
            scan.headingCdeg = (int) (nowMs / 13 % 36_000);
            for (int c = 0; c < 16; c++) {
                scan.counts[c] = (char) (scan.shutterClosed ? 900 : 900 + 40_000 * Math.exp(-0.05 * dbar));
            }
            computer.onScan(scan);
        }

        /** Faults in all ledgers that were taken, by number. */
        Set<Integer> faults() {
            Set<Integer> all = new HashSet<>();
            for (byte[] bytes : taken) {
                if (!(MessageReader.read(bytes, KeyRing.none()) instanceof Verdict.Accepted accepted)) {
                    continue;
                }
                Message message = accepted.message();
                if (message.block() == BlockType.LEDGER.number()) {
                    LedgerTest.field(message.body(), 14).forEach(found -> found.forEach(n -> all.add(n.intValue())));
                }
            }
            return all;
        }
    }

    private World world = new World(0);

    private static long day(double days) {
        return MadeUpDive.NOON + (long) (days * 24 * HOUR);
    }

    @Test
    void aDiveGoesThroughItsPhasesAndReports() {
        world.boot();
        world.live(day(1.2));
        assertEquals(Set.of(Phase.SURFACE, Phase.DESCENT, Phase.PARK, Phase.RISE, Phase.PROFILE), world.seen);
        assertTrue(world.taken.size() > 3);
        assertEquals(Set.of(), world.faults());
        assertEquals(2, world.computer.diveNumber());
    }

    @Test
    void aDwellNearTheSurfaceIsOnePassThroughIt() {
        world = new World(600);
        world.boot();
        world.live(day(0.7));
        assertTrue(world.seen.contains(Phase.NEAR_SURFACE));
        assertTrue(world.taken.size() > 3);
        sunward.protocol.spectra.BinRecord bin = new sunward.protocol.spectra.BinRecord(16);
        int dwelt = 0;
        int risen = 0;
        for (int i = 0; i < world.computer.binsMade(); i++) {
            world.computer.copyBin(i, bin);
            dwelt += bin.pass == 1 ? bin.used : 0;
            risen += bin.pass == 0 ? 1 : 0;
        }
        // Ten minutes of two heads, read every 2.5 s at their long exposures, less the darks.
        assertTrue(dwelt > 2 * 220 && dwelt < 2 * 240, "scans of the dwell: " + dwelt);
        assertTrue(risen > 2 * 35, "bins of the ascent: " + risen);
        assertEquals(Set.of(), world.faults());
    }

    @Test
    void tooDeepRisesAtOnce() {
        world.valveOpen = true; // sinks on when it should hold
        world.boot();
        world.live(day(0.6));
        assertTrue(world.faults().contains(Ledger.TOO_DEEP));
        assertTrue(world.taken.size() > 3);
    }

    @Test
    void onTheBottomItNoticesThatItDoesNotMove() {
        world.bottomDbar = 120;
        world.boot();
        world.live(day(0.6));
        assertTrue(world.faults().contains(Ledger.NOT_MOVING));
        assertFalse(world.seen.contains(Phase.PARK));
        assertTrue(world.taken.size() > 3);
    }

    @Test
    void aDescentThatLastsTooLongIsBrokenOff() {
        world.plan.descentLimitMs = 600_000;
        world.boot();
        world.live(day(0.6));
        assertTrue(world.faults().contains(Ledger.TOO_LONG));
    }

    @Test
    void aLowBatteryEndsTheDiveAndKeepsTheFloatUp() {
        world.boot();
        world.live(day(0.1));
        assertEquals(Phase.PARK, world.cycle.phase());
        world.battery = 9;
        world.live(day(5));
        assertTrue(world.faults().contains(Ledger.LOW_BATTERY));
        assertEquals(0, world.dbar);
        assertTrue(world.cycle.phase() == Phase.SLEEP || world.cycle.phase() == Phase.SURFACE);
        assertEquals(1, world.computer.diveNumber());
    }

    @Test
    void aGaugeThatFreezesOnTheWayUpDoesNotHideTheSurface() {
        world.gaugeFreezesAboveDbar = 20;
        world.boot();
        world.live(day(0.7));
        assertTrue(world.taken.size() > 2, "the fix tells that this is the surface");
        assertTrue(world.faults().contains(Ledger.STUCK_PRESSURE));
    }

    @Test
    void aFrozenGaugeAndNoFixStillEndInAReport() {
        world.gaugeFreezesAboveDbar = 20;
        world.noFixEver = true;
        world.boot();
        world.live(day(1.2));
        assertEquals(2, world.taken.size(), "no bins, but both copies of the ledger");
        assertTrue(world.faults().containsAll(Set.of(Ledger.STUCK_PRESSURE, Ledger.TOO_LONG, Ledger.NO_FIX)));
    }

    @Test
    void withoutAFixItReportsAfterTheWait() {
        world.noFixEver = true;
        world.boot();
        world.live(day(0.7));
        assertTrue(world.taken.size() > 3);
        assertTrue(world.faults().contains(Ledger.NO_FIX));
    }

    @Test
    void threeDaysWithoutLinkLoseNothing() {
        world.linkFromMs = day(3.5);
        world.boot();
        world.live(day(3.4));
        assertEquals(0, world.taken.size());
        assertTrue(world.seen.contains(Phase.SLEEP));
        int waiting = world.computer.messagesWaiting();
        assertTrue(waiting > 3);
        world.live(day(3.6));
        assertTrue(world.taken.size() >= waiting);
        world.live(day(4.6));
        assertTrue(world.faults().contains(Ledger.NO_LINK), "told by the dive after");
    }

    @Test
    void aJammedPumpIsToldAgainAndAgainToRise() {
        world.boot();
        world.live(day(0.1));
        world.pumpJammed = true;
        world.live(day(0.6));
        assertEquals(-1, world.order);
        world.pumpJammed = false;
        world.live(day(1.2));
        assertTrue(world.faults().contains(Ledger.NOT_MOVING));
        assertTrue(world.taken.size() > 2);
    }

    @Test
    void powerComingBackUnderWaterRisesAndMeasuresOnTheWay() {
        world.boot();
        world.live(day(0.1));
        assertEquals(Phase.PARK, world.cycle.phase());
        world.boot();
        world.live(day(0.3));
        assertTrue(world.faults().contains(Ledger.RESTARTED_BELOW));
        assertTrue(world.computer.binsMade() > 10);
    }

    /** Power fails in mid-rise, deep and just below the surface: the dive goes on under its number, with what flash held. */
    @Test
    void aRiseCutByALossOfPowerGoesOnFromFlash() {
        for (double cutDbar : new double[] {20, 4}) {
            world = new World(0);
            world.boot();
            world.live(day(0.1));
            while (world.cycle.phase() != Phase.PROFILE || world.dbar > cutDbar) {
                world.live(world.nowMs + 1000);
            }
            int dive = world.computer.diveNumber();
            int scans = world.computer.scansStored();
            assertTrue(scans > 20);
            world.nowMs += 3000; // a restart takes a while
            world.boot();
            assertTrue(world.computer.unpacked());
            world.live(day(0.9));
            assertEquals(dive, world.computer.diveNumber());
            assertTrue(world.computer.scansStored() > scans);
            assertTrue(world.faults().contains(Ledger.CUT_BY_POWER));
            assertTrue(world.faults().contains(Ledger.RESTARTED_BELOW));
            assertTrue(
                    world.computer.binsMade() > 2 * 35, "bins of both sides of the cut: " + world.computer.binsMade());
        }
    }

    /** Power fails again and again in the session, while the outbox is sent: what waits goes out, nothing twice. */
    @Test
    void aSessionCutByALossOfPowerSendsTheRest() {
        world.boot();
        world.live(day(0.1));
        while (world.taken.size() < 3) {
            world.live(world.nowMs + 1000);
        }
        int dive = world.computer.diveNumber();
        int all = 3 + world.computer.messagesWaiting();
        for (int cut = 0; cut < 3; cut++) {
            world.boot();
            assertFalse(world.computer.unpacked());
            world.live(world.nowMs + 21_000);
        }
        world.live(world.nowMs + HOUR / 2);
        assertEquals(dive, world.computer.diveNumber());
        assertEquals(all, world.taken.size());
        Set<String> different = new HashSet<>();
        world.taken.forEach(message -> different.add(Arrays.toString(message)));
        assertEquals(all, different.size());
    }

    @Test
    void ticksThatStayAwayWakeTheWatchdog() {
        world.boot();
        world.live(day(0.1));
        world.tickLostUntilMs = day(0.25);
        world.live(day(0.5));
        assertTrue(world.faults().contains(Ledger.WATCHDOG));
        assertTrue(world.taken.size() > 3);
    }
}
