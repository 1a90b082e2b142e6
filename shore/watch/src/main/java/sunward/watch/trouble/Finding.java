package sunward.watch.trouble;

/**
 * Something that departs from the rehearsal.
 *
 * @param what in a few plain words
 * @param evidence the figures on both sides, and what to look at
 */
public record Finding(String what, String evidence) {}
