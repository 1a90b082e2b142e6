package sunward.planning;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.SceneLibrary;

/** A few seeds of the documented command; the command itself runs forty. */
class CoverageTest {
    private static final int SEEDS = 6;

    /** Seas whose pigment grows with depth under the eye of the fit: nothing goes missing, and the intervals allow for it. */
    @ParameterizedTest
    @CsvSource({"0.2, 0.6, 30, 20", "0.07, 1, 12, 5", "3, 3, 20, 30"})
    void layeredWaterGetsValuesAndHonestIntervals(double surface, double excess, double depthM, double widthM)
            throws InterruptedException {
        int seeds = 2;
        PlanFile.Builder file = ThinDive.file().toBuilder();
        file.getPlanBuilder().clearFlyWavelengthsNm();
        Coverage.NAMED_NM.forEach(nm -> file.getPlanBuilder().addFlyWavelengthsNm(nm));
        file.getSceneBuilder()
                .getWaterBuilder()
                .setSurfaceChlorophyllMgPerM3(surface)
                .setMaximumChlorophyllMgPerM3(excess)
                .setMaximumDepthM(depthM)
                .setMaximumWidthM(widthM);
        CoverageTally tally = Coverage.of(file.build(), 41, 40 + seeds);
        assertEquals(Coverage.NAMED_NM.size(), tally.rows().size());
        tally.rows().forEach((nm, row) -> assertEquals(seeds, row.dives(), nm + " nm"));
        assertTrue(tally.pooled(nm -> true) >= 0.85, "pooled coverage " + tally.pooled(nm -> true));
        assertTrue(tally.widestPercent(Coverage::named, 400, 680) <= 8, "half width");
    }

    /** Under passing clouds no value goes missing, and the intervals, wide as they must be, hold the light of the surfacing. */
    @Test
    void brokenCloudGetsValuesAndHonestIntervals() throws InterruptedException {
        PlanFile.Builder file = SceneLibrary.over(ThinDive.file(), "broken-cloud").toBuilder();
        file.getPlanBuilder().clearFlyWavelengthsNm();
        Coverage.NAMED_NM.forEach(nm -> file.getPlanBuilder().addFlyWavelengthsNm(nm));
        CoverageTally tally = Coverage.of(file.build(), 61, 64);
        tally.rows().forEach((nm, row) -> assertEquals(4, row.dives(), nm + " nm"));
        assertTrue(tally.pooled(nm -> true) >= 0.7, "pooled coverage " + tally.pooled(nm -> true));
        assertTrue(tally.widestPercent(Coverage::named, 400, 680) <= 30, "half width");
    }

    @Test
    void intervalsHoldTheTruthAndAreNarrow() throws InterruptedException {
        PlanFile.Builder file = ThinDive.file().toBuilder();
        file.getPlanBuilder().clearFlyWavelengthsNm();
        Coverage.NAMED_NM.forEach(nm -> file.getPlanBuilder().addFlyWavelengthsNm(nm));
        CoverageTally tally = Coverage.of(file.build(), 1, SEEDS);
        assertEquals(Coverage.NAMED_NM.size(), tally.rows().size());
        tally.rows().forEach((nm, row) -> assertEquals(SEEDS, row.dives(), nm + " nm"));
        // Errors of one dive go together over wavelengths, so six dives can only show what is badly wrong.
        assertTrue(tally.pooled(nm -> true) >= 0.7, "pooled coverage " + tally.pooled(nm -> true));
        assertTrue(tally.widestPercent(Coverage::named, 400, 560) <= 8, "half width in the blue and green");
        assertTrue(tally.widestPercent(Coverage::named, 600, 680) <= 25, "half width in the red");
        ByteArrayOutputStream text = new ByteArrayOutputStream();
        Coverage.print(tally, new PrintStream(text, true, StandardCharsets.UTF_8));
        assertTrue(
                text.toString(StandardCharsets.UTF_8).contains("figure coverage.dives " + SEEDS),
                text.toString(StandardCharsets.UTF_8));
    }
}
