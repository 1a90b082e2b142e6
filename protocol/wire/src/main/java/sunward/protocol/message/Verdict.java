package sunward.protocol.message;

/** What {@link MessageReader} says of some bytes: accepted with the message, or rejected with a reason. */
public sealed interface Verdict permits Verdict.Accepted, Verdict.Rejected {
    /** The bytes are a whole, unspoilt message. */
    record Accepted(Message message) implements Verdict {}

    /**
     * The bytes are not a message to use.
     *
     * @param reason why, by name
     * @param sentence why, in one sentence with the values found and expected, and what to do
     */
    record Rejected(Reason reason, String sentence) implements Verdict {}

    /** Why bytes are rejected. */
    enum Reason {
        /** Fewer bytes than the shortest message. */
        TOO_SHORT,
        /** More bytes than the longest message. */
        TOO_LONG,
        /** An older version than this code reads. */
        VERSION_TOO_OLD,
        /** A newer version than this code reads. */
        VERSION_TOO_NEW,
        /** The message names float 0, which no float has. */
        FLOAT_ZERO,
        /** No kind has this number. */
        UNKNOWN_KIND,
        /** The checksum does not fit the bytes. */
        DAMAGED,
        /** The seal does not fit the bytes and the key. */
        SEAL_BROKEN,
        /** The message is sealed and no key for its float is at hand. */
        NO_KEY,
        /** The message is unsealed, yet its float has a key. */
        UNSEALED_BUT_KEYED
    }
}
