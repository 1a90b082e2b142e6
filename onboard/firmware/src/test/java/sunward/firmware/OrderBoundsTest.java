package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.charset.StandardCharsets;
import java.util.ArrayDeque;
import java.util.Arrays;
import java.util.Deque;
import java.util.function.Consumer;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import sunward.firmware.port.Modem;
import sunward.protocol.bits.BodyReader;
import sunward.protocol.bits.BodyWriter;
import sunward.protocol.message.Kind;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.order.Answer;
import sunward.protocol.order.PlanSetting;

/** The bounds of WIRE.md, section 7, one by one: what the float answers, and that a refusal changes no setting. */
class OrderBoundsTest {
    private static final byte[] KEY = "a key that only tests know, 32 b".getBytes(StandardCharsets.US_ASCII);
    private static final long EXACT = 1L << 53;

    private final FloatPlan plan = TestPlans.reference(2, 16);
    private final Deque<byte[]> orders = new ArrayDeque<>();
    private byte[] sent = {};
    private FloatComputer computer;
    private int number;

    @BeforeEach
    void boot() {
        plan.startDbar = 20;
        plan.parkDbar = 200;
        plan.slowAboveDbar = 10;
        plan.dataMessages = 24;
        plan.sealKey = KEY;
        Modem modem = new Modem() {
            @Override
            public boolean send(byte[] message, int offset, int length) {
                sent = Arrays.copyOfRange(message, offset, offset + length);
                return true;
            }

            @Override
            public int receive(byte[] into, int offset, int limit) {
                byte[] order = orders.poll();
                System.arraycopy(order == null ? into : order, 0, into, 0, order == null ? 0 : order.length);
                return order == null ? 0 : order.length;
            }
        };
        computer = new FloatComputer(plan, new TestFlash(1 << 20), modem, (head, code, dark) -> {});
        computer.boot(MadeUpDive.NOON);
    }

    private void answers(Answer expected, String what, Consumer<BodyWriter> parts) {
        MessageWriter writer = new MessageWriter(KEY, 270);
        writer.begin(Kind.ORDER, true, plan.floatNumber, 0, ++number, 0, 0);
        BodyWriter body = new BodyWriter();
        body.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit());
        body.varint(1, number);
        parts.accept(body);
        orders.add(Arrays.copyOf(writer.buffer(), writer.finish(body.length())));
        byte[] before = FloatState.of(plan);
        assertEquals(1, computer.hear(MadeUpDive.NOON), what);
        computer.sendNext(MadeUpDive.NOON);
        BodyReader reader = new BodyReader();
        reader.begin(sent, MessageLayout.HEADER_BYTES, sent.length - MessageLayout.SEALED_BYTES);
        long answer = 0;
        while (reader.next()) {
            answer = reader.field() == 2 ? reader.varint() : answer;
        }
        assertEquals(expected, Answer.ofNumber((int) answer), what);
        if (expected != Answer.DONE) {
            assertArrayEquals(before, FloatState.of(plan), what);
        }
    }

    private static void nested(BodyWriter body, int field, Consumer<BodyWriter> parts) {
        int mark = body.open(field);
        parts.accept(body);
        body.close(mark);
    }

    private static void set(BodyWriter body, int setting, long value, int decimals) {
        nested(body, 3, inner -> {
            inner.varint(1, setting);
            inner.sint(2, value);
            inner.varint(3, decimals);
        });
    }

    private static void runs(BodyWriter body, long dive, long... runs) {
        nested(body, 2, inner -> {
            inner.varint(1, dive);
            nested(inner, 2, packed -> {
                for (long run : runs) {
                    packed.packedVarint(run);
                }
            });
        });
    }

    private void change(BodyWriter body, int digestBytes, long piece, long pieces) {
        nested(body, 6, inner -> {
            inner.bytes(1, plan.planDigest, 0, digestBytes);
            inner.bytes(2, KEY, 0, 8);
            inner.varint(3, piece);
            inner.varint(4, pieces);
        });
    }

    @Test
    void holdAndDiveNow() {
        answers(Answer.DONE, "longest hold", body -> body.varint(5, 604_800));
        answers(Answer.OUT_OF_RANGE, "longer hold", body -> body.varint(5, 604_801));
        answers(Answer.OUT_OF_RANGE, "negative hold", body -> body.varint(5, -1));
        answers(Answer.DONE, "no dive", body -> body.varint(4, 0));
        answers(Answer.DONE, "dive and end of hold", body -> {
            body.varint(4, 1);
            body.varint(5, 0);
        });
        answers(Answer.DISAGREE, "dive and hold", body -> {
            body.varint(4, 1);
            body.varint(5, 1);
        });
    }

    @Test
    void wrongTypesAndUnknownParts() {
        for (int field : new int[] {2, 3, 6}) {
            answers(Answer.SPOILT, "number for part " + field, body -> body.varint(field, 1));
        }
        for (int field : new int[] {4, 5}) {
            answers(Answer.SPOILT, "bytes for part " + field, body -> body.bytes(field, KEY, 0, 2));
        }
        answers(Answer.UNKNOWN_PART, "part 7", body -> body.varint(7, 1));
        answers(Answer.UNKNOWN_PART, "dive as bytes", body -> nested(body, 2, in -> in.bytes(1, KEY, 0, 2)));
        answers(Answer.UNKNOWN_PART, "resend's field 3", body -> nested(body, 2, in -> in.varint(3, 2)));
        answers(Answer.UNKNOWN_PART, "setting as bytes", body -> nested(body, 3, in -> in.bytes(1, KEY, 0, 2)));
        answers(Answer.UNKNOWN_PART, "setting's field 4", body -> nested(body, 3, in -> in.varint(4, 2)));
        answers(Answer.UNKNOWN_PART, "setting 1", body -> set(body, 1, 1, 0));
        answers(Answer.UNKNOWN_PART, "change's field 5", body -> nested(body, 6, in -> in.varint(5, 2)));
        answers(Answer.UNKNOWN_PART, "digest as number", body -> nested(body, 6, in -> in.varint(1, 2)));
        answers(Answer.SPOILT, "setting cut", body -> nested(body, 3, in -> in.packedVarint(8)));
    }

    @Test
    void runsOfPositions() {
        answers(Answer.DONE, "all positions", body -> runs(body, 4095, 0, 4096));
        answers(Answer.OUT_OF_RANGE, "dive 4096", body -> runs(body, 4096, 0, 1));
        answers(Answer.OUT_OF_RANGE, "dive -1", body -> runs(body, -1, 0, 1));
        answers(Answer.OUT_OF_RANGE, "skips too far", body -> runs(body, 1, 4097, 1));
        answers(Answer.OUT_OF_RANGE, "skips backwards", body -> runs(body, 1, -1, 1));
        answers(Answer.OUT_OF_RANGE, "none to send", body -> runs(body, 1, 0, 0));
        answers(Answer.OUT_OF_RANGE, "too many to send", body -> runs(body, 1, 0, 4097));
        answers(Answer.OUT_OF_RANGE, "beyond the last position", body -> runs(body, 1, 1, 4096));
        answers(Answer.SPOILT, "half a run", body -> runs(body, 1, 0, 1, 5));
        long[] most = new long[128];
        Arrays.fill(most, 1);
        answers(Answer.TOO_MUCH, "65 runs", body -> {
            runs(body, 1, most);
            runs(body, 2, 0, 1);
        });
    }

    @Test
    void settingsAndTheirPlaceInAPlan() {
        answers(Answer.OUT_OF_RANGE, "16 decimals", body -> set(body, PlanSetting.MAX_TILT_DEG.number(), 10, 16));
        answers(Answer.OUT_OF_RANGE, "-1 decimals", body -> set(body, PlanSetting.MAX_TILT_DEG.number(), 10, -1));
        answers(
                Answer.OUT_OF_RANGE,
                "above 2^53",
                body -> set(body, PlanSetting.DECLINATION_DEG.number(), EXACT + 1, 15));
        answers(
                Answer.OUT_OF_RANGE,
                "below -2^53",
                body -> set(body, PlanSetting.DECLINATION_DEG.number(), -EXACT - 1, 15));
        answers(Answer.DISAGREE, "degrees without date", body -> set(body, PlanSetting.DECLINATION_DEG.number(), 1, 0));
        answers(
                Answer.DISAGREE,
                "date without degrees",
                body -> set(body, PlanSetting.DECLINATION_DAY.number(), 9000, 0));
        Object[][] disagreeing = {
            {PlanSetting.START_DBAR, 201},
            {PlanSetting.SLOW_ABOVE_DBAR, 21},
            {PlanSetting.SLOW_SPEED_M_PER_S, 1},
            {PlanSetting.LONG_SCAN_INTERVAL_S, 0},
            {PlanSetting.LONG_EXPOSURE_ABOVE_MS, 1001},
        };
        for (Object[] one : disagreeing) {
            PlanSetting setting = (PlanSetting) one[0];
            boolean whole = setting != PlanSetting.LONG_SCAN_INTERVAL_S;
            long value = whole ? (Integer) one[1] : 5;
            answers(Answer.DISAGREE, setting.path(), body -> set(body, setting.number(), value, whole ? 0 : 1));
        }
        answers(Answer.DISAGREE, "lower below twice raise", body -> {
            set(body, PlanSetting.LOWER_ABOVE_SHARE.number(), 5, 1);
            set(body, PlanSetting.RAISE_BELOW_SHARE.number(), 3, 1);
        });
        answers(Answer.DISAGREE, "a dwell below the start", body -> {
            set(body, PlanSetting.DWELL_S.number(), 60, 0);
            set(body, PlanSetting.DWELL_DBAR.number(), 20, 0);
        });
        answers(Answer.DONE, "a dwell", body -> {
            set(body, PlanSetting.DWELL_S.number(), 60, 0);
            set(body, PlanSetting.DWELL_DBAR.number(), 5, 0);
        });
        answers(
                Answer.TOO_MUCH,
                "more than the outbox holds",
                body -> set(body, PlanSetting.DATA_MESSAGES.number(), 4000, 0));
        answers(Answer.TOO_MUCH, "repair of none", body -> set(body, PlanSetting.PARITY_MESSAGES.number(), 1, 0));
    }

    /** Each setting again at the value that it has: taken, and nothing else changes. */
    @Test
    void everySettingCanBeOrdered() {
        for (PlanSetting setting : PlanSetting.values()) {
            if (setting == PlanSetting.DECLINATION_DEG || setting == PlanSetting.DECLINATION_DAY) {
                continue;
            }
            double[] values = new double[PlanSetting.COUNT];
            new OrderedSettings(plan, 1000).read(values);
            long millionths = Math.round(values[setting.place()] * 1e6);
            answers(Answer.DONE, setting.path(), body -> set(body, setting.number(), millionths, 6));
            double[] after = new double[PlanSetting.COUNT];
            new OrderedSettings(plan, 1000).read(after);
            assertArrayEquals(values, after, 1e-9, setting.path());
        }
    }

    @Test
    void piecesOfAChange() {
        answers(Answer.OUT_OF_RANGE, "short digest", body -> change(body, 7, 0, 1));
        answers(Answer.OUT_OF_RANGE, "piece beyond pieces", body -> change(body, 8, 2, 2));
        answers(Answer.OUT_OF_RANGE, "17 pieces", body -> change(body, 8, 0, 17));
        answers(Answer.OUT_OF_RANGE, "piece -1", body -> change(body, 8, -1, 2));
        answers(Answer.PIECE_HELD, "one of two", body -> change(body, 8, 0, 2));
        answers(Answer.PIECE_HELD, "one of three: another change", body -> change(body, 8, 0, 3));
        answers(Answer.DISAGREE, "a piece and a dive", body -> {
            change(body, 8, 1, 3);
            body.varint(4, 1);
        });
        answers(Answer.DISAGREE, "a piece and a hold", body -> {
            change(body, 8, 1, 3);
            body.varint(5, 60);
        });
        answers(Answer.DISAGREE, "a piece and a resend", body -> {
            change(body, 8, 1, 3);
            runs(body, 1, 0, 1);
        });
        answers(Answer.PIECE_HELD, "two of three", body -> change(body, 8, 1, 3));
        answers(Answer.DONE, "three of three", body -> change(body, 8, 2, 3));
    }
}
