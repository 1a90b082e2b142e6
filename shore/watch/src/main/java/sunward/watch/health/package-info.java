/**
 * How the watch tells of itself: counters in the Prometheus text format, a log of JSON lines, and the secret by which
 * gateways are known. In: names and numbers. Out: text. Errors: {@link java.io.IOException} with one sentence for a token
 * file that others may read.
 */
package sunward.watch.health;
