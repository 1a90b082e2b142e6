package sunward.firmware;

import sunward.protocol.trig.Trig;

/**
 * Where the sun stands, by a low-cost ephemeris: Blanco et al. (2020), Solar Energy 212, 339 ("PSA+", constants fitted
 * for 2020 to 2050; carried from memory, checked against Reda and Andreas 2004 in the tests). No refraction: what counts
 * here is the azimuth and the elevation of a high sun. Better than 0.02 degree from 2020 to 2040.
 */
final class SunDirection {
    private static final double DEGREES = 180 / Math.PI;
    private static final double HALF_PI = Math.PI / 2;
    private static final double MS_PER_DAY = 86_400_000.0;

    /** Earth's mean radius over the astronomical unit: parallax of the sun at the horizon, radians. */
    private static final double PARALLAX = 6371.01 / 149_597_890;

    private double zenithDeg;
    private double azimuthDeg;

    /**
     * Computes the sun of one moment and place.
     *
     * @param timeMs milliseconds since 2000-01-01T00:00:00Z
     * @param latitudeDeg north positive
     * @param longitudeDeg east positive
     */
    void at(long timeMs, double latitudeDeg, double longitudeDeg) {
        double n = timeMs / MS_PER_DAY - 0.5; // days since J2000.0 = 2000-01-01T12:00
        double hours = Math.floorMod(timeMs, 86_400_000L) / 3_600_000.0;
        double omega = 2.267127827 - 9.300339267e-4 * n;
        double meanLongitude = 4.895036035 + 1.720279602e-2 * n;
        double anomaly = 6.239468336 + 1.720200135e-2 * n;
        double longitude = meanLongitude
                + 3.338320972e-2 * Trig.sin(anomaly)
                + 3.497596876e-4 * Trig.sin(2 * anomaly)
                - 1.544353226e-4
                - 8.689729360e-6 * Trig.sin(omega);
        double obliquity = 0.4090904909 - 6.213605399e-9 * n + 4.418094944e-5 * Trig.cos(omega);
        double sinLongitude = Trig.sin(longitude);
        double rightAscension = Trig.atan2(Trig.cos(obliquity) * sinLongitude, Trig.cos(longitude));
        double sinDeclination = Trig.sin(obliquity) * sinLongitude;
        double cosDeclination = Math.sqrt(1 - sinDeclination * sinDeclination);
        double siderealHours = 6.697096103 + 6.570984737e-2 * n + hours;
        double hourAngle = (siderealHours * 15 + longitudeDeg) / DEGREES - rightAscension;
        double sinLatitude = Trig.sin(latitudeDeg / DEGREES);
        double cosLatitude = Trig.cos(latitudeDeg / DEGREES);
        double cosHour = Trig.cos(hourAngle);
        // East, north and up parts of the unit vector to the sun: no division, so no pole and no zenith is special.
        double east = -cosDeclination * Trig.sin(hourAngle);
        double north = cosLatitude * sinDeclination - sinLatitude * cosDeclination * cosHour;
        double up = sinLatitude * sinDeclination + cosLatitude * cosDeclination * cosHour;
        double across = Math.sqrt(east * east + north * north);
        double zenith = HALF_PI - Trig.atan2(up, across);
        zenithDeg = (zenith + PARALLAX * across) * DEGREES;
        double azimuth = across > 1e-12 ? Trig.atan2(east, north) * DEGREES : 0;
        azimuthDeg = azimuth < 0 ? azimuth + 360 : azimuth;
    }

    /** Zenith angle, degrees, 0 to 180. */
    double zenithDeg() {
        return zenithDeg;
    }

    /** Azimuth, degrees clockwise from true north, 0 to 360. */
    double azimuthDeg() {
        return azimuthDeg;
    }
}
