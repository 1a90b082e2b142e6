/**
 * Benchmarks with their yardsticks: documented commands that print {@code figure NAME VALUE UNIT} lines. Nothing that the
 * product needs. In: command lines. Out: lines on standard output; files in temporary folders that are deleted again.
 */
package sunward.bench;
