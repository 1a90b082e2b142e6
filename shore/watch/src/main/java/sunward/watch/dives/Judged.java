package sunward.watch.dives;

import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;
import sunward.watch.store.StoredMessage;

/**
 * A stored message with its verdict.
 *
 * @param stored the raw message
 * @param message taken apart; null when it is rejected
 * @param rejected why it is rejected; null when it is accepted
 */
record Judged(StoredMessage stored, Message message, Verdict.Rejected rejected) {
    static Judged of(StoredMessage stored, KeyRing keys) {
        Verdict verdict = MessageReader.read(stored.bytes(), keys);
        return verdict instanceof Verdict.Accepted accepted
                ? new Judged(stored, accepted.message(), null)
                : new Judged(stored, null, (Verdict.Rejected) verdict);
    }

    boolean accepted() {
        return message != null;
    }

    /** True when there are enough bytes to read at least what the message claims to be. */
    boolean hasHeader() {
        return stored.bytes().length >= MessageLayout.HEADER_BYTES;
    }

    /** An unsigned header field of {@code bits} bits that starts {@code firstBit} bits into the message. */
    int claimed(int firstBit, int bits) {
        int value = 0;
        for (int bit = firstBit; bit < firstBit + bits; bit++) {
            value = value << 1 | (stored.bytes()[bit >>> 3] >>> (7 - (bit & 7)) & 1);
        }
        return value;
    }
}
