package sunward.planning;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Locale;
import org.junit.jupiter.api.Test;
import sunward.profiles.Ancillary;
import sunward.profiles.ClearSky;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Atmosphere;
import sunward.protocol.schema.Scene;
import sunward.simulator.Sky;

/**
 * The sky of the truth against an independent published clear-sky model, that of Bird and Riordan (1986), as shore evaluates
 * it: shore's own test holds it to a worked output of the authors' program.
 */
class SkyAndFieldTest {
    /** The same air for both: aerosol optical thickness 0.1 at 500 nm, exponent 1.14, as in the authors' worked case. */
    @Test
    void globalIrradianceIsWithinFivePercentOfBirdAndRiordan() {
        double visibility = 3.91 / (0.1 * Math.pow(550 / 500.0, -1.14));
        Atmosphere air = Atmosphere.newBuilder()
                .setPressureHpa(1013)
                .setOzoneDu(344)
                .setWaterVapourCm(1.42)
                .setAirMassType(4.3)
                .setHumidityPercent(70)
                .setWindMPerS(3)
                .setMeanWindMPerS(3)
                .setVisibilityKm(visibility)
                .build();
        ClearSky independent = new ClearSky(new Ancillary(0.344, 1.42, 0.1, 1.14, 1013, 3, 69.2, "worked case"));
        double worst = 0;
        for (double zenith : new double[] {0, 20, 34, 47.91209, 60}) {
            Sky sky = Sky.published(air, zenith);
            assertEquals(1.14, sky.angstromExponent(), 0.02);
            // Wavelengths of Bird and Riordan's own table, so that nothing is read between its rows.
            for (double nm : new double[] {
                400, 410, 420, 430, 440, 450, 460, 470, 480, 490, 500, 510, 520, 530, 540, 550, 570, 593, 610, 630, 656,
                667.6, 690, 710
            }) {
                double here = sky.direct(nm) + sky.diffuse(nm);
                double there = independent.shares(nm, zenith).global();
                worst = Math.max(worst, Math.abs(here / there - 1));
                assertEquals(1, here / there, 0.05, nm + " nm, zenith " + zenith);
            }
        }
        System.out.printf(Locale.ROOT, "figure sea.sky_against_bird_riordan_worst %.3f 1%n", worst);
    }

    /** The World Magnetic Model 2025 states its years: a rehearsal outside them says so. */
    @Test
    void yearsOutsideTheMagneticModelAreTold() {
        Scene scene = PlanReader.defaults().getScene();
        assertEquals(List.of(), Rehearsal.magneticModel(scene));
        Scene late = scene.toBuilder().setSurfacingUtc("2032-06-01T02:00:00Z").build();
        assertEquals(1, Rehearsal.magneticModel(late).size());
        assertTrue(Rehearsal.magneticModel(late).get(0).contains("2032.4"));
    }
}
