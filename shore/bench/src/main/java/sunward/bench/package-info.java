/**
 * Benchmarks of the spectral codec against general and special-purpose compressors.
 *
 * <p>Purpose: how many bytes a dive takes, at which error, beside what others need. In: simulated dives under conditions
 * kept in files. Out: a table and {@code figure} lines. Units: bytes; errors in standard deviations of a bin's own noise.
 * Assumptions: nothing here travels in the product. Errors: a coder whose decoded bytes differ ends the run.
 */
package sunward.bench;
