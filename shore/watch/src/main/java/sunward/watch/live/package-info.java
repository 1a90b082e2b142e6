/**
 * Floats rehearsed live: simulated dives whose messages reach a running watch through its TCP door.
 *
 * <p>In: a plan file, how many floats and how fast. Out: deliveries with receipts. Errors: {@link java.io.IOException} with one
 * sentence when the watch cannot be reached or does not take the messages.
 */
package sunward.watch.live;
