/**
 * The doors by which messages come in: a TCP port, a request of the page's server, a watched folder.
 *
 * <p>All of them end in {@link sunward.watch.intake.Intake#accept}. In: bytes. Out: a receipt after the bytes are on
 * disk. A sender that misbehaves loses its connection and disturbs nobody else; what it can make the watch hold in memory
 * is bounded by {@link sunward.watch.intake.Limits}. Errors: receipts with one sentence.
 */
package sunward.watch.intake;
