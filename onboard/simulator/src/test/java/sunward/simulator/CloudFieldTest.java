package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Cloud;

class CloudFieldTest {
    private static final double ZENITH = 34;

    private static CloudField cloud(double coverPercent, double thickness, double passageS, long seed) {
        return new CloudField(
                Cloud.newBuilder()
                        .setCoverPercent(coverPercent)
                        .setOpticalThickness(thickness)
                        .setPassageS(passageS)
                        .build(),
                seed);
    }

    /** By its definition: over many dives the sun is hidden, and the sky covered, as often as the scene says. */
    @ParameterizedTest
    @ValueSource(doubles = {20, 50, 80})
    void coverIsTheScenes(double cover) {
        double hidden = 0;
        double sky = 0;
        int n = 0;
        for (int seed = 0; seed < 200; seed++) {
            CloudField field = cloud(cover, 12, 90, seed);
            for (double t = -3000; t < 0; t += 100) {
                hidden += field.hidden(t);
                sky += field.skyCover(t);
                n++;
            }
        }
        assertEquals(cover / 100, hidden / n, 0.04, "seeds 0 to 199");
        assertEquals(cover / 100, sky / n, 0.04, "seeds 0 to 199");
    }

    @Test
    void cloudsComeAndGoOverTheirPassage() {
        int changes = 0;
        double moved = 0;
        double seconds = 0;
        for (int seed = 0; seed < 50; seed++) {
            CloudField field = cloud(50, 12, 90, seed);
            for (double t = -3000; t < 0; t++) {
                changes += field.hidden(t) > 0.5 != field.hidden(t + 1) > 0.5 ? 1 : 0;
                moved += Math.abs(field.hidden(t) - field.hidden(t + 1));
                seconds++;
            }
        }
        // Correlated in time: from one second to the next hardly anything changes; cloud and gap follow each other.
        assertTrue(moved / seconds < 0.02, "change in a second " + moved / seconds);
        double passage = seconds / changes;
        assertTrue(passage > 60 && passage < 360, "mean time of cloud or gap, s: " + passage);
    }

    /** Limits of the two-stream solution: no cloud lets all through; a thick one about 1.7 over (1 - g) tau. */
    @Test
    void overcastDimsAndHidesTheSun() {
        assertEquals(1, cloud(100, 0, 90, 1).at(0, ZENITH).transmitted(), 1e-12);
        double mu = Math.cos(Math.toRadians(ZENITH));
        double thick = cloud(100, 100, 90, 1).at(0, ZENITH).transmitted();
        assertEquals((2.0 / 3 + mu) / (4.0 / 3 + 15), thick, 1e-9);
        CloudField.Effect overcast = cloud(100, 12, 90, 1).at(-500, ZENITH);
        assertEquals(overcast.transmitted(), overcast.irradiance(0.7), 1e-6);
        assertTrue(overcast.directShare(0.7) < 1e-5);
        assertEquals(
                overcast.irradiance(0.7), cloud(100, 12, 90, 2).at(0, ZENITH).irradiance(0.7), 1e-12);
    }

    /** A gap in broken cloud lets the sun through; there less of the blue sky, more white cloud. */
    @Test
    void brokenCloudLiesBetween() {
        double least = 9;
        double most = 0;
        CloudField field = cloud(50, 12, 90, 3);
        for (double t = -3000; t < 0; t += 5) {
            double factor = field.at(t, ZENITH).irradiance(0.7);
            least = Math.min(least, factor);
            most = Math.max(most, factor);
            assertTrue(factor > 0.1 && factor < 1.4, "factor " + factor);
            assertTrue(field.at(t, ZENITH).directShare(0.7) <= 1);
        }
        assertTrue(least < 0.5 && most > 0.9, least + " to " + most);
    }

    @Test
    void theDefaultSkyIsClear() {
        assertTrue(new CloudField(PlanReader.defaults().getScene().getCloud(), 1).clear());
        assertFalse(cloud(1, 12, 90, 1).clear());
        assertEquals(1, cloud(0, 12, 90, 1).at(0, ZENITH).irradiance(0.7), 0);
    }
}
