package sunward.planning;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;

/** The packing sweep in short; the long one is a command. */
class PackingSweepTest {
    /** From 3 to 150 messages neither the stated uncertainty nor the error against truth grows beyond its sampling error. */
    @Test
    void moreMessagesMakeNothingWorse() throws InterruptedException {
        List<PackingSweep.Row> rows = PackingSweep.of(ThinDive.file(), 1, 10, 3, 8, 26, 150);
        assertEquals(List.of(), PackingSweep.worse(rows));
        PackingSweep.Row fewest = rows.get(0);
        PackingSweep.Row most = rows.get(rows.size() - 1);
        assertEquals(3, fewest.sent());
        assertEquals(0, fewest.missing(), "three messages are a usable first look at the surface");
        assertTrue(fewest.pooledRms() < 3, "rms error with three messages " + fewest.pooledRms());
        assertTrue(most.pooledStated() < fewest.pooledStated());
        for (PackingSweep.Row row : rows) {
            double ratio = row.pooledRms() / row.pooledStated();
            assertTrue(ratio > 0.4 && ratio < 1.6, row.allowed() + " messages: error over stated uncertainty " + ratio);
        }
        String svg = PackingPicture.svg(rows, 10);
        assertTrue(svg.startsWith("<svg") && svg.contains("10 SIMULATED dives") && !svg.contains("NaN"));
    }
}
