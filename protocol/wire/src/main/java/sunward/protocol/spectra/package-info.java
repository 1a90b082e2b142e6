/**
 * Spectra on the wire, both directions side by side.
 *
 * <p>Purpose: turn {@link sunward.protocol.spectra.BinRecord}s into message bodies and back. In and out: integers with
 * units. Units: counts in 1/64, pressure in mdbar, lengths in mm. Assumptions: both ends use the same codec number.
 * Errors: a spoilt body is reported by the decoder's return value.
 */
package sunward.protocol.spectra;
