/**
 * What needs a person now: one list for the page, the log and an optional call-out to another machine.
 *
 * <p>In: the stores and what was found in the dives. Out: alerts in plain words, as a list, as log lines and as JSON requests.
 * Errors: {@link java.io.IOException} with one sentence for an address or a secret that cannot be used; nothing that goes wrong
 * on the way to the other machine ever reaches the intake.
 */
package sunward.watch.alerts;
