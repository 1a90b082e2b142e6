package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import sunward.protocol.schema.Atmosphere;

/**
 * Second implementation: another program's evaluation of Gregg and Carder's equations, above the surface for the first
 * cases and below it for the last two; day of the year gives the Earth-Sun distance by their own formula. Their mean
 * extraterrestrial irradiances, W m-2 nm-1, come from their Table 1.
 */
class SkyTest {
    private static final Map<Integer, Double> EXTRATERRESTRIAL = Map.of(
            350, 0.961,
            443, 1.957,
            490, 1.938,
            555, 1.896,
            670, 1.531,
            700, 1.411);

    static Atmosphere atmosphere(
            double ozone, double vapour, double type, double humidity, double wind, double visibility) {
        return Atmosphere.newBuilder()
                .setPressureHpa(1013.25)
                .setOzoneDu(ozone)
                .setWaterVapourCm(vapour)
                .setAirMassType(type)
                .setHumidityPercent(humidity)
                .setWindMPerS(wind)
                .setMeanWindMPerS(wind)
                .setVisibilityKm(visibility)
                .build();
    }

    @ParameterizedTest
    @CsvSource({
        "0,80,300,1.5,1,80,4,15,false,350,0.378852,0.309023",
        "0,80,300,1.5,1,80,4,15,false,443,1.175058,0.513823",
        "0,80,300,1.5,1,80,4,15,false,490,1.266893,0.475302",
        "0,80,300,1.5,1,80,4,15,false,555,1.305741,0.426401",
        "0,80,300,1.5,1,80,4,15,false,670,1.140005,0.321461",
        "0,80,300,1.5,1,80,4,15,false,700,1.010325,0.277226",
        "30,80,300,1.5,1,80,4,15,false,350,0.283839,0.284865",
        "30,80,300,1.5,1,80,4,15,false,443,0.939420,0.483910",
        "30,80,300,1.5,1,80,4,15,false,490,1.026218,0.450829",
        "30,80,300,1.5,1,80,4,15,false,555,1.066249,0.406235",
        "30,80,300,1.5,1,80,4,15,false,670,0.942185,0.309209",
        "30,80,300,1.5,1,80,4,15,false,700,0.833238,0.265997",
        "60,80,300,1.5,1,80,4,15,false,350,0.074436,0.195879",
        "60,80,300,1.5,1,80,4,15,false,443,0.350867,0.355862",
        "60,80,300,1.5,1,80,4,15,false,490,0.411701,0.341042",
        "60,80,300,1.5,1,80,4,15,false,555,0.447048,0.312634",
        "60,80,300,1.5,1,80,4,15,false,670,0.421754,0.249534",
        "60,80,300,1.5,1,80,4,15,false,700,0.370193,0.212510",
        "75,80,300,1.5,1,80,4,15,false,350,0.006985,0.114145",
        "75,80,300,1.5,1,80,4,15,false,443,0.070765,0.210641",
        "75,80,300,1.5,1,80,4,15,false,490,0.096968,0.205061",
        "75,80,300,1.5,1,80,4,15,false,555,0.116027,0.189080",
        "75,80,300,1.5,1,80,4,15,false,670,0.125998,0.163628",
        "75,80,300,1.5,1,80,4,15,false,700,0.110038,0.137550",
        "30,172,300,1.5,1,90,10,25,true,350,0.315384,0.227670",
        "30,172,300,1.5,1,90,10,25,true,443,1.015804,0.334417",
        "30,172,300,1.5,1,90,10,25,true,490,1.097392,0.299537",
        "30,172,300,1.5,1,90,10,25,true,555,1.125114,0.263568",
        "30,172,300,1.5,1,90,10,25,true,670,0.975198,0.201716",
        "30,172,300,1.5,1,90,10,25,true,700,0.858689,0.174635",
        "60,355,250,3,10,80,4,10,true,350,0.031134,0.191811",
        "60,355,250,3,10,80,4,10,true,443,0.204387,0.386896",
        "60,355,250,3,10,80,4,10,true,490,0.268346,0.373403",
        "60,355,250,3,10,80,4,10,true,555,0.329512,0.335584",
        "60,355,250,3,10,80,4,10,true,670,0.355661,0.243682",
        "60,355,250,3,10,80,4,10,true,700,0.307416,0.193629"
    })
    void skyAgreesWithASecondImplementation(
            double zenith,
            int day,
            double ozone,
            double vapour,
            double type,
            double humidity,
            double wind,
            double visibility,
            boolean below,
            int wavelength,
            double direct,
            double diffuse) {
        Sky sky = Sky.published(atmosphere(ozone, vapour, type, humidity, wind, visibility), zenith);
        double orbit = 1 + 0.0167 * Math.cos(2 * Math.PI * (day - 3) / 365.0);
        double sun = EXTRATERRESTRIAL.get(wavelength) * orbit * orbit;
        double directHere = sun * sky.direct(wavelength) * (below ? 1 - sky.directReflectance() : 1);
        double diffuseHere = sun * sky.diffuse(wavelength) * (below ? 1 - sky.skyReflectance() : 1);
        assertEquals(direct, directHere, 0.005 * direct);
        assertEquals(diffuse, diffuseHere, 0.005 * diffuse);
    }

    @Test
    void aerosolOfTheDefaultsHasTheSecondImplementationsExponent() {
        Sky sky = Sky.published(atmosphere(300, 1.5, 1, 80, 4, 15), 0);
        assertEquals(0.3121, sky.angstromExponent(), 1e-4);
        assertEquals(0.77578, sky.asymmetry(), 1e-5);
    }

    /**
     * Published program output: the worked case of Bird and Riordan (1986), an independent clear-sky model, at 440 nm: global
     * 1033.21 of extraterrestrial 1856.83 W m-2 um-1; zenith 47.91 degrees, ozone 344 DU, water vapour 1.42 cm, aerosol
     * optical thickness 0.1 at 500 nm with exponent 1.14. Here the type and humidity of the air mass are set for that exponent.
     */
    @Test
    void skyIsNearAnIndependentClearSkyModel() {
        double visibility = 3.91 / (0.1 * Math.pow(550 / 500.0, -1.14));
        Atmosphere continental = atmosphere(344, 1.42, 4.3, 70, 3, visibility).toBuilder()
                .setPressureHpa(1013)
                .build();
        Sky sky = Sky.published(continental, 47.91209);
        assertEquals(1.14, sky.angstromExponent(), 0.02);
        assertEquals(1033.21 / 1856.83, sky.direct(440) + sky.diffuse(440), 0.05 * 1033.21 / 1856.83);
    }

    /** A property: finite, positive, falling as the sun sinks, through the horizon into twilight. */
    @Test
    void lightFallsAsTheSunSinks() {
        double[] zeniths = {0, 30, 60, 80, 88, 89.5, 90, 95, 120, 180};
        for (double wavelength : new double[] {300, 320, 443, 687, 760, 860, 880}) {
            double[] total = Arrays.stream(zeniths)
                    .map(zenith -> {
                        Sky sky = Sky.published(atmosphere(260, 3.5, 1, 80, 5, 25), zenith);
                        return sky.direct(wavelength) + sky.diffuse(wavelength);
                    })
                    .toArray();
            for (int i = 0; i < total.length; i++) {
                assertTrue(Double.isFinite(total[i]) && total[i] > 0, wavelength + " nm, zenith " + zeniths[i]);
                assertTrue(i == 0 || total[i] < total[i - 1], wavelength + " nm, zenith " + zeniths[i]);
            }
        }
    }
}
