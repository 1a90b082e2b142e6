/**
 * Plan files: text in, checked objects out, and what follows from a plan for both ends.
 *
 * <p>Units stand in the field names. Errors are one sentence each. No files, no sockets.
 */
package sunward.protocol.plan;
