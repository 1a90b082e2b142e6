package sunward.planning;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import sunward.planning.PlanComparison.Candidate;
import sunward.planning.PlanComparison.Difference;
import sunward.planning.PlanComparison.Flown;
import sunward.planning.PlanComparison.Row;
import sunward.protocol.schema.PlanFile;
import sunward.protocol.schema.Scene;
import sunward.simulator.Dive;

class PlanComparisonTest {
    private static final int DIVES = 4;

    private static PlanFile messages(int data) {
        PlanFile.Builder file = ThinDive.file().toBuilder();
        file.getPlanBuilder().getPackingBuilder().setDataMessages(data).setParityMessages(0);
        return file.build();
    }

    /** What the messages say alone. */
    private static PlanFile noneLost(PlanFile file) {
        PlanFile.Builder quiet = file.toBuilder();
        quiet.getSceneBuilder().clearLink();
        return quiet.build();
    }

    private static Difference of(Row row, String key) {
        return row.differences().stream()
                .filter(d -> d.key().equals(key))
                .findFirst()
                .orElseThrow();
    }

    @Test
    void sixtyMessagesAreAboveSixAndAPlanIsItsOwnEqual() throws InterruptedException {
        List<Row> rows = PlanComparison.of(
                List.of(
                        new Candidate("six", messages(6)),
                        new Candidate("sixty", messages(60)),
                        new Candidate("six again", messages(6))),
                List.of(PlanComparisonTest::noneLost),
                DIVES,
                Dive.Progress.NONE);
        assertEquals(
                List.of("six", "sixty", "six again"),
                rows.stream().map(Row::name).toList());
        Row sixty = rows.get(1);
        Difference width = of(sixty, "half_width_percent");
        assertTrue(width.clear() && width.mean() < 0, width.toString());
        assertTrue(of(sixty, "bins").clear() && of(sixty, "bins").mean() > 100, sixty.toString());
        assertTrue(of(sixty, "bytes").clear() && of(sixty, "bytes").mean() > 0);
        assertTrue(of(sixty, "joules").clear() && of(sixty, "joules").mean() > 0);
        for (Difference difference : rows.get(2).differences()) {
            assertEquals(0, difference.mean(), difference.toString());
            assertEquals(0, difference.standardError(), difference.toString());
            assertFalse(difference.clear(), difference.toString());
        }
    }

    /** A link that loses everything: every dive fails, with its cause, and nothing is made up for it. */
    @Test
    void divesThatFailAreCountedWithTheirCause() throws InterruptedException {
        Scene.Builder silent = messages(6).getScene().toBuilder();
        silent.getLinkBuilder().setLossPercent(100);
        Candidate six = new Candidate("six", messages(6));
        List<Row> rows = PlanComparison.of(
                List.of(six, six),
                List.of(file -> file.toBuilder().setScene(silent).build()),
                2,
                Dive.Progress.NONE);
        assertEquals(0, rows.get(0).usable());
        assertEquals(Map.of("nothing decodable arrived", 2), rows.get(0).failures());
        assertTrue(rows.get(0).rmsErrorPercent().isEmpty());
        assertEquals(0, of(rows.get(1), "absolute_error_percent").pairs());
        assertTrue(Double.isNaN(of(rows.get(1), "absolute_error_percent").mean()));
    }

    private static Flown flown(double error, double width, int bytes) {
        double[] errors = new double[PlanComparison.WAVELENGTHS_NM.size()];
        double[] widths = new double[errors.length];
        Arrays.fill(errors, error);
        Arrays.fill(widths, width);
        return new Flown("", errors, widths, 7, bytes, 10);
    }

    /** By hand: differences 1, 2 and 3 have mean 2 and standard error 1 / sqrt(3); a failed dive makes no pair. */
    @Test
    void pairedDifferencesAgreeWithACalculationByHand() {
        Flown failed = new Flown("no surface spectra", new double[0], new double[0], 7, 100, 10);
        List<Flown> first = List.of(flown(1, 5, 100), flown(-7, 5, 100), flown(3, 5, 100), flown(9, 5, 100));
        List<Flown> other = List.of(flown(-2, 5, 100), flown(9, 5, 104), flown(6, 5, 100), failed);
        Row row = PlanComparison.row("other", other, first);
        Difference error = of(row, "absolute_error_percent");
        assertEquals(3, error.pairs());
        assertEquals(2, error.mean(), 1e-12);
        assertEquals(1 / Math.sqrt(3), error.standardError(), 1e-12);
        assertTrue(error.clear());
        // Bytes differ by 0, 4, 0, 0: mean 1, standard deviation 2, standard error 1: not clear of chance.
        assertEquals(1, of(row, "bytes").mean(), 1e-12);
        assertEquals(1, of(row, "bytes").standardError(), 1e-12);
        assertFalse(of(row, "bytes").clear());
        assertEquals(3, row.usable());
        assertEquals(Map.of("no surface spectra", 1), row.failures());
        assertEquals(Math.sqrt((4 + 81 + 36) / 3.0), row.rmsErrorPercent().get(0), 1e-12);
    }
}
