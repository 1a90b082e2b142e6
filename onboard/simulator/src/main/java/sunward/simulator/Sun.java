package sunward.simulator;

import java.time.Instant;
import java.time.ZoneOffset;
import java.time.ZonedDateTime;
import net.e175.klaus.solarpositioning.SPA;

/** The sun's position: solar position algorithm of Reda and Andreas (2004, Solar Energy 76, 577), at sea level. */
public final class Sun {
    private static final long EPOCH_MS = Instant.parse("2000-01-01T00:00:00Z").toEpochMilli();
    /** J2000.0 is noon of 2000-01-01. */
    private static final double MS_TO_J2000 = 43_200_000.0;

    private static final double MS_PER_DAY = 86_400_000.0;

    private Sun() {}

    /**
     * True topocentric position, without refraction.
     *
     * @param millis2000 UTC, ms since 2000-01-01T00:00:00Z without leap seconds
     * @param latitudeDeg -90 to 90
     * @param longitudeDeg -180 to 180, east positive
     * @param deltaTS terrestrial time minus universal time, s
     */
    public static SunPosition at(long millis2000, double latitudeDeg, double longitudeDeg, double deltaTS) {
        ZonedDateTime utc = Instant.ofEpochMilli(EPOCH_MS + millis2000).atZone(ZoneOffset.UTC);
        var spa = SPA.calculateSolarPosition(utc, latitudeDeg, longitudeDeg, 0, deltaTS);
        return new SunPosition(spa.zenithAngle(), spa.azimuth(), distanceAu(millis2000 + 1000 * deltaTS));
    }

    /** Low-precision series of the Astronomical Almanac (section C), from memory; good to about 1e-4 au. */
    private static double distanceAu(double terrestrialMillis) {
        double days = (terrestrialMillis - MS_TO_J2000) / MS_PER_DAY;
        double anomaly = StrictMath.toRadians(357.528 + 0.9856003 * days);
        return 1.00014 - 0.01671 * StrictMath.cos(anomaly) - 0.00014 * StrictMath.cos(2 * anomaly);
    }
}
