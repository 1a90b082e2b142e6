package sunward.planning;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Random;
import org.junit.jupiter.api.Test;

class CoverageTallyTest {
    /** Worked by hand. */
    @Test
    void countsByHand() {
        CoverageTally tally = new CoverageTally();
        tally.add(443, 1.02, 0.02, 0.98, 1.06, 1.0);
        tally.add(443, 0.96, 0.01, 0.94, 0.98, 1.0);
        tally.add(555, 2.0, 0.1, 1.8, 2.2, 2.0);
        CoverageTally.Row row = tally.rows().get(443.0);
        assertEquals(2, row.dives());
        assertEquals(0.5, row.coverage());
        assertEquals(-1, row.biasPercent(), 1e-12);
        assertEquals(Math.sqrt(18), row.sdPercent(), 1e-12);
        assertEquals(50 * 0.08 / 1.02, tally.widestPercent(nm -> true, 400, 500), 1e-12);
        assertEquals(10, tally.widestPercent(nm -> true, 500, 600), 1e-12);
        assertEquals(2.0 / 3, tally.pooled(nm -> true));
    }

    /** A normal error with its own standard deviation stated lies within 1.96 of them 95 times in a hundred (definition). */
    @Test
    void honestIntervalsCoverAsTheySay() {
        CoverageTally tally = new CoverageTally();
        Random random = new Random(7);
        int n = 20_000;
        for (int i = 0; i < n; i++) {
            double value = 1 + 0.03 * random.nextGaussian();
            tally.add(500, value, 0.03, value - 1.959964 * 0.03, value + 1.959964 * 0.03, 1);
        }
        assertEquals(0.95, tally.pooled(nm -> true), 4 * Math.sqrt(0.95 * 0.05 / n), "seed 7");
        assertEquals(3, tally.rows().get(500.0).sdPercent(), 0.06, "seed 7");
    }
}
