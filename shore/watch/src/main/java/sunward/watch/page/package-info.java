/**
 * The watch's page, and the door that is a request of its server.
 *
 * <p>In: HTTP requests. Out: files of the jar, JSON made from the derived tables, a stream of events, downloads. Nothing is
 * read from disk by a name that came from outside, and no page asks another host for anything. Errors: JSON with one {@code
 * sentence}.
 */
package sunward.watch.page;
