package sunward.firmware;

import sunward.protocol.bits.BodyReader;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.order.Answer;
import sunward.protocol.order.PlanSetting;

/** One order taken apart, nothing of it in force: every part is read and held to its own range. */
final class OrderBody {
    /** Longest stay at the surface that an order may ask for, s. */
    static final long MOST_HOLD_S = 7 * 86400L;

    /** Most pieces of a plan change. */
    static final int MOST_PIECES = 16;

    private static final long MOST_NUMBER = Integer.MAX_VALUE;
    private static final int MOST_RUNS = 64;
    private static final int MOST_DECIMALS = 15;
    private static final long MOST_EXACT = 1L << 53;
    private static final int DIGEST_BYTES = 8;

    final double[] setting = new double[PlanSetting.COUNT];
    final boolean[] set = new boolean[PlanSetting.COUNT];
    final int[] resendDive = new int[MOST_RUNS];
    final int[] resendFirst = new int[MOST_RUNS];
    final int[] resendCount = new int[MOST_RUNS];
    final byte[] from = new byte[DIGEST_BYTES];
    final byte[] to = new byte[DIGEST_BYTES];
    long number;
    int resends;
    boolean diveNow;
    boolean holds;
    long holdS;
    boolean changes;
    int piece;
    int pieces;

    private final BodyReader outer = new BodyReader();
    private final BodyReader inner = new BodyReader();
    private final BodyReader packed = new BodyReader();
    private byte[] bytes;

    /**
     * Reads the number that an order starts with.
     *
     * @return the number, or 0 when the body does not start with one
     */
    long number(byte[] message, int start, int end) {
        outer.begin(message, start, end);
        boolean there = outer.next() && outer.field() == 1 && outer.type() == BodyReader.VARINT;
        number = there && outer.varint() > 0 && outer.varint() <= MOST_NUMBER ? outer.varint() : 0;
        return number;
    }

    /** Reads a whole body; {@link Answer#DONE} when every part is sound by itself. */
    Answer read(byte[] message, int start, int end) {
        bytes = message;
        resends = 0;
        diveNow = false;
        holds = false;
        holdS = 0;
        changes = false;
        for (int i = 0; i < set.length; i++) {
            set[i] = false;
        }
        number(message, start, end);
        Answer answer = number == 0 ? Answer.SPOILT : Answer.DONE;
        while (answer == Answer.DONE && outer.next()) {
            answer = part();
        }
        if (answer == Answer.DONE && outer.spoilt()) {
            answer = Answer.SPOILT;
        }
        boolean dated = set[PlanSetting.DECLINATION_DEG.place()] == set[PlanSetting.DECLINATION_DAY.place()];
        boolean agree = (dated || changes) && !(diveNow && holds && holdS > 0);
        return answer == Answer.DONE && !agree ? Answer.DISAGREE : answer;
    }

    private Answer part() {
        boolean bytesField = outer.type() == BodyReader.LENGTH;
        boolean integer = outer.type() == BodyReader.VARINT;
        return switch (outer.field()) {
            case 2 -> bytesField ? resend() : Answer.SPOILT;
            case 3 -> bytesField ? setting() : Answer.SPOILT;
            case 4 -> integer ? diveNow(outer.varint()) : Answer.SPOILT;
            case 5 -> integer ? hold(outer.varint()) : Answer.SPOILT;
            case 6 -> bytesField ? change() : Answer.SPOILT;
            default -> Answer.UNKNOWN_PART;
        };
    }

    private Answer diveNow(long value) {
        diveNow = value != 0;
        return Answer.DONE;
    }

    private Answer hold(long seconds) {
        holds = true;
        holdS = seconds;
        return seconds < 0 || seconds > MOST_HOLD_S ? Answer.OUT_OF_RANGE : Answer.DONE;
    }

    private Answer resend() {
        inner.begin(outer);
        long dive = 0;
        Answer answer = Answer.DONE;
        while (answer == Answer.DONE && inner.next()) {
            if (inner.field() == 1 && inner.type() == BodyReader.VARINT) {
                dive = inner.varint();
                answer = dive < 0 || dive > MessageLayout.MAX_DIVE ? Answer.OUT_OF_RANGE : Answer.DONE;
            } else if (inner.field() == 2 && inner.type() == BodyReader.LENGTH) {
                answer = runs((int) dive);
            } else {
                answer = Answer.UNKNOWN_PART;
            }
        }
        return inner.spoilt() ? Answer.SPOILT : answer;
    }

    private Answer runs(int dive) {
        packed.begin(inner);
        long at = 0;
        while (packed.nextPacked()) {
            long skip = packed.varint();
            if (!packed.nextPacked()) {
                return Answer.SPOILT;
            }
            long count = packed.varint();
            long most = MessageLayout.MAX_POSITION + 1;
            if (skip < 0 || skip > most || count < 1 || count > most || at + skip + count > most) {
                return Answer.OUT_OF_RANGE;
            }
            if (resends == MOST_RUNS) {
                return Answer.TOO_MUCH;
            }
            resendDive[resends] = dive;
            resendFirst[resends] = (int) (at + skip);
            resendCount[resends] = (int) count;
            resends++;
            at += skip + count;
        }
        return packed.spoilt() ? Answer.SPOILT : Answer.DONE;
    }

    private Answer setting() {
        inner.begin(outer);
        long name = 0;
        long value = 0;
        long decimals = 0;
        while (inner.next()) {
            if (inner.type() != BodyReader.VARINT || inner.field() > 3) {
                return Answer.UNKNOWN_PART;
            }
            if (inner.field() == 1) {
                name = inner.varint();
            } else if (inner.field() == 2) {
                value = inner.sint();
            } else {
                decimals = inner.varint();
            }
        }
        if (inner.spoilt()) {
            return Answer.SPOILT;
        }
        PlanSetting known = PlanSetting.ofNumber(name);
        if (known == null) {
            return Answer.UNKNOWN_PART;
        }
        if (decimals < 0 || decimals > MOST_DECIMALS || value > MOST_EXACT || value < -MOST_EXACT) {
            return Answer.OUT_OF_RANGE;
        }
        double scale = 1;
        for (int i = 0; i < decimals; i++) {
            scale *= 10; // exact up to 10^22, so the quotient is the double nearest to the decimal number
        }
        double number = value / scale;
        if (!known.allows(number)) {
            return Answer.OUT_OF_RANGE;
        }
        setting[known.place()] = number;
        set[known.place()] = true;
        return Answer.DONE;
    }

    private Answer change() {
        inner.begin(outer);
        changes = true;
        piece = 0;
        pieces = 0;
        int digests = 0;
        while (inner.next()) {
            int field = inner.field();
            boolean digest = field <= 2;
            if (field > 4 || inner.type() != (digest ? BodyReader.LENGTH : BodyReader.VARINT)) {
                return Answer.UNKNOWN_PART;
            }
            if (digest && inner.length() != DIGEST_BYTES
                    || !digest && (inner.varint() < 0 || inner.varint() > MOST_PIECES)) {
                return Answer.OUT_OF_RANGE;
            }
            if (digest) {
                System.arraycopy(bytes, inner.start(), field == 1 ? from : to, 0, DIGEST_BYTES);
                digests |= field;
            } else if (field == 3) {
                piece = (int) inner.varint();
            } else {
                pieces = (int) inner.varint();
            }
        }
        boolean whole = digests == 3 && piece < pieces;
        return inner.spoilt() ? Answer.SPOILT : whole ? Answer.DONE : Answer.OUT_OF_RANGE;
    }

    int ramBytes() {
        return (8 + 1) * PlanSetting.COUNT + 3 * 4 * MOST_RUNS + 2 * DIGEST_BYTES;
    }
}
