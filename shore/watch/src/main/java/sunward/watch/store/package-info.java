/**
 * What the watch keeps for ever: every payload exactly as received.
 *
 * <p>Purpose: nothing that a gateway was told is stored is ever lost. In: bytes with arrival time, door and sender. Out:
 * a receipt after the bytes are on disk; the messages in the order in which they were written. Medium: one SQLite file
 * with a write-ahead log, every commit forced to disk; one thread writes, and what waits is committed together.
 * Errors: {@link sunward.watch.store.StoreException}, whose message is one sentence.
 */
package sunward.watch.store;
