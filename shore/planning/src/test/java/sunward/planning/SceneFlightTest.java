package sunward.planning;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.SceneLibrary;
import sunward.simulator.Seeds;

/** Every scene of a day and a sea flies and is decoded, with forty channels. */
class SceneFlightTest {
    static List<String> names() {
        // The other scenes break something; what is to come of them is asserted elsewhere.
        return List.of(
                "clear-gyre",
                "temperate-spring",
                "coastal-green",
                "high-sun",
                "low-sun",
                "rough",
                "broken-cloud",
                "tilted-float",
                "fouled-head",
                "dead-compass");
    }

    private static RehearsedDive fly(PlanFile file) {
        return RehearsedDive.of(file, Seeds.all(2), null, (stage, share) -> {});
    }

    @ParameterizedTest
    @MethodSource("names")
    void aSceneFliesAndItsBlueAndGreenComeBack(String name) {
        RehearsedDive dive = fly(Coverage.thinned(SceneLibrary.over(PlanReader.defaults(), name)));
        assertNotNull(dive.product(), name);
        Comparison comparison = dive.report().comparison();
        int there = 0;
        for (int k = 0; k < comparison.wavelengthNm.length; k++) {
            if (comparison.wavelengthNm[k] > 440 && comparison.wavelengthNm[k] < 560 && comparison.has(k)) {
                there++;
            }
        }
        assertTrue(there >= 5, name + ": " + there + " wavelengths from 440 to 560 nm, seed 2");
    }

    /** A thinned flight has the truth of the full one in its channels: the same light, channel by channel. */
    @Test
    void aThinnedFlightAgreesWithTheFullOne() {
        PlanFile.Builder full = PlanReader.defaults().toBuilder();
        full.getPlanBuilder().getAscentBuilder().setStartDbar(40);
        RehearsedDive all = fly(full.build());
        RehearsedDive few = fly(Coverage.thinned(full.build()));
        double[] allNm = all.result().truth().wavelengthNm();
        double[] fewNm = few.result().truth().wavelengthNm();
        assertEquals(720, allNm.length);
        assertTrue(fewNm.length >= 38 && fewNm.length <= 45);
        for (int k = 0; k < fewNm.length; k++) {
            int same = Arrays.binarySearch(allNm, fewNm[k]);
            assertTrue(same >= 0, "channel " + fewNm[k]);
            assertEquals(all.result().truth().lw()[same], few.result().truth().lw()[k], 1e-12, "Lw at " + fewNm[k]);
        }
        // The brightest channel flown sets the exposure, and long exposures come less often.
        double scans = all.result().account().lightScans();
        assertEquals(1, few.result().account().lightScans() / scans, 0.03);
    }
}
