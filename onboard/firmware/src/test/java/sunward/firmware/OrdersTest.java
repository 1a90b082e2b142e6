package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.nio.charset.StandardCharsets;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Deque;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import org.junit.jupiter.api.Test;
import sunward.firmware.port.Modem;
import sunward.protocol.bits.BodyReader;
import sunward.protocol.bits.BodyWriter;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.message.Verdict;
import sunward.protocol.order.Answer;
import sunward.protocol.order.PlanSetting;

class OrdersTest {
    private static final byte[] KEY = "a key that only tests know, 32 b".getBytes(StandardCharsets.US_ASCII);
    private static final long NOON = MadeUpDive.NOON;

    /** Holds orders for the float and keeps what it sends. */
    private static final class Mail implements Modem {
        final Deque<byte[]> orders = new ArrayDeque<>();
        final List<byte[]> sent = new ArrayList<>();

        @Override
        public boolean send(byte[] message, int offset, int length) {
            sent.add(Arrays.copyOfRange(message, offset, offset + length));
            return true;
        }

        @Override
        public int receive(byte[] into, int offset, int limit) {
            byte[] order = orders.poll();
            if (order == null) {
                return 0;
            }
            int length = Math.min(limit, order.length);
            System.arraycopy(order, 0, into, offset, length);
            return length;
        }
    }

    private final FloatPlan plan = TestPlans.reference(2, 40);
    private final TestFlash flash = new TestFlash(1 << 22);
    private final Mail mail = new Mail();

    OrdersTest() {
        plan.startDbar = 40;
        plan.dataMessages = 24;
        plan.sealKey = KEY;
    }

    private FloatComputer booted() {
        FloatComputer computer = new FloatComputer(plan, flash, mail, (head, code, dark) -> {});
        computer.boot(NOON);
        return computer;
    }

    private byte[] order(int number, Consumer<BodyWriter> parts) {
        return order(plan.floatNumber, true, KEY, number, parts);
    }

    private static byte[] order(
            int floatNumber, boolean simulated, byte[] key, int number, Consumer<BodyWriter> parts) {
        MessageWriter writer = new MessageWriter(key, 270);
        writer.begin(Kind.ORDER, simulated, floatNumber, 0, number & 0xfff, 0, 0);
        BodyWriter body = new BodyWriter();
        body.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit());
        if (number > 0) {
            body.varint(1, number);
        }
        parts.accept(body);
        assertFalse(body.overflowed());
        return Arrays.copyOf(writer.buffer(), writer.finish(body.length()));
    }

    private static void set(BodyWriter body, PlanSetting setting, long value, int decimals) {
        int mark = body.open(3);
        body.varint(1, setting.number());
        body.sint(2, value);
        body.varint(3, decimals);
        body.close(mark);
    }

    private static void change(BodyWriter body, byte[] from, byte[] to, int piece, int pieces) {
        int mark = body.open(6);
        body.bytes(1, from, 0, 8);
        body.bytes(2, to, 0, 8);
        body.varint(3, piece);
        body.varint(4, pieces);
        body.close(mark);
    }

    private Answer answered(FloatComputer computer, byte[] order) {
        mail.orders.add(order);
        assertEquals(1, computer.hear(NOON));
        int before = mail.sent.size();
        assertTrue(computer.sendNext(NOON));
        Verdict verdict = MessageReader.read(mail.sent.get(before), KeyRing.of(Map.of(plan.floatNumber, KEY)));
        Message receipt = ((Verdict.Accepted) verdict).message();
        assertEquals(Kind.RECEIPT, receipt.kind());
        byte[] body = receipt.body();
        BodyReader reader = new BodyReader();
        reader.begin(body, 0, body.length);
        long answer = -1;
        while (reader.next()) {
            answer = reader.field() == 2 ? reader.varint() : answer;
        }
        assertFalse(reader.spoilt());
        return Answer.ofNumber((int) answer);
    }

    @Test
    void settingsComeIntoForceAndOutliveAPowerCut() {
        FloatComputer computer = booted();
        Answer answer = answered(computer, order(1, body -> {
            set(body, PlanSetting.DATA_MESSAGES, 12, 0);
            set(body, PlanSetting.DECLINATION_DEG, -37, 1);
            set(body, PlanSetting.DECLINATION_DAY, 9846, 0);
        }));
        assertEquals(Answer.DONE, answer);
        assertEquals(12, plan.dataMessages);
        assertEquals(-3.7, plan.declinationDeg);
        plan.dataMessages = 24; // as a new start finds it in the plan of the boot
        plan.declinationDeg = 0;
        FloatComputer again = booted();
        assertEquals(12, plan.dataMessages);
        assertEquals(-3.7, plan.declinationDeg);
        assertEquals(0, hearAll(again, List.of(order(1, body -> set(body, PlanSetting.DATA_MESSAGES, 20, 0)))));
        assertEquals(12, plan.dataMessages, "a replay after the power cut");
    }

    private int hearAll(FloatComputer computer, List<byte[]> orders) {
        mail.orders.addAll(orders);
        return computer.hear(NOON);
    }

    /** Replayed, reordered, cut, lengthened, foreign, forged, unsealed, reflected, of the real world: not a byte of state moves. */
    @Test
    void whatIsNoOrderOfThisFloatsChangesNothing() {
        FloatComputer computer = booted();
        byte[] first = order(5, body -> set(body, PlanSetting.DATA_MESSAGES, 12, 0));
        assertEquals(Answer.DONE, answered(computer, first));
        byte[] good = order(9, body -> body.varint(4, 1));
        byte[] otherKey = KEY.clone();
        otherKey[0] ^= 1;
        List<byte[]> refused = new ArrayList<>(List.of(
                first,
                order(5, body -> body.varint(4, 1)),
                order(4, body -> body.varint(4, 1)),
                order(0, body -> body.varint(4, 1)),
                order(plan.floatNumber + 1, true, KEY, 9, body -> body.varint(4, 1)),
                order(plan.floatNumber, false, KEY, 9, body -> body.varint(4, 1)),
                order(plan.floatNumber, true, otherKey, 9, body -> body.varint(4, 1)),
                order(plan.floatNumber, true, null, 9, body -> body.varint(4, 1)),
                mail.sent.get(mail.sent.size() - 1),
                Arrays.copyOf(good, good.length + 1)));
        for (int cut = 1; cut < good.length; cut++) {
            refused.add(Arrays.copyOf(good, cut));
        }
        for (int bit = 0; bit < 8 * good.length; bit++) {
            byte[] forged = good.clone();
            forged[bit / 8] ^= (byte) (1 << bit % 8);
            refused.add(forged);
        }
        byte[] ram = FloatState.of(computer, flash);
        for (byte[] order : refused) {
            assertEquals(0, hearAll(computer, List.of(order)), Arrays.toString(order));
            assertFalse(computer.diveNowOrdered());
            assertArrayEquals(ram, FloatState.of(computer, flash), "state after " + Arrays.toString(order));
        }
        assertEquals(Answer.DONE, answered(computer, good), "the good one still passes");
        assertTrue(computer.diveNowOrdered());
    }

    @Test
    void anOrderThatCannotBeObeyedWholeIsNotObeyedAtAll() {
        FloatComputer computer = booted();
        record Bad(Answer answer, Consumer<BodyWriter> parts) {}
        List<Bad> orders = List.of(
                new Bad(Answer.OUT_OF_RANGE, body -> set(body, PlanSetting.REJECT_SIGMA, 2, 0)),
                new Bad(Answer.OUT_OF_RANGE, body -> set(body, PlanSetting.OCTAVES, 85, 1)),
                new Bad(Answer.OUT_OF_RANGE, body -> set(body, PlanSetting.MAX_TILT_DEG, 5, 16)),
                new Bad(Answer.OUT_OF_RANGE, body -> body.varint(5, 8 * 86400)),
                new Bad(Answer.DISAGREE, body -> set(body, PlanSetting.START_DBAR, 400, 0)),
                new Bad(Answer.DISAGREE, body -> set(body, PlanSetting.OCTAVES, 12, 0)),
                new Bad(Answer.DISAGREE, body -> set(body, PlanSetting.DECLINATION_DEG, 5, 0)),
                new Bad(Answer.TOO_MUCH, body -> set(body, PlanSetting.DATA_MESSAGES, 900, 0)),
                new Bad(Answer.TOO_MUCH, body -> set(body, PlanSetting.PARITY_MESSAGES, 3, 0)),
                new Bad(Answer.UNKNOWN_PART, body -> body.varint(7, 1)),
                new Bad(Answer.UNKNOWN_PART, body -> {
                    int mark = body.open(3);
                    body.varint(1, 0x21);
                    body.close(mark);
                }),
                new Bad(Answer.SPOILT, body -> body.bytes(4, new byte[3], 0, 3)),
                new Bad(Answer.OTHER_PLAN, body -> change(body, new byte[8], new byte[8], 0, 1)));
        int number = 0;
        for (Bad bad : orders) {
            number++;
            Answer answer = answered(computer, order(number, body -> {
                set(body, PlanSetting.MAX_TILT_DEG, 20, 0);
                bad.parts.accept(body);
            }));
            assertEquals(bad.answer, answer);
            assertEquals(10, plan.maxTiltDeg, "order " + number + " was obeyed in part");
        }
    }

    @Test
    void aPlanChangeWaitsForAllItsPieces() {
        FloatComputer computer = booted();
        byte[] from = plan.planDigest.clone();
        byte[] to = {1, 2, 3, 4, 5, 6, 7, 8};
        // One half alone would not make a plan: start below the old last zone needs nothing, shares must move together.
        assertEquals(Answer.PIECE_HELD, answered(computer, order(1, body -> {
            change(body, from, to, 1, 2);
            set(body, PlanSetting.RAISE_BELOW_SHARE, 46, 2);
        })));
        assertEquals(0.40, plan.raiseBelowShare);
        assertArrayEquals(from, plan.planDigest);
        assertEquals(Answer.DONE, answered(computer, order(2, body -> {
            change(body, from, to, 0, 2);
            set(body, PlanSetting.LOWER_ABOVE_SHARE, 95, 2);
        })));
        assertEquals(0.46, plan.raiseBelowShare);
        assertEquals(0.95, plan.lowerAboveShare);
        assertArrayEquals(to, plan.planDigest);
        assertEquals(Answer.OTHER_PLAN, answered(computer, order(3, body -> change(body, from, to, 0, 1))));
        System.arraycopy(from, 0, plan.planDigest, 0, 8);
        FloatPlan atBoot = plan;
        new FloatComputer(atBoot, flash, mail, (head, code, dark) -> {}).boot(NOON);
        assertArrayEquals(to, plan.planDigest, "after a power cut");
    }

    @Test
    void holdAndDiveNow() {
        FloatComputer computer = booted();
        assertEquals(Answer.DONE, answered(computer, order(1, body -> body.varint(5, 3600))));
        assertEquals(NOON + 3_600_000, computer.holdUntilMs());
        assertEquals(NOON + 3_600_000, booted().holdUntilMs(), "a hold outlives a power cut");
        assertEquals(Answer.DONE, answered(computer, order(2, body -> body.varint(4, 1))));
        assertTrue(computer.diveNowOrdered());
        assertTrue(computer.holdUntilMs() <= NOON, "a dive ends a hold");
        computer.startProfile(NOON);
        assertFalse(computer.diveNowOrdered());
    }

    @Test
    void messagesAskedForAgainComeAgainToTheByte() {
        MadeUpDive dive = new MadeUpDive(plan, flash, mail, 4);
        dive.fly();
        while (dive.computer.sendNext(NOON)) {
            // until all are handed over
        }
        List<byte[]> first = List.copyOf(mail.sent);
        int last = first.size() - 1;
        assertTrue(last > 6);
        assertEquals(Answer.DONE, answered(dive.computer, order(1, body -> {
            int mark = body.open(2);
            body.varint(1, 1);
            int runs = body.open(2);
            for (int run : new int[] {0, 1, 2, 2, last - 5, 1, 3, 2}) {
                body.packedVarint(run);
            }
            body.close(runs);
            body.close(mark);
        })));
        mail.sent.clear();
        while (dive.computer.sendNext(NOON)) {
            // until all are handed over again
        }
        List<byte[]> wanted = List.of(first.get(0), first.get(3), first.get(4), first.get(last));
        assertEquals(wanted.size(), mail.sent.size(), "what is not there is not sent");
        for (int i = 0; i < wanted.size(); i++) {
            assertArrayEquals(wanted.get(i), mail.sent.get(i));
        }
    }

    /** Power fails at every byte of every order's record: the order is in force whole or not at all, and none is forgotten. */
    @Test
    void aPowerCutLeavesAllOfAnOrderOrNothing() {
        booted();
        long failed = 0;
        int number = 0;
        for (int step = 0; step < 700; step += 7) {
            int next = number + 1;
            long tilt = 10L + next % 30;
            double before = plan.maxTiltDeg;
            FloatComputer computer = booted();
            flash.cutAfter(step);
            mail.orders.clear();
            mail.orders.add(order(next, body -> set(body, PlanSetting.MAX_TILT_DEG, tilt, 0)));
            try {
                computer.hear(NOON);
            } catch (TestFlash.PowerCut e) {
                failed++;
            }
            flash.restore();
            plan.maxTiltDeg = 10;
            FloatComputer again = booted();
            boolean inForce = plan.maxTiltDeg == tilt;
            assertTrue(inForce || plan.maxTiltDeg == before, "step " + step + ": " + plan.maxTiltDeg);
            if (inForce) {
                number = next;
                byte[] replay = order(next, body -> set(body, PlanSetting.MAX_TILT_DEG, 44, 0));
                assertEquals(0, hearAll(again, List.of(replay)));
            }
        }
        assertTrue(failed > 10 && number > 10, failed + " cuts, " + number + " orders");
    }

    @Test
    void hearingAllocatesNothing() {
        ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        assumeTrue(threads.isThreadAllocatedMemorySupported());
        Orders orders = new Orders(plan, new Region(flash, 0, 8192), 100);
        orders.boot();
        byte[][] messages = new byte[400][];
        for (int i = 0; i < messages.length; i++) {
            long tilt = 10L + i % 20;
            messages[i] = order(i + 1, body -> set(body, PlanSetting.MAX_TILT_DEG, tilt, 0));
        }
        long own = Thread.currentThread().getId();
        long least = Long.MAX_VALUE;
        for (int i = 0; i < messages.length; i++) {
            long before = threads.getThreadAllocatedBytes(own);
            assertTrue(orders.take(NOON, messages[i], messages[i].length));
            least = Math.min(least, threads.getThreadAllocatedBytes(own) - before);
        }
        assertEquals(0, least);
    }
}
