/**
 * From messages to water-leaving radiance.
 *
 * <p>Purpose: verify, assemble and decode the messages of a dive, turn counts into radiance, fit it up to the surface and
 * say how sure the result is. In: messages, and the {@link sunward.protocol.schema.Plan}, the
 * {@link sunward.protocol.schema.Calibration} and {@link sunward.profiles.Ancillary} data of the day. Out: a
 * {@link sunward.profiles.DiveProduct} and its files. Units: W m-2 nm-1 sr-1, m, dbar, nm, degree; times are seconds or
 * milliseconds since 2000-01-01T00:00:00Z without leap seconds. Products are a function of the set of accepted messages,
 * plan, calibration, ancillary data and product version, and of nothing else: no clock, path, host or order of arrival.
 * Errors: bad bytes and missing pieces are results with reasons in words, never exceptions.
 */
package sunward.profiles;
