package sunward.watch.trouble;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import sunward.protocol.schema.Plan;
import sunward.watch.FlownDive;
import sunward.watch.dives.DiveKey;

/** Series of dives with a known change. Limits are our own; the statistics are held to published tables in TrendTest. */
class EarlierDivesTest {
    private static final Plan PLAN = FlownDive.file().getPlan();

    @TempDir
    Path folder;

    private interface Value {
        double at(int dive);
    }

    private static List<Compared> dives(int count, Value blue, Value heads) {
        List<Compared> dives = new ArrayList<>();
        for (int dive = 1; dive <= count; dive++) {
            dives.add(new Compared(dive, blue.at(dive), Double.NaN, List.of(heads.at(dive)), List.of()));
        }
        return dives;
    }

    private static List<String> what(List<Compared> dives) {
        return EarlierDives.findings(dives, PLAN).stream().map(Finding::what).toList();
    }

    @Test
    void growthOnOneWindowIsToldFromScatterAndWater() {
        Random scatter = new Random(7);
        // Measured over simulated dives of one float: the ratio of the heads scatters by 0.1 %, the sea's light by
        // factors.
        Value water = dive -> Math.exp(0.3 * scatter.nextGaussian());
        Value still = dive -> 1.022 + 0.001 * scatter.nextGaussian();
        for (int n = 1; n <= EarlierDives.WINDOW; n++) {
            assertEquals(List.of(), what(dives(n, water, still)), n + " dives");
        }
        Value growing = dive -> still.at(dive) * Math.exp(0.012 * dive);
        assertEquals(List.of(), what(dives(3, water, growing)), "three dives show nothing yet");
        assertEquals(List.of("head B loses light dive by dive"), what(dives(6, water, growing)));
        assertEquals(List.of("head A loses light dive by dive"), what(dives(6, water, dive -> 1 / growing.at(dive))));
        Finding finding = EarlierDives.findings(dives(8, water, growing), PLAN).get(0);
        assertTrue(finding.evidence().startsWith("From dive 1 to 8 what head A reads over head B"), finding.evidence());
        assertTrue(finding.evidence().contains("growth on the window of head B or drift"), finding.evidence());
    }

    @Test
    void aStepOfOneHeadAndAFadingOfBothAreNamed() {
        Value step = dive -> dive == 6 ? 1.07 : 1.0;
        assertEquals(List.of("head B is dimmer than in the dives before"), what(dives(6, dive -> 1, step)));
        assertEquals(List.of(), what(dives(7, dive -> 1, step)), "the dive after is as before");
        assertEquals(List.of("the blue fades dive by dive"), what(dives(8, dive -> Math.exp(-0.1 * dive), dive -> 1)));
        assertEquals(List.of(), what(dives(8, dive -> Double.NaN, dive -> Double.NaN)), "unknown stays unknown");
    }

    @Test
    void anyOrderOfComparingAndAnyRestartGivesTheSameRows() throws Exception {
        List<Compared> dives = dives(20, dive -> 1, dive -> Math.exp(0.004 * dive));
        String expected = null;
        for (int seed = 1; seed <= 10; seed++) {
            List<Compared> order = new ArrayList<>(dives);
            Collections.shuffle(order, new Random(seed));
            Path file = folder.resolve("findings-" + seed + ".sqlite");
            FindingStore store = FindingStore.open(file, "plan 1");
            for (int i = 0; i < order.size(); i++) {
                DiveKey key = new DiveKey(3, order.get(i).dive());
                if (i % 4 == seed % 4) {
                    store.put(key, "an older set of messages", null, PLAN);
                }
                store.put(key, "all", order.get(i), PLAN);
                if (i == 9) {
                    store.close();
                    store = FindingStore.open(file, "plan 1");
                }
            }
            assertFalse(store.of(new DiveKey(3, 20)).isEmpty());
            assertTrue(store.has(new DiveKey(3, 20), "all"));
            expected = expected == null ? store.contents() : expected;
            assertEquals(expected, store.contents(), "seed " + seed);
            store.close();
        }
        try (FindingStore other = FindingStore.open(folder.resolve("findings-1.sqlite"), "plan 2")) {
            assertFalse(other.has(new DiveKey(3, 20), "all"), "another plan: to be compared again");
            assertEquals(List.of(), other.of(new DiveKey(3, 20)), "and what was found with the old one is not shown");
        }
    }
}
