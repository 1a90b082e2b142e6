package sunward.profiles;

/**
 * Where a profile holds nothing, and why, as far as shore can know.
 *
 * @param head head, from 0
 * @param firstBin uppermost bin of the gap
 * @param lastBin lowest bin of the gap
 * @param fromDbar upper edge, pressure of the sea at the head
 * @param toDbar lower edge
 * @param cause why
 */
public record Gap(int head, int firstBin, int lastBin, double fromDbar, double toDbar, Cause cause) {
    /** Why there is nothing. */
    public enum Cause {
        /** The float sent it and it did not arrive whole (lost on the way, or rejected). */
        NOT_RECEIVED("not received"),
        /** Some bins of this head were sent and did not arrive, others were never made; which, cannot be told. */
        NOT_RECEIVED_OR_NO_SCANS("not received, or no unshaded scans"),
        /** The float left it out, as its ledger says. */
        NOT_SENT("not sent"),
        /** The float has no usable scan of it. */
        NO_SCANS("no unshaded scans"),
        /** Messages of the same place hold different things; neither is used. */
        CONFLICT("messages disagree");

        private final String words;

        Cause(String words) {
            this.words = words;
        }

        /** In words, for files and screens. */
        public String words() {
            return words;
        }
    }
}
