package sunward.firmware;

import java.util.Arrays;
import sunward.protocol.bits.BodyWriter;
import sunward.protocol.message.Kind;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.message.OrderGate;
import sunward.protocol.order.Answer;
import sunward.protocol.order.PlanSetting;

/**
 * Takes orders. What is not a whole order to this float under its key, or has a number not above the last one taken,
 * changes nothing, not a byte. Any other is judged whole, kept in flash with its number, then put in force, and answered
 * by a receipt; one that cannot be obeyed whole is not obeyed at all, but its number is used up, so that it cannot come
 * into force later. No order can keep the float from surfacing and reporting: what it does there is not among the settings.
 */
final class Orders {
    private static final int MOST_RECEIPTS = 8;
    private static final int DIGEST_BYTES = 8;

    private final FloatPlan plan;
    private final OrderGate gate;
    private final OrderStore store;
    private final OrderedSettings settings;
    private final OrderBody body = new OrderBody();
    private final ResendQueue resends = new ResendQueue();
    private final BodyWriter receipt = new BodyWriter();
    private final double[] atBoot = new double[PlanSetting.COUNT];
    private final double[] inForce = new double[PlanSetting.COUNT];
    private final double[] candidate = new double[PlanSetting.COUNT];
    private final byte[] bootDigest = new byte[DIGEST_BYTES];
    private final long[] receiptNumber = new long[MOST_RECEIPTS];
    private final int[] receiptAnswer = new int[MOST_RECEIPTS];
    private int receipts;
    private boolean diveNow;

    // A plan change of which not all pieces have come.
    private final byte[] heldFrom = new byte[DIGEST_BYTES];
    private final byte[] heldTo = new byte[DIGEST_BYTES];
    private final double[] held = new double[PlanSetting.COUNT];
    private final boolean[] heldSet = new boolean[PlanSetting.COUNT];
    private int heldPieces;
    private int heldMask;

    /** Takes orders for a plan, which they change; {@code mostMessages} of one dive fit in the outbox. */
    Orders(FloatPlan plan, Region region, int mostMessages) {
        this.plan = plan;
        System.arraycopy(plan.planDigest, 0, bootDigest, 0, DIGEST_BYTES);
        gate = new OrderGate(plan.floatNumber, plan.simulated, plan.sealKey);
        store = new OrderStore(region, bootDigest);
        settings = new OrderedSettings(plan, mostMessages);
        settings.read(atBoot);
    }

    /** Power has come: what orders changed before is in force again. */
    void boot() {
        System.arraycopy(atBoot, 0, inForce, 0, inForce.length);
        System.arraycopy(bootDigest, 0, plan.planDigest, 0, DIGEST_BYTES);
        store.boot(inForce, plan.planDigest);
        settings.write(inForce);
        resends.clear();
        receipts = 0;
        diveNow = false;
        dropPieces();
    }

    private void dropPieces() {
        heldMask = 0;
        heldPieces = 0;
        Arrays.fill(heldSet, false);
    }

    /** Takes what came from shore at this time; false when it is none of this float's business. */
    boolean take(long timeMs, byte[] message, int length) {
        if (!gate.admits(message, length)) {
            return false;
        }
        long number = body.number(message, gate.bodyOffset(), gate.bodyEnd(length));
        if (number <= store.number()) {
            return false;
        }
        Answer answer = body.read(message, gate.bodyOffset(), gate.bodyEnd(length));
        if (answer == Answer.DONE) {
            answer = judge();
        }
        long holdUntilMs = store.holdUntilMs();
        if (answer == Answer.DONE && body.holds) {
            holdUntilMs = timeMs + body.holdS * 1000;
        } else if (answer == Answer.DONE && body.diveNow) {
            holdUntilMs = 0;
        }
        boolean installs = answer == Answer.DONE;
        store.keep(
                number,
                holdUntilMs,
                installs ? candidate : inForce,
                installs && body.changes ? body.to : plan.planDigest);
        if (installs) {
            obey();
        } else if (answer == Answer.PIECE_HELD) {
            hold();
        }
        note(number, answer);
        return true;
    }

    /** Judges the order with what is already in force and held; fills the candidate settings. */
    private Answer judge() {
        System.arraycopy(inForce, 0, candidate, 0, candidate.length);
        boolean more = false;
        if (body.changes) {
            if (!Arrays.equals(body.from, plan.planDigest)) {
                return Answer.OTHER_PLAN;
            }
            boolean sameChange = continues();
            for (int i = 0; sameChange && i < candidate.length; i++) {
                candidate[i] = heldSet[i] ? held[i] : candidate[i];
            }
            more = ((sameChange ? heldMask : 0) | 1 << body.piece) != (1 << body.pieces) - 1;
        }
        for (int i = 0; i < candidate.length; i++) {
            candidate[i] = body.set[i] ? body.setting[i] : candidate[i];
        }
        if (body.resends > resends.room()) {
            return Answer.TOO_MUCH;
        }
        if (more) {
            // Parts beside a piece would come into force without it: a piece travels alone.
            return body.resends > 0 || body.diveNow || body.holds ? Answer.DISAGREE : Answer.PIECE_HELD;
        }
        return !OrderedSettings.inRange(candidate)
                ? Answer.OUT_OF_RANGE
                : !settings.fitTogether(candidate)
                        ? Answer.DISAGREE
                        : !settings.hasRoom(candidate) ? Answer.TOO_MUCH : Answer.DONE;
    }

    private boolean continues() {
        return heldPieces == body.pieces && Arrays.equals(heldFrom, body.from) && Arrays.equals(heldTo, body.to);
    }

    private void hold() {
        if (!continues()) {
            dropPieces();
            heldPieces = body.pieces;
            System.arraycopy(body.from, 0, heldFrom, 0, DIGEST_BYTES);
            System.arraycopy(body.to, 0, heldTo, 0, DIGEST_BYTES);
        }
        heldMask |= 1 << body.piece;
        for (int i = 0; i < held.length; i++) {
            if (body.set[i]) {
                held[i] = body.setting[i];
                heldSet[i] = true;
            }
        }
    }

    private void obey() {
        System.arraycopy(candidate, 0, inForce, 0, inForce.length);
        settings.write(inForce);
        if (body.changes) {
            System.arraycopy(body.to, 0, plan.planDigest, 0, DIGEST_BYTES);
            dropPieces();
        }
        for (int i = 0; i < body.resends; i++) {
            resends.add(body.resendDive[i], body.resendFirst[i], body.resendCount[i]);
        }
        diveNow |= body.diveNow;
    }

    private void note(long number, Answer answer) {
        if (receipts == MOST_RECEIPTS) {
            dropReceipt(); // every receipt also names the last order taken
        }
        receiptNumber[receipts] = number;
        receiptAnswer[receipts] = answer.number();
        receipts++;
    }

    /** True when a receipt waits to be sent. */
    boolean receiptWaits() {
        return receipts > 0;
    }

    /** Writes the oldest receipt, whole, and returns its length. */
    int writeReceipt(MessageWriter messages, int dive) {
        long number = receiptNumber[0];
        messages.begin(
                Kind.RECEIPT,
                plan.simulated,
                plan.floatNumber,
                dive & MessageLayout.MAX_DIVE,
                (int) (number & MessageLayout.MAX_POSITION),
                0,
                0);
        receipt.begin(messages.buffer(), messages.bodyOffset(), messages.bodyLimit());
        receipt.varint(1, number);
        receipt.varint(2, receiptAnswer[0]);
        receipt.varint(3, store.number());
        receipt.bytes(4, plan.planDigest, 0, DIGEST_BYTES);
        return messages.finish(receipt.length());
    }

    /** The oldest receipt is done with. */
    void dropReceipt() {
        receipts--;
        System.arraycopy(receiptNumber, 1, receiptNumber, 0, receipts);
        System.arraycopy(receiptAnswer, 1, receiptAnswer, 0, receipts);
    }

    /** Messages asked for again. */
    ResendQueue resends() {
        return resends;
    }

    /** True when a dive was ordered and has not begun. */
    boolean diveNow() {
        return diveNow;
    }

    /** A dive begins. */
    void diveBegins() {
        diveNow = false;
    }

    /** Until when the float stays at the surface, ms since 2000. */
    long holdUntilMs() {
        return store.holdUntilMs();
    }

    int ramBytes() {
        return body.ramBytes()
                + store.ramBytes()
                + resends.ramBytes()
                + (4 * 8 + 1) * PlanSetting.COUNT
                + 3 * DIGEST_BYTES
                + (8 + 4) * MOST_RECEIPTS;
    }
}
