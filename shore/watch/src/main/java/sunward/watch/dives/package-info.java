/**
 * What the watch makes of the raw messages: a verdict for each, the state of every dive, its products.
 *
 * <p>In: the messages of {@link sunward.watch.store.MessageStore} in the order of their numbers. Out: rows of {@code
 * derived.sqlite}, and dives refined with every message; nothing waits for a last packet. Everything is a function of the raw
 * messages and the keys, so that it can be dropped and made again, identical. Errors: {@link
 * sunward.watch.store.StoreException}.
 */
package sunward.watch.dives;
