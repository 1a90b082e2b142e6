package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import sunward.firmware.port.Modem;
import sunward.protocol.bits.BodyWriter;

/** The ledger's body, read back by a few lines of the published Protocol Buffers encoding; faults reach it. */
class LedgerTest {
    private static final Modem SILENT = new Modem() {
        @Override
        public boolean send(byte[] message, int offset, int length) {
            return false;
        }

        @Override
        public int receive(byte[] into, int offset, int limit) {
            return 0;
        }
    };

    private final FloatPlan plan = TestPlans.reference(2, 16);

    /** Every value of a field in order: varints as numbers, packed or nested ones as their varints in turn. */
    static List<List<Long>> field(byte[] body, int wanted) {
        List<List<Long>> found = new ArrayList<>();
        int[] at = {0};
        while (at[0] < body.length) {
            long tag = varint(body, at);
            long value = varint(body, at);
            List<Long> values = new ArrayList<>();
            if ((tag & 7) == 2) {
                int end = at[0] + (int) value;
                int[] inside = {at[0]};
                while (inside[0] < end) {
                    values.add(varint(body, inside));
                }
                at[0] = end;
            } else {
                values.add(value);
            }
            if (tag >>> 3 == wanted) {
                found.add(values);
            }
        }
        return found;
    }

    private static long varint(byte[] body, int[] at) {
        long value = 0;
        for (int shift = 0; at[0] < body.length; shift += 7) {
            int b = body[at[0]++];
            value |= (long) (b & 0x7f) << shift;
            if (b >= 0) {
                break;
            }
        }
        return value;
    }

    private static byte[] body(Ledger ledger, int room) {
        byte[] bytes = new byte[room];
        ledger.messages(52, 12);
        int length = ledger.write(new BodyWriter(), bytes, 0, room, 4, 1);
        assertTrue(length > 0 && length <= room, "length " + length + " of " + room);
        return Arrays.copyOf(bytes, length);
    }

    private Ledger filled() {
        Ledger ledger = new Ledger(plan);
        ledger.fix(5_000, 1_100_000, -14_200_000);
        ledger.tareBefore(523);
        ledger.start(1_000_000);
        ledger.light(0, true, false, true, false, 0);
        ledger.light(1, false, true, false, true, 2);
        ledger.dark(1);
        ledger.fault(Ledger.NO_DARK);
        ledger.fault(Ledger.SCAN_MISSING);
        ledger.surfaced(3_955_000);
        ledger.tareAfter(-617);
        ledger.fix(4_000_000, 1_100_001, -14_200_002);
        return ledger;
    }

    /** Expected values worked by hand: 2955 s at 2.4, 0.6 and 0.15 W; zigzag of n is 2 n or -2 n - 1. */
    @Test
    void everyFieldSaysWhatHappened() {
        byte[] body = body(filled(), 400);
        assertEquals(List.of(List.of(1000L)), field(body, 1));
        assertEquals(List.of(List.of(3955L)), field(body, 2));
        assertEquals(2, field(body, 3).size());
        assertEquals(
                List.of(8L, 4000L, 16L, 2_200_002L, 24L, 28_400_003L),
                field(body, 3).get(1));
        assertEquals(List.of(List.of(104L)), field(body, 4)); // 52 mdbar
        assertEquals(List.of(List.of(123L)), field(body, 5)); // -62 mdbar
        assertEquals(2, field(body, 10).size());
        assertEquals(
                List.of(8L, 1L, 16L, 1L, 24L, 1L, 32L, 0L, 40L, 1L, 48L, 0L, 56L, 1L, 64L, 0L, 72L, 0L),
                field(body, 10).get(1));
        assertEquals(List.of(List.of(52L)), field(body, 11));
        assertEquals(List.of(List.of(12000L, 7092L, 1773L, 443L, 768L, 1L)), field(body, 12));
        assertTrue(field(body, 19).isEmpty() && field(body, 20).isEmpty(), "no charge, no word of dives left");
        assertEquals(List.of(List.of(1L, 0L, 1L, 0L, 0L, 0L, 0L, 0L, 0L)), field(body, 13));
        assertEquals(List.of(List.of(2L, 5L)), field(body, 14));
        assertEquals(List.of(List.of(4L)), field(body, 15));
        assertEquals(List.of(List.of(1L)), field(body, 16));
        assertEquals(List.of(List.of(12L)), field(body, 17));
    }

    /** Short of room the least needed parts stay out, and what remains is whole. */
    @Test
    void aShortMessageKeepsTheNeedful() {
        for (int room = 59; room <= 300; room++) {
            byte[] body = body(filled(), room);
            assertEquals(List.of(List.of(52L)), field(body, 11), "room " + room);
            List<List<Long>> fixes = field(body, 3);
            assertEquals(4000L, fixes.get(fixes.size() - 1).get(1), "room " + room);
            assertEquals(List.of(List.of(123L)), field(body, 5));
        }
        assertEquals(0, filled().write(new BodyWriter(), new byte[8], 0, 8, 4, 1));
    }

    /** The air pressure after one dive is the one before the next. */
    @Test
    void tareAfterBecomesTareBefore() {
        Ledger ledger = filled();
        ledger.start(9_000_000);
        assertEquals(-617, ledger.tareBeforeE4());
        assertEquals(List.of(), field(body(ledger, 400), 5));
    }

    private List<Long> faultsOf(MadeUpDive dive) {
        dive.computer.endProfile(MadeUpDive.NOON);
        dive.computer.pack();
        return field(body(dive.computer.ledger(), 400), 14).get(0);
    }

    private MadeUpDive started() {
        plan.startDbar = 2;
        MadeUpDive dive = new MadeUpDive(plan, new TestFlash(1 << 21), SILENT, 1);
        dive.computer.boot(0);
        dive.computer.onFix(MadeUpDive.NOON, 1_100_000, 14_200_000);
        dive.computer.startProfile(MadeUpDive.NOON);
        return dive;
    }

    private static RawScan scan(int head, boolean dark, int pressureE4, int counts, int exposure) {
        RawScan scan = TestPlans.scan(16, 0, 0, 0);
        scan.head = head;
        scan.shutterClosed = dark;
        scan.pressureE4Dbar = pressureE4;
        scan.exposureCode = exposure;
        Arrays.fill(scan.counts, (char) counts);
        return scan;
    }

    @Test
    void aHeadThatDoesNotAnswerIsAFault() {
        MadeUpDive dive = started();
        dive.computer.onInstant(MadeUpDive.NOON);
        dive.computer.onInstant(MadeUpDive.NOON + 1000);
        assertEquals(List.of(2L), faultsOf(dive));
    }

    @Test
    void aStuckPressureIsAFault() {
        MadeUpDive dive = started();
        for (int i = 0; i < 70; i++) {
            dive.computer.onScan(scan(0, i < 4, 12_345, 9000, 3));
        }
        assertEquals(List.of(3L), faultsOf(dive));
    }

    @Test
    void aHeadTooBrightForItsShortestExposureIsAFault() {
        MadeUpDive dive = started();
        for (int i = 0; i < 20; i++) {
            dive.computer.onScan(scan(1, i < 4, 12_345 + i, 65535, 0));
        }
        assertEquals(List.of(4L), faultsOf(dive));
    }

    @Test
    void aBinWithoutDarksIsAFault() {
        MadeUpDive dive = started();
        for (int i = 0; i < 8; i++) {
            dive.computer.onScan(scan(0, i < 4, 12_345 + i, 9000, i < 4 ? 5 : 3));
        }
        assertEquals(List.of(5L), faultsOf(dive));
    }

    /** More scans than the flash holds: counted, told, and the dive still packs. */
    @Test
    void aFullFlashIsAFault() {
        FloatPlan wide = TestPlans.reference(1, 1024);
        wide.zoneToDbar = new double[] {5};
        wide.zoneWidthDbar = new double[] {1};
        MadeUpDive dive = new MadeUpDive(wide, new TestFlash(1 << 18), SILENT, 1);
        wide.startDbar = 5;
        dive.computer.boot(0);
        dive.profile();
        dive.computer.pack();
        assertTrue(dive.computer.messagesWaiting() > 0);
        assertEquals(List.of(22L), field(body(dive.computer.ledger(), 400), 14).get(0));
    }

    /** By hand: 40 percent of 8 MJ above the reserve of 10, over 22077 J a dive, is 144.9 dives; no reserve, no dive. */
    @Test
    void divesLeftAreTheChargeAboveTheReserveOverADive() {
        Ledger ledger = filled();
        ledger.battery(50);
        byte[] body = body(ledger, 400);
        assertEquals(List.of(List.of(50L)), field(body, 19));
        assertEquals(List.of(List.of(144L)), field(body, 20));
        ledger.battery(9);
        assertEquals(List.of(List.of(0L)), field(body(ledger, 400), 20));
    }

    /** What the time between dives took is counted from the last fix before the dive. */
    @Test
    void timeBetweenDivesIsCountedWhereItIsKnown() {
        Ledger ledger = filled();
        long fixMs = 4_000_000;
        ledger.fix(fixMs, 100, 200);
        ledger.start(fixMs + 2_000_000_000L);
        assertEquals(2000L, field(body(ledger, 400), 12).get(0).get(5), "0.001 W for 2e6 s");
    }

    /** A stuck gauge read 60 dbar in air: shore sees it, and no depth of the next dive rests on it. */
    @Test
    void aTareThatNoSoundGaugeReadsIsTakenOffNoDepth() {
        Ledger ledger = filled();
        ledger.tareAfter(600_000);
        assertEquals(523, ledger.latestTareE4());
        assertEquals(List.of(List.of(2L * 60_000)), field(body(ledger, 400), 5), "zig-zag of 0.001 dbar");
        ledger.start(9_000_000);
        assertEquals(523, ledger.tareBeforeE4());
        ledger.tareBefore(-600_000);
        assertEquals(0, ledger.tareBeforeE4());
    }
}
