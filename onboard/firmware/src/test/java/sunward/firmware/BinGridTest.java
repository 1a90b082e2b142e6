package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

class BinGridTest {
    private final BinGrid grid = new BinGrid(TestPlans.reference(2, 16));

    /** Counted by hand: 10 / 0.2 + 90 / 1 + 150 / 2 = 215. */
    @Test
    void referencePlanHas215Bins() {
        assertEquals(215, grid.bins());
        assertEquals(0, grid.binOf(0));
        assertEquals(0, grid.binOf(0.19));
        assertEquals(1, grid.binOf(0.21));
        assertEquals(49, grid.binOf(9.99));
        assertEquals(50, grid.binOf(10));
        assertEquals(140, grid.binOf(100));
        assertEquals(214, grid.binOf(249.9));
    }

    @Test
    void outsideTheZonesThereIsNoBin() {
        assertEquals(BinGrid.NO_BIN, grid.binOf(-0.01));
        assertEquals(BinGrid.NO_BIN, grid.binOf(250));
        assertEquals(BinGrid.NO_BIN, grid.binOf(Double.NaN));
    }

    @Test
    void everyPressureLiesBelowItsBinsTop() {
        for (double p = 0; p < 250; p += 0.0137) {
            int bin = grid.binOf(p);
            assertTrue(grid.topDbar(bin) <= p + 1e-9, "pressure " + p);
            assertTrue(bin == 214 || grid.topDbar(bin + 1) > p - 1e-9, "pressure " + p);
        }
    }
}
