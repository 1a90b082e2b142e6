/**
 * The {@code sunward} command line.
 *
 * <p>Purpose: parse, call, show progress, print. In: arguments and files. Out: results on standard output, everything
 * else on standard error, exit code 0 (done), 1 (our fault), 2 (bad input) or 3 (nothing decodable). Units: in option
 * names' help and in JSON keys. Assumptions: no science here. Errors: one sentence each, told in one place
 * ({@link sunward.desk.Failures}).
 */
package sunward.desk;
