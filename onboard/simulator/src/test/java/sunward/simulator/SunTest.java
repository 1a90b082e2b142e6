package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.time.Duration;
import java.time.Instant;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Published: the worked example of Reda and Andreas (2004), whose printed zenith of 50.11162 degrees includes refraction;
 * 50.12795 is the same position without it. The other rows are second implementations: the solar position algorithm by
 * another library, an ephemeris by the IAU's SOFA routines (column iau) and one by VSOP87 (column vsop).
 */
class SunTest {
    @ParameterizedTest(name = "{0}")
    @CsvSource({
        "worked example,2003-10-17T19:30:30Z,39.742476,-105.1786,67.0,50.127954,194.340241,194.338252,194.340233,0.99654243",
        "equator equinox,2024-03-20T12:00:00Z,0,0,69.2,1.833125,85.414473,85.415635,85.413851,0.99596503",
        "mid-latitude noon,2019-05-29T09:31:00Z,34.60978,24.72074,69.3,16.673705,138.190413,138.188525,138.190778,1.01352997"
    })
    void sunStandsWherePublishedAndIndependentEphemeridesPutIt(
            String name,
            Instant utc,
            double latitude,
            double longitude,
            double deltaT,
            double zenith,
            double azimuth,
            double iauAzimuth,
            double vsopAzimuth,
            double distance) {
        long millis =
                Duration.between(Instant.parse("2000-01-01T00:00:00Z"), utc).toMillis();
        SunPosition sun = Sun.at(millis, latitude, longitude, deltaT);
        assertEquals(zenith, sun.zenithDeg(), 0.001, name);
        assertEquals(azimuth, sun.azimuthDeg(), 0.001, name);
        assertEquals(iauAzimuth, sun.azimuthDeg(), 0.003, name);
        assertEquals(vsopAzimuth, sun.azimuthDeg(), 0.003, name);
        assertEquals(distance, sun.distanceAu(), 1e-4, name);
    }
}
