package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotSame;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Set;
import org.junit.jupiter.api.Test;
import sunward.firmware.FloatPlan;
import sunward.protocol.plan.Digests;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PlanFile;

class PlanMappingTest {
    @Test
    void theDefaultPlanArrivesWhole() throws IllegalAccessException {
        PlanFile file = PlanReader.defaults();
        byte[] key = {1, 2, 3};
        FloatPlan plan = PlanMapping.floatPlan(file.getPlan(), file.getCalibration(), true, key);
        assertTrue(plan.simulated);
        assertArrayEquals(key, plan.sealKey);
        assertNotSame(key, plan.sealKey);
        assertEquals(720, plan.heads[1].channels);
        assertEquals(-0.95, plan.heads[1].armXM);
        assertTrue(plan.heads[0].upwelling);
        assertFalse(plan.thinned);
        assertArrayEquals(new double[] {10, 100, 250}, plan.zoneToDbar);
        assertEquals(0.005, plan.shadedLoss, 1e-12);
        assertEquals(129_600, plan.staleFixS, 1e-9);
        assertEquals(2500, plan.longScanIntervalMs);
        // 26 years with 7 leap days (2000 to 2024) to 2026-01-01, then 334 days to 2026-12-01.
        assertEquals(26 * 365 + 7 + 334, plan.declinationDay);
        assertArrayEquals(Arrays.copyOf(Digests.of(file.getPlan()), 8), plan.planDigest);
        // Every number that the default plan does not set to zero has arrived.
        for (java.lang.reflect.Field field : FloatPlan.class.getFields()) {
            boolean maySayZero = Set.of(
                            "declinationDeg", "channelsPerSample", "dwellDbar", "dwellS", "mostBytes", "mostJoules")
                    .contains(field.getName());
            if (field.getType() == double.class && !maySayZero) {
                assertTrue(field.getDouble(plan) > 0, field.getName());
            }
            if (field.getType() == int.class && !maySayZero) {
                assertTrue(field.getInt(plan) > 0, field.getName());
            }
        }
    }

    @Test
    void aThinnedPlanSaysSo() {
        PlanFile.Builder file = PlanReader.defaults().toBuilder();
        file.getPlanBuilder().addFlyWavelengthsNm(443).addFlyWavelengthsNm(670);
        FloatPlan plan = PlanMapping.floatPlan(file.getPlan(), file.getCalibration(), true, null);
        assertTrue(plan.thinned);
        assertEquals(2, plan.heads[0].channels);
    }
}
