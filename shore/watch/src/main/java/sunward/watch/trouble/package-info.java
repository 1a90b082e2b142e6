/**
 * Dives beside a rehearsal of the same plan at the same place and time: what departs from it, in plain words with the evidence.
 *
 * <p>In: products of dives. Out: findings, as log lines and for the page. The limits are our own, from no source: wide enough
 * that other water, waves and noise alone do not reach them.
 */
package sunward.watch.trouble;
