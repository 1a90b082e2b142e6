package sunward.watch.trouble;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class TrendTest {
    private static final double[] PLACE = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10};

    /** The order of n values with this S: the last ones swapped forward until enough pairs are out of order. */
    private static double[] orderWith(int n, int s) {
        double[] values = Arrays.copyOf(PLACE, n);
        int inversions = (n * (n - 1) / 2 - s) / 2;
        for (int from = n - 1; from > 0 && inversions > 0; from--) {
            for (int at = from; at < n - 1 && inversions > 0; at++) {
                double keep = values[at];
                values[at] = values[at + 1];
                values[at + 1] = keep;
                inversions--;
            }
        }
        return values;
    }

    /** Kendall's table of the upper tail of S (Rank Correlation Methods, appendix table 1), three decimals; from memory. */
    @ParameterizedTest
    @CsvSource({
        "5,8,0.042",
        "5,10,0.008",
        "6,11,0.028",
        "6,13,0.008",
        "7,13,0.035",
        "7,15,0.015",
        "8,18,0.016",
        "10,21,0.036",
        "10,23,0.023",
        "10,27,0.008"
    })
    void chanceIsTwiceTheTailOfKendallsTable(int n, int s, double tail) {
        assertEquals(
                2 * tail, Trend.of(Arrays.copyOf(PLACE, n), orderWith(n, s)).chance(), 1e-3 + 1e-9);
        double[] falling = orderWith(n, s);
        for (int i = 0; i < n; i++) {
            falling[i] = -falling[i];
        }
        assertEquals(2 * tail, Trend.of(Arrays.copyOf(PLACE, n), falling).chance(), 1e-3 + 1e-9, "both ways alike");
    }

    /** Sen, P. K. (1968), J. Am. Stat. Assoc. 63, 1379-1389, worked example: slope 4; numbers from memory. */
    @Test
    void slopeOfTheWorkedExample() {
        double[] t = {1, 2, 3, 4, 10, 12, 18};
        double[] y = {9, 15, 19, 20, 45, 55, 78};
        assertEquals(4, Trend.of(t, y).slope(), 1e-12);
    }

    @Test
    void oneWildValueMovesNeitherSlopeNorVerdictMuch() {
        double[] t = {1, 2, 3, 4, 5, 6, 7, 8};
        double[] y = {1, 2, 3, 4, 500, 6, 7, 8};
        assertEquals(1, Trend.of(t, y).slope(), 0.01);
        assertTrue(Trend.of(t, new double[] {3, 1, 4, 1.5, 5, 2, 6, 0}).chance() > 0.2);
        assertEquals(1, Trend.of(t, new double[8]).chance(), 0, "all alike is no trend");
        assertThrows(IllegalArgumentException.class, () -> Trend.of(new double[4], new double[4]));
    }
}
