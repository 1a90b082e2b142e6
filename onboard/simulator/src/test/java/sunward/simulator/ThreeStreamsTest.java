package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Locale;
import java.util.function.DoubleUnaryOperator;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.LightModel;
import sunward.protocol.schema.Scene;

class ThreeStreamsTest {
    private static final Cast CAST = Cast.of("1");

    private static Scene other(Scene scene) {
        return scene.toBuilder()
                .setWater(scene.getWater().toBuilder().setLightModel(LightModel.THREE_STREAMS))
                .build();
    }

    private static Transfer.Light follow(double[] depths, Water.Properties water, double sunCosine, double sunShare) {
        Transfer.Light light = new Transfer.Light(depths.length);
        Water.Properties[] column = new Water.Properties[depths.length];
        Arrays.fill(column, water);
        new ThreeStreams(sunCosine, 60, 0.1, Truths.published()).follow(depths, column, 490, 1, sunShare, light);
        return light;
    }

    /**
     * Published: means over some seven models of Mobley et al. (1993, Appl. Opt. 32, 7484), problems 1 (molecules) and 2 (particles
     * that send 1.83 % back): downwelling irradiance at optical depths 1 and 5 under a black sky, sun at 60 degrees, 0.5
     * W m-2 nm-1 on a flat surface of index 1.34. Three streams with fixed cosines are no exact theory: Kd comes out 5 to 7 %
     * low at depth. Their coefficients are those of the sea's particles; molecules alone that scatter nine times out of ten are
     * beyond them (four times too bright at depth 5), and no sea.
     */
    @ParameterizedTest
    @CsvSource({
        "0.2,0.5,1,0.141,0.10",
        "0.2,0.0183,1,0.162,0.05",
        "0.2,0.0183,5,0.00227,0.33",
        "0.9,0.0183,1,0.413,0.05",
        "0.9,0.0183,5,0.187,0.33"
    })
    void downwellingIrradianceIsNearPublishedMeans(
            double albedo, double backShare, double opticalDepth, double published, double tolerance) {
        double b = albedo;
        Water.Properties water = new Water.Properties(1 - b, 0, backShare * b, b, b);
        double cosine = Math.cos(Math.toRadians(SeaSurface.refractedDeg(1.34, 60)));
        double entering = 0.5 * (1 - SeaSurface.reflectance(1.34, 60));
        double[] depths =
                IntStream.rangeClosed(0, 100).mapToDouble(i -> 0.1 * i).toArray();
        Transfer.Light light = follow(depths, water, cosine, 1);
        int level = (int) Math.round(10 * opticalDepth);
        double here = entering * Math.exp(light.lnDown[level]);
        System.out.printf(
                Locale.ROOT,
                "figure sea.three_streams_ed_%s_%s_%.0f %.4f 1   (published %s)%n",
                albedo,
                backShare,
                opticalDepth,
                here / published,
                published);
        assertEquals(1, here / published, tolerance);
    }

    /** A property: how even water is cut into layers changes nothing, at every sun, and near where the beam falls as diffuse light. */
    @Test
    void layersOfEvenWaterMakeNoDifference() {
        double[] few = {0, 3, 40};
        double[] many = IntStream.rangeClosed(0, 400).mapToDouble(i -> 0.1 * i).toArray();
        for (double b : new double[] {0.001, 0.02, 0.3}) {
            Water.Properties water = new Water.Properties(0.05, 0, 0.02 * b + 0.001, b, b);
            for (double cosine = 0.67; cosine <= 1; cosine += 0.01) {
                Transfer.Light coarse = follow(few, water, cosine, 0.7);
                Transfer.Light fine = follow(many, water, cosine, 0.7);
                for (int[] pair : new int[][] {{0, 0}, {1, 30}, {2, 400}}) {
                    String place = "b " + b + ", cosine " + cosine + ", level " + pair[0];
                    assertEquals(fine.lnDown[pair[1]], coarse.lnDown[pair[0]], 1e-7, place);
                    assertEquals(fine.lnElastic[pair[1]], coarse.lnElastic[pair[0]], 1e-7, place);
                }
            }
        }
    }

    /** What comes down less what comes up is lost by absorption alone, from level to level. */
    @Test
    void absorptionTakesWhatTheNetFluxLoses() {
        Water.Properties water = new Water.Properties(0.08, 0, 0.01, 0.4, 0.4);
        double[] depths =
                IntStream.rangeClosed(0, 2000).mapToDouble(i -> 0.01 * i).toArray();
        Transfer.Light light = follow(depths, water, 0.85, 0.6);
        double q = new ThreeStreams(0.85, 60, 0.1, Truths.published()).q(490);
        DoubleUnaryOperator net = i -> Math.exp(light.lnDown[(int) i]) - q * Math.exp(light.lnElastic[(int) i]);
        double absorbed = 0;
        for (int i = 0; i < 2000; i++) {
            absorbed += 0.08 * 0.01 * (light.scalar[i] + light.scalar[i + 1]) / 2;
        }
        assertEquals(net.applyAsDouble(0) - net.applyAsDouble(2000), absorbed, 1e-5);
    }

    /** Published: ratio Q at 490 nm, chlorophyll 0.1, sun at 60 degrees: 3.40843 + 1.38213 / 2 (Morel et al. 2002). */
    @Test
    void theRatioOfIrradianceToRadianceIsThePublishedOne() {
        assertEquals(3.40843 + 1.38213 / 2, new ThreeStreams(0.8, 60, 0.1, Truths.published()).q(490), 1e-9);
        assertEquals(3.13802, new ThreeStreams(0.8, 0, 0.001, Truths.published()).q(560), 1e-9);
        assertEquals(4.36813, new ThreeStreams(0.8, 0, 50, Truths.published()).q(560), 1e-9);
    }

    /** Published sizes at 440 and 676 nm: Bricaud et al. (1995), 0.0403 Chl^0.668 and 0.0200 Chl^0.841, per m. */
    @Test
    void pigmentBandsHaveThePublishedSizes() {
        Constituents bands = new PigmentBands();
        assertEquals(0.0403, bands.phytoplankton(440, 1), 5e-4);
        assertEquals(0.0200, bands.phytoplankton(676, 1), 2e-4);
        assertEquals(0.0403 * Math.pow(0.1, 0.668), bands.phytoplankton(440, 0.1), 2e-4);
        assertEquals(1, bands.dissolvedShape(440, 1), 1e-12);
    }

    /**
     * Published: attenuation by Morel and Maritorena (2001) at 440, 490, 555 (from their neighbours) and 650 nm, and reflectance
     * rrs by Gordon et al. (1988). This sea is built to be another than theirs: within a third.
     */
    @ParameterizedTest
    @ValueSource(doubles = {0.03, 0.1, 0.3, 1})
    void theOtherSeaIsStillASea(double chlorophyll) {
        double dissolved = PlanReader.defaults().getScene().getWater().getDissolvedShare();
        Scene scene = Scenes.inelastic(other(Scenes.sea(chlorophyll, 0, dissolved)), false, false);
        LightField field = LightField.published(scene, new SunPosition(20, 180, 1), CAST);
        double[][] kd = {
            {440, 0.00885, 0.67175, 0.10963},
            {490, 0.0166, 0.68955, 0.07242},
            {550, 0.05746, 0.64927, 0.04111},
            {650, 0.34052, 0.667, 0.045}
        };
        for (double[] row : kd) {
            double published = row[1] + row[3] * Math.pow(chlorophyll, row[2]);
            double attenuation = field.downwellingAttenuation(row[0], 0, 100) / published;
            Water.Properties p = field.water().at(row[0], 0);
            double u = p.backscatter() / p.attenuation();
            double reflectance = Math.exp(field.lnElastic(0, row[0])) / (0.0949 * u + 0.0794 * u * u);
            System.out.printf(
                    Locale.ROOT,
                    "figure sea.three_streams_kd_and_rrs_%.0f_chl_%s %.3f %.3f%n",
                    row[0],
                    chlorophyll,
                    attenuation,
                    reflectance);
            assertEquals(1, attenuation, 0.33, row[0] + " nm");
            assertEquals(1, reflectance, 0.33, row[0] + " nm");
        }
    }

    /** It is another sea, in shape too; and where no model is named, the usual one is meant, to the last bit. */
    @Test
    void theChoiceChangesTheSeaAndNotSayingIsTheUsualOne() {
        Scene sea = Scenes.sea(0.1, 0.35, 1.1);
        Scene named = sea.toBuilder()
                .setWater(sea.getWater().toBuilder().setLightModel(LightModel.SOURCE_INTEGRAL))
                .build();
        double[] nm = {350, 412, 443, 490, 555, 620, 685};
        SunPosition sun = new SunPosition(34.3, 180, 0.984);
        double[] usual =
                LightField.of(sea, Seeds.all(3), sun, CAST).channels(nm, 3).lu0();
        assertArrayEquals(
                usual,
                LightField.of(named, Seeds.all(3), sun, CAST).channels(nm, 3).lu0());
        double[] another = LightField.of(other(sea), Seeds.all(3), sun, CAST)
                .channels(nm, 3)
                .lu0();
        double level = another[3] / usual[3];
        for (int c = 0; c < nm.length; c++) {
            System.out.printf(
                    Locale.ROOT, "figure sea.three_streams_lu0_over_usual_%.0f %.3f%n", nm[c], another[c] / usual[c]);
        }
        assertTrue(Math.abs(another[1] / usual[1] / level - 1) > 0.02, "violet against blue-green");
        assertTrue(Math.abs(another[6] / usual[6] / level - 1) > 0.05, "red against blue-green");
    }

    /** A property: finite and positive at every depth, wavelength, chlorophyll and sun. */
    @ParameterizedTest
    @ValueSource(doubles = {0.01, 0.3, 30})
    void lightIsFiniteAndPositive(double chlorophyll) {
        double[] nm =
                IntStream.rangeClosed(0, 36).mapToDouble(i -> 320 + 15 * i).toArray();
        for (double zenith : new double[] {0, 48.4, 60, 89, 180}) {
            Scene scene = other(Scenes.sea(chlorophyll, 0.3, 1));
            Channels channels = LightField.of(scene, Seeds.all(1), new SunPosition(zenith, 0, 1), CAST)
                    .channels(nm, 3);
            for (double[] level : channels.radianceTable()) {
                for (int c = 0; c < nm.length; c++) {
                    assertTrue(Double.isFinite(level[c]) && level[c] > 0, nm[c] + " nm, sun at " + zenith);
                }
            }
        }
    }
}
