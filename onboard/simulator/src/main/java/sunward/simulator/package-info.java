/**
 * The truth that a dive is flown in: sun, sky, sea surface, water and light, the float's motion, its true instrument
 * and the link. Float and shore never see this package; only planning compares the two.
 *
 * <p>Conventions: depths in metres, positive down; azimuths clockwise from true north; wavelengths in air, nm; radiance in
 * W m-2 nm-1 sr-1 and irradiance in W m-2 nm-1; times in ms since 2000-01-01T00:00:00Z without leap seconds. Random
 * numbers are addressed by (seed, part, index), never drawn in sequence.
 */
package sunward.simulator;
