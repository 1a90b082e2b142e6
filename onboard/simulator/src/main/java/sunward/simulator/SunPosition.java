package sunward.simulator;

/**
 * Where the sun stands: true topocentric direction (no refraction) and distance.
 *
 * @param zenithDeg angle from the zenith, 0 to 180 degrees
 * @param azimuthDeg clockwise from true north, 0 to 360 degrees
 * @param distanceAu distance from the Earth, astronomical units
 */
public record SunPosition(double zenithDeg, double azimuthDeg, double distanceAu) {}
