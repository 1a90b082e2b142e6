package sunward.profiles;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

class ClearWaterTest {
    /** Worked by hand from the published row: Morel and Maritorena 2001, Table 2, 490 nm, chlorophyll 0.1: 0.03140 per m. */
    @Test
    void attenuationIsThePublishedRow() {
        assertEquals(0.03140, ClearWater.attenuationPerM(490), 5e-6);
    }

    /** 3400 per cm from 488 nm lead to 585 nm (as commonly quoted for water Raman scattering, from memory). */
    @Test
    void excitationUndoesTheRamanShift() {
        assertEquals(488, ClearWater.excitationNm(585.05), 0.1);
    }

    @Test
    void expectationIsFiniteAndPositiveOverTheWholeRange() {
        for (double nm = 300; nm <= 900; nm += 0.75) {
            assertTrue(ClearWater.attenuationPerM(nm) > 0.005, nm + " nm");
            assertTrue(ClearWater.inelasticShare(nm) > 0 && ClearWater.inelasticShare(nm) < 0.5, nm + " nm");
        }
    }
}
