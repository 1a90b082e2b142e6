package sunward.protocol.message;

/** What a message is for (4 bits). The number is for ever. */
public enum Kind {
    /** A part of a dive's data, from the float. */
    DIVE(1),
    /** Repair symbols over a group of a dive's messages, from the float. */
    REPAIR(2),
    /** An order, to the float. */
    ORDER(3),
    /** The float's answer to an order. */
    RECEIPT(4);

    private final int number;

    Kind(int number) {
        this.number = number;
    }

    /** The number on the wire, 1 to 15. */
    public int number() {
        return number;
    }

    /** The kind of this number, or null when no kind has it. */
    public static Kind ofNumber(int number) {
        for (Kind kind : values()) {
            if (kind.number == number) {
                return kind;
            }
        }
        return null;
    }
}
