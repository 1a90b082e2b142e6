package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import sunward.protocol.plan.PlanException;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PureWaterTable;
import sunward.protocol.schema.Scene;

class WaterTest {
    private static final Constituents USUAL = new ChlorophyllLaws();

    /** Published: Bricaud et al. (1998), factor and exponent of their table. */
    @ParameterizedTest
    @CsvSource({
        "412,0.029655,0.681803",
        "440,0.037824,0.626633",
        "490,0.0253719,0.607395",
        "510,0.0161767,0.721246",
        "620,0.00608558,0.870417",
        "676,0.0179744,0.816196"
    })
    void phytoplanktonAbsorbsAsPublished(double wavelength, double factor, double exponent) {
        assertEquals(factor, USUAL.phytoplankton(wavelength, 1), 1e-9);
        assertEquals(factor * Math.pow(0.07, exponent), USUAL.phytoplankton(wavelength, 0.07), 1e-9);
    }

    @Test
    void standInsOutsideTheTableAreContinuousAndFall() {
        assertEquals(USUAL.phytoplankton(400, 0.3), USUAL.phytoplankton(350, 0.3));
        assertEquals(USUAL.phytoplankton(700, 0.3), USUAL.phytoplankton(700.01, 0.3), 1e-6);
        assertTrue(USUAL.phytoplankton(760, 0.3) < 1e-4 * USUAL.phytoplankton(700, 0.3));
    }

    /**
     * Published equations: Morel and Maritorena (2001), worked by hand. Chlorophyll 1: bp = 0.416, slope v = -0.15, share at 550 nm
     * 0.002 + 0.005 = 0.007; at 440 nm 0.002 + 0.005 * 0.8^-0.15 = 0.00717.
     */
    @Test
    void particlesScatterBackAsPublished() {
        assertEquals(0.416 * 0.007, USUAL.particleBackscatter(550, 1), 1e-9);
        assertEquals(0.416 * (0.002 + 0.005 * Math.pow(0.8, -0.15)), USUAL.particleBackscatter(440, 1), 1e-9);
        assertEquals(0.416 * Math.pow(3, 0.766), USUAL.particleScattering(440, 3), 1e-9);
    }

    @Test
    void chlorophyllIsABackgroundAndADeepMaximum() {
        Water water = Water.published(Scenes.sea(0.07, 0.35, 0.5).getWater(), Cast.of("1"), 11);
        assertEquals(0.42, water.chlorophyll(110), 1e-12);
        assertEquals(0.07 + 0.35 * Math.exp(-0.5), water.chlorophyll(80), 1e-12);
        assertEquals(27.962, water.temperatureDegC(0), 1e-9);
    }

    @TempDir
    private Path directory;

    @Test
    void aUsersProfileStandsInsteadOfBackgroundAndMaximum() throws IOException {
        Path file = directory.resolve("chlorophyll.csv");
        Files.writeString(file, "depth_m,chlorophyll_mg_per_m3\n5,0.1\n30,\n50,0.9\n90,0.2\n");
        var scene = Scenes.sea(0.07, 0.35, 0.5).getWater().toBuilder().setChlorophyllProfile(file.toString());
        Water water = Water.published(scene.build(), Cast.of("1"), 11);
        assertEquals(0.1, water.chlorophyll(0));
        assertEquals(0.5, water.chlorophyll(27.5), 1e-12);
        assertEquals(0.2, water.chlorophyll(200));
        Files.writeString(file, "depth_m,chlorophyll_mg_per_m3\n5,0.1\n5,0.2\n");
        String message = assertThrows(PlanException.class, () -> Water.published(scene.build(), Cast.of("1"), 11))
                .getMessage();
        assertTrue(message.contains("depth_m must rise"), message);
        Files.writeString(file, "depth_m,chlorophyll_mg_per_m3\n5,-1\n");
        message = assertThrows(PlanException.class, () -> Water.published(scene.build(), Cast.of("1"), 11))
                .getMessage();
        assertTrue(message.contains("-1 lies outside 0.001 to 100"), message);
    }

    /**
     * Published: absorption of pure water at 350 nm by three tables, per m: Mason, Cone and Fry (2016) 0.00089, the IOCCG's
     * protocol (2018) 0.0071, Smith and Baker (1981) 0.0463; from 440 nm up the choice changes nothing.
     */
    @Test
    void theUltravioletIsAChoiceOfTables() {
        double usual = PureSeawater.absorption(350, 20, 0);
        assertEquals(0.00089, usual, 1e-12);
        assertEquals(1, PureSeawater.ultravioletFactor(PureWaterTable.MASON_2016, 350));
        assertEquals(0.0071, usual * PureSeawater.ultravioletFactor(PureWaterTable.CONSENSUS_2018, 350), 1e-12);
        assertEquals(0.0463, usual * PureSeawater.ultravioletFactor(PureWaterTable.SMITH_BAKER_1981, 350), 1e-12);
        for (PureWaterTable table :
                new PureWaterTable[] {PureWaterTable.CONSENSUS_2018, PureWaterTable.SMITH_BAKER_1981}) {
            for (double nm = 440; nm < 870; nm += 10) {
                assertEquals(1, PureSeawater.ultravioletFactor(table, nm), 0);
            }
            double before = PureSeawater.ultravioletFactor(table, 310);
            for (double nm = 310; nm < 445; nm += 0.5) {
                double factor = PureSeawater.ultravioletFactor(table, nm);
                assertTrue(Math.abs(Math.log(factor / before)) < 0.12, table + ", " + nm + " nm");
                before = factor;
            }
        }
    }

    /** Wavelength, Kw, e and chi of Morel and Maritorena (2001, Table 2). */
    private static final double[][] MOREL_MARITORENA = {
        {420, 0.00758, 0.65917, 0.12259},
        {440, 0.00885, 0.67175, 0.10963},
        {460, 0.01188, 0.68134, 0.09393},
        {490, 0.0166, 0.68955, 0.07242},
        {510, 0.03385, 0.68567, 0.05943},
        {530, 0.04454, 0.67224, 0.04829},
        {550, 0.05746, 0.64927, 0.04111},
        {570, 0.07034, 0.623, 0.036},
        {590, 0.13584, 0.618, 0.0325},
        {610, 0.26506, 0.63, 0.036},
        {630, 0.29218, 0.653, 0.042},
        {650, 0.34052, 0.667, 0.045}
    };

    /**
     * Published: attenuation of downwelling irradiance Kw + chi Chl^e of Morel and Maritorena (2001) within 10 % from 420 to 650
     * nm, for water with as much dissolved matter as the default scene holds and a high sun. Their own worked
     * value at 490 nm for 0.1 mg m-3 is 0.03140 per m.
     */
    @ParameterizedTest
    @ValueSource(doubles = {0.03, 0.1, 0.3, 1})
    void attenuationFollowsTheBioOpticalModel(double chlorophyll) {
        double dissolved = PlanReader.defaults().getScene().getWater().getDissolvedShare();
        Scene scene = Scenes.sea(chlorophyll, 0, dissolved);
        LightField field = LightField.published(scene, new SunPosition(20, 180, 1), Cast.of("1"));
        double worst = 0;
        for (double[] row : MOREL_MARITORENA) {
            double published = row[1] + row[3] * Math.pow(chlorophyll, row[2]);
            if (row[0] == 490 && chlorophyll == 0.1) {
                assertEquals(0.03140, published, 5.1e-6);
            }
            double modelled = field.downwellingAttenuation(row[0], 0, 100);
            double difference = modelled / published - 1;
            worst = Math.max(worst, Math.abs(difference));
            assertEquals(0, difference, 0.10, row[0] + " nm, chlorophyll " + chlorophyll);
        }
        System.out.printf(java.util.Locale.ROOT, "figure sea.kd_worst_chl_%s %.3f 1%n", chlorophyll, worst);
    }
}
