package sunward.simulator;

import sunward.protocol.schema.Atmosphere;

/**
 * The day and the sea that a dive truly had, for whoever judges it. Arrays are not to be changed.
 *
 * @param air the atmosphere as drawn for the dive
 * @param direct irradiance straight from the sun above the surface at surfacing, under its clouds, W m-2 nm-1, at the
 *     truth's wavelengths
 * @param diffuse the same from the sky and its clouds
 * @param depthM depths of what follows, rising from 0
 * @param chlorophyll mg m-3
 * @param backscatter of particles at 700 nm, per m
 * @param downwellingAttenuation Kd, per m, from the surface to 10 m, at the truth's wavelengths
 * @param lightDepthM depths that 10 %, 1 % and 0.1 % of the photons of 400 to 700 nm just below the surface reach
 * @param declinationDeg of the Earth's magnetic field
 */
@SuppressWarnings("ArrayRecordComponent") // Data handed on, never compared.
public record Surroundings(
        Atmosphere air,
        double[] direct,
        double[] diffuse,
        double[] depthM,
        double[] chlorophyll,
        double[] backscatter,
        double[] downwellingAttenuation,
        double[] lightDepthM,
        double declinationDeg) {}
