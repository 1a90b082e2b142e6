/**
 * The shore watch: messages in, nothing lost, every dive on screen.
 *
 * <p>{@link sunward.watch.ShoreWatch} is all the wiring: doors ({@code intake}) to raw messages on disk ({@code store}), to
 * verdicts and dives ({@code dives}), to the page ({@code page}). Time inside is ms since 2000-01-01T00:00:00Z. Errors when
 * starting: {@link sunward.watch.WatchException} with one sentence.
 */
package sunward.watch;
