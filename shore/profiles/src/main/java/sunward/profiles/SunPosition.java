package sunward.profiles;

import java.time.Instant;
import java.time.ZoneOffset;
import java.time.ZonedDateTime;
import net.e175.klaus.solarpositioning.SPA;

/**
 * The sun as seen from the float (Reda and Andreas 2004, by library): true, without refraction.
 *
 * @param zenithDeg angle from the zenith, degree
 * @param azimuthDeg clockwise from true north, degree
 * @param dayOfYear days since the year began, with fraction
 */
public record SunPosition(double zenithDeg, double azimuthDeg, double dayOfYear) {
    private static final long EPOCH_2000_S = 946_684_800L;

    /**
     * The sun at a time and place.
     *
     * @param timeS s since 2000-01-01T00:00:00Z
     * @param deltaTS terrestrial time less universal time, s
     */
    public static SunPosition at(double timeS, double latitudeDeg, double longitudeDeg, double deltaTS) {
        ZonedDateTime utc =
                Instant.ofEpochMilli(Math.round((timeS + EPOCH_2000_S) * 1000)).atZone(ZoneOffset.UTC);
        var angles = SPA.calculateSolarPosition(utc, latitudeDeg, longitudeDeg, 0, deltaTS);
        double day = utc.getDayOfYear() - 1 + utc.toLocalTime().toSecondOfDay() / 86400.0;
        return new SunPosition(angles.zenithAngle(), angles.azimuth(), day);
    }
}
