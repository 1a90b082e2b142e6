package sunward.profiles;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

class ClearSkyTest {
    /**
     * Published: a worked output of the program of Bird and Riordan 1986 (zenith 47.91209 deg, air mass 1.48995, 1013
     * hPa, ozone 0.344 atm-cm, water 1.42 cm, aerosol 0.1 at 500 nm with exponent 1.14, asymmetry 0.65, day 75 of the
     * year) at 440 nm in W m-2 um-1: extraterrestrial 1856.83, direct normal 1084.28, diffuse 306.45, global 1033.21.
     * The ground albedo of that run is not printed beside it; 0.2, the usual value (from memory), is taken.
     */
    @Test
    void workedRowIsReproduced() {
        Ancillary day = new Ancillary(0.344, 1.42, 0.1, 1.14, 1013, 5, 69, "worked example");
        double cosine = Math.cos(Math.toRadians(47.91209));
        double top = 1000 * ClearSky.coarseSolarIrradiance(440) * ClearSky.distanceFactor(74);
        ClearSky.Shares shares = new ClearSky(day, 0.65, 0.2).shares(440, cosine, 1.48995);
        assertEquals(1856.83, top, 0.6);
        assertEquals(1084.28, top * shares.directNormal(), 1);
        assertEquals(306.45, top * shares.diffuse(), 1);
        assertEquals(1033.21, top * shares.global(), 1);
    }

    @Test
    void sharesStayBetweenNothingAndAllForAnySun() {
        ClearSky sky = new ClearSky(Ancillary.climatology());
        for (double zenith = 0; zenith < 89; zenith += 4) {
            for (double nm = 320; nm <= 860; nm += 5) {
                ClearSky.Shares shares = sky.shares(nm, zenith);
                String where = zenith + " deg, " + nm + " nm";
                assertTrue(shares.directNormal() >= 0 && shares.directNormal() < 1, where);
                assertTrue(shares.global() > 0 && shares.global() < 1, where);
                assertTrue(shares.directShare() >= 0 && shares.directShare() < 1, where);
            }
        }
    }

    /** The solar constant's part from 400 to 700 nm, 1 nm apart, is 530 W m-2 within 2 % (spread of modern spectra, from memory). */
    @Test
    void solarLinesAddUpToTheKnownBand() {
        double sum = 0;
        for (int nm = 400; nm < 700; nm++) {
            sum += ClearSky.solarIrradiance(nm + 0.5, 1);
        }
        assertEquals(531, sum, 11);
    }
}
