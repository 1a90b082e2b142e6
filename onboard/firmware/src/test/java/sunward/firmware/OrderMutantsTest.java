package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.function.Consumer;
import org.junit.jupiter.api.Test;
import sunward.firmware.port.Modem;
import sunward.protocol.bits.BodyReader;
import sunward.protocol.bits.BodyWriter;
import sunward.protocol.message.Kind;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.order.Answer;
import sunward.protocol.order.PlanSetting;
import sunward.protocol.seal.DirectionKeys;
import sunward.protocol.seal.HmacSha256;

/**
 * Mutated orders, nine in ten sealed again so that the readers of bodies are what is tested: what is not an order of this
 * float moves no byte of its state; what is and cannot be obeyed whole changes no setting; what is obeyed leaves every
 * setting within its range.
 */
class OrderMutantsTest {
    private static final byte[] KEY = "a key that only tests know, 32 b".getBytes(StandardCharsets.US_ASCII);
    private static final int MUTANTS = 2000;
    private static final int LAST = 100;

    /** One order at a time for the float; keeps the last message that it sent. */
    private static final class Mail implements Modem {
        byte[] order = new byte[0];
        byte[] sent = new byte[0];

        @Override
        public boolean send(byte[] message, int offset, int length) {
            sent = Arrays.copyOfRange(message, offset, offset + length);
            return true;
        }

        @Override
        public int receive(byte[] into, int offset, int limit) {
            int length = Math.min(limit, order.length);
            System.arraycopy(order, 0, into, offset, length);
            order = new byte[0];
            return length;
        }
    }

    private final Mail mail = new Mail();
    private FloatPlan plan;
    private TestFlash flash;
    private FloatComputer computer;

    /** A fresh float that has taken order {@link #LAST}. */
    private void fresh() {
        plan = TestPlans.reference(2, 16);
        plan.startDbar = 20;
        plan.dataMessages = 24;
        plan.sealKey = KEY;
        flash = new TestFlash(1 << 19);
        computer = new FloatComputer(plan, flash, mail, (head, code, dark) -> {});
        computer.boot(MadeUpDive.NOON);
        mail.order = order(LAST, body -> set(body, PlanSetting.DATA_MESSAGES, 20));
        assertEquals(1, computer.hear(MadeUpDive.NOON));
        assertTrue(computer.sendNext(MadeUpDive.NOON));
    }

    private byte[] order(int number, Consumer<BodyWriter> parts) {
        MessageWriter writer = new MessageWriter(KEY, 270);
        writer.begin(Kind.ORDER, true, plan.floatNumber, 0, number & 0xfff, 0, 0);
        BodyWriter body = new BodyWriter();
        body.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit());
        body.varint(1, number);
        parts.accept(body);
        return Arrays.copyOf(writer.buffer(), writer.finish(body.length()));
    }

    private static void set(BodyWriter body, PlanSetting setting, long value) {
        int mark = body.open(3);
        body.varint(1, setting.number());
        body.sint(2, value);
        body.close(mark);
    }

    private List<byte[]> originals() {
        List<byte[]> orders = new ArrayList<>();
        orders.add(order(LAST, body -> body.varint(4, 1)));
        orders.add(order(LAST - 1, body -> body.varint(5, 600)));
        orders.add(order(LAST + 1, body -> {
            set(body, PlanSetting.DATA_MESSAGES, 12);
            set(body, PlanSetting.DARK_EVERY, 30);
            set(body, PlanSetting.DECLINATION_DEG, -3);
            set(body, PlanSetting.DECLINATION_DAY, 9854);
            body.varint(5, 3600);
        }));
        orders.add(order(LAST + 2, body -> {
            int resend = body.open(2);
            body.varint(1, 3);
            int runs = body.open(2);
            for (int run = 1; run < 13; run++) {
                body.packedVarint(run);
            }
            body.close(runs);
            body.close(resend);
            body.varint(4, 1);
        }));
        orders.add(order(LAST + 3, body -> {
            set(body, PlanSetting.MAX_TILT_DEG, 12);
            int change = body.open(6);
            body.bytes(1, plan.planDigest, 0, 8);
            body.bytes(2, KEY, 0, 8);
            body.varint(3, 1);
            body.varint(4, 2);
            body.close(change);
        }));
        return orders;
    }

    private static byte[] mutated(List<byte[]> originals, SplittableRandom random) {
        byte[] bytes = originals.get(random.nextInt(originals.size())).clone();
        byte[] other = originals.get(random.nextInt(originals.size()));
        switch (random.nextInt(5)) {
            case 0 -> bytes = Arrays.copyOf(bytes, 1 + random.nextInt(bytes.length));
            case 1 -> bytes = Arrays.copyOf(bytes, bytes.length + 1 + random.nextInt(40));
            case 2 -> {
                int cut = random.nextInt(Math.min(bytes.length, other.length));
                byte[] splice = other.clone();
                System.arraycopy(bytes, 0, splice, 0, cut);
                bytes = splice;
            }
            case 3 -> {
                for (int i = MessageLayout.HEADER_BYTES + random.nextInt(bytes.length - 8); i < bytes.length; i++) {
                    bytes[i] = (byte) random.nextInt();
                }
            }
            default -> {
                for (int flips = 1 + random.nextInt(4); flips > 0; flips--) {
                    int bit = random.nextInt(8 * bytes.length);
                    bytes[bit / 8] ^= (byte) (1 << bit % 8);
                }
            }
        }
        return bytes;
    }

    private static long field(byte[] receipt, int number) {
        BodyReader reader = new BodyReader();
        reader.begin(receipt, MessageLayout.HEADER_BYTES, receipt.length - MessageLayout.SEALED_BYTES);
        long value = 0;
        while (reader.next()) {
            value = reader.field() == number ? reader.varint() : value;
        }
        return value;
    }

    @Test
    void mutatedOrdersAreRefusedOrJudgedWhole() {
        HmacSha256 seal = new DirectionKeys(KEY).toFloat();
        fresh();
        List<byte[]> originals = originals();
        byte[] before = FloatState.of(computer, flash);
        int refused = 0;
        int[] answers = new int[Answer.values().length];
        for (int seed = 0; seed < MUTANTS; seed++) {
            SplittableRandom random = new SplittableRandom(seed);
            byte[] mutant = mutated(originals, random);
            boolean sealed = random.nextInt(10) > 0 && mutant.length >= 16;
            if (sealed) {
                seal.update(mutant, 0, mutant.length - 8);
                seal.finish(mutant, mutant.length - 8, 8);
            }
            String where = "seed " + seed + " " + Arrays.toString(mutant);
            byte[] settings = FloatState.of(plan);
            mail.order = mutant.clone();
            int taken = computer.hear(MadeUpDive.NOON);
            if (taken == 0) {
                assertArrayEquals(before, FloatState.of(computer, flash), where);
                refused++;
                continue;
            }
            boolean whole = originals.stream().anyMatch(original -> Arrays.equals(original, mutant));
            assertTrue(sealed || whole, where);
            assertTrue(computer.sendNext(MadeUpDive.NOON), where);
            Answer answer = Answer.ofNumber((int) field(mail.sent, 2));
            answers[answer.number()]++;
            assertTrue(field(mail.sent, 1) > LAST, where);
            if (answer == Answer.DONE) {
                double[] values = new double[PlanSetting.COUNT];
                new OrderedSettings(plan, 1000).read(values);
                for (PlanSetting setting : PlanSetting.values()) {
                    assertTrue(setting.allows(values[setting.place()]), setting.path() + " " + where);
                }
            } else {
                assertArrayEquals(settings, FloatState.of(plan), where);
            }
            fresh();
        }
        assertTrue(refused > MUTANTS / 10, "refused " + refused);
        assertTrue(answers[Answer.DONE.number()] > MUTANTS / 50, Arrays.toString(answers));
        assertTrue(Arrays.stream(answers).filter(count -> count > 0).count() >= 6, Arrays.toString(answers));
    }
}
