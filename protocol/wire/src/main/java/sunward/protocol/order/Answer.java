package sunward.protocol.order;

/** How a float answers an order in its receipt; the number is for ever. */
public enum Answer {
    /** Every part of the order is in force. */
    DONE(0, "done"),
    /** A piece of a plan change is kept until the other pieces come. */
    PIECE_HELD(1, "kept until the other pieces of the plan change come"),
    /** The body is no whole order. */
    SPOILT(2, "refused: the body is no whole order"),
    /** The order has a part that this float does not know. */
    UNKNOWN_PART(3, "refused: it has a part or setting that this float does not know"),
    /** A value lies outside its range. */
    OUT_OF_RANGE(4, "refused: a value lies outside its range"),
    /** The settings would not make a plan together. */
    DISAGREE(5, "refused: the settings do not fit together"),
    /** The change starts from a plan that is not the one in force. */
    OTHER_PLAN(6, "refused: the change starts from another plan than the one in force"),
    /** More than the float has room for. */
    TOO_MUCH(7, "refused: it asks for more than the float has room for");

    private final int number;
    private final String words;

    Answer(int number, String words) {
        this.number = number;
        this.words = words;
    }

    /** The number on the wire. */
    public int number() {
        return number;
    }

    /** What it means, for a person. */
    public String words() {
        return words;
    }

    /** The answer of this number, or null when none has it. */
    public static Answer ofNumber(int number) {
        for (Answer answer : values()) {
            if (answer.number == number) {
                return answer;
            }
        }
        return null;
    }
}
