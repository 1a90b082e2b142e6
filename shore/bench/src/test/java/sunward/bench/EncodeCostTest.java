package sunward.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Map;
import org.junit.jupiter.api.Test;
import sunward.bench.Operations.Kind;

class EncodeCostTest {
    private static double perScan(Map<String, Map<String, Long>> counted, Kind kind) {
        return counted.get("scans").get(kind.name())
                / (double) counted.get("size").get("scans");
    }

    /**
     * By hand, from the code: a scan's channel is read twice (once for the peak and the sum, once to be stored) and stored as two
     * bytes, so that 32 channels more are 64 bytes more written; nothing is multiplied for a channel. Exposures differ a little between the
     * two dives, hence the tolerance.
     */
    @Test
    void aChannelCostsWhatItsCodeSays() throws ReflectiveOperationException {
        Map<String, Map<String, Long>> few = EncodeCost.count(8);
        Map<String, Map<String, Long>> more = EncodeCost.count(40);
        assertEquals(64, perScan(more, Kind.WRITE) - perScan(few, Kind.WRITE), 4);
        for (Kind kind : new Kind[] {Kind.INT_MULTIPLY, Kind.LONG_MULTIPLY}) {
            assertEquals(0, perScan(more, kind) - perScan(few, kind), 0.5, kind.name());
        }
        assertTrue(perScan(more, Kind.READ) - perScan(few, Kind.READ) > 64);
        assertTrue(few.get("pack").get(Kind.LONG_MULTIPLY.name()) > 1000);
    }
}
