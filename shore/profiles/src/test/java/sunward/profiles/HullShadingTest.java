package sunward.profiles;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import sunward.protocol.schema.Hull;

/** The closed form against brute-force rays: a second implementation of the same geometry, not a published check. */
class HullShadingTest {
    private static final Hull HULL = Hull.newBuilder()
            .setRadiusM(0.085)
            .setTopAboveHeadsM(0.35)
            .setBottomBelowHeadsM(1.2)
            .build();

    @ParameterizedTest
    @CsvSource({
        "0, 34, 0.07",
        "3, 34, 0.07",
        "4.5, 20, 0.5",
        "0, 60, 0.03",
        "2, 5, 0.07",
        "5.5, 34, 0.07",
        "180, 34, 0.07"
    })
    void directPartIsWhatStepByStepRaysGive(double antisunDeg, double zenithDeg, double attenuation) {
        double tangent = Math.tan(Math.asin(Math.sin(Math.toRadians(zenithDeg)) / 1.34));
        double weight = 2 * attenuation;
        double lost = 0;
        double step = 0.01;
        for (double s = step / 2; s < 60 / weight / 4; s += step) {
            if (meets(s, Math.toRadians(antisunDeg), tangent)) {
                lost += weight * Math.exp(-weight * s) * step;
            }
        }
        double closed = new HullShading(HULL).directLoss(0.95, Math.toRadians(antisunDeg), tangent, weight);
        assertEquals(lost, closed, 0.012 * lost + 2e-4);
    }

    /** Follows a ray from a point s below the head towards the sun in millimetres and asks whether it is ever inside the hull. */
    private static boolean meets(double s, double antisun, double tangent) {
        double x = 0.95 * Math.cos(antisun);
        double y = 0.95 * Math.sin(antisun);
        for (double along = 0; along < 1.2; along += 0.001) {
            double px = x - along;
            double height = -s + along / tangent;
            if (px * px + y * y < 0.085 * 0.085 && height < 0.35 && height > -1.2) {
                return true;
            }
        }
        return false;
    }

    @Test
    void sunSideLosesOnlySkyAndTheWedgeLosesMost() {
        HullShading shading = new HullShading(HULL);
        double behind = shading.loss(0.95, 0, 34, 0.7, 0.07);
        double sunSide = shading.loss(0.95, 180, 34, 0.7, 0.07);
        assertTrue(behind > 0.02 && behind < 0.3, "behind " + behind);
        assertTrue(sunSide > 0 && sunSide < 0.002, "sun side " + sunSide);
        for (int degree = 0; degree < 175; degree += 5) {
            assertTrue(
                    shading.loss(0.95, degree, 34, 0.7, 0.07) >= shading.loss(0.95, degree + 5, 34, 0.7, 0.07) - 1e-12);
            assertEquals(shading.loss(0.95, degree, 34, 0.7, 0.07), shading.loss(0.95, -degree, 34, 0.7, 0.07), 1e-12);
        }
        assertEquals(0, shading.loss(0.05, 0, 34, 0.7, 0.07));
    }
}
