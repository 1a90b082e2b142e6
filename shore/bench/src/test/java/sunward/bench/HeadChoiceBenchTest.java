package sunward.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/**
 * A short version of the benchmark; the limits are those that the float was specified with. Judged by {@link StraightRays},
 * written apart from the firmware; no published figure exists for heads on arms.
 */
class HeadChoiceBenchTest {
    private static final int DIVES = 4;

    private final HeadChoiceBench bench = new HeadChoiceBench();

    private HeadChoiceBench.Outcome fly(HeadChoiceBench.Case which) {
        HeadChoiceBench.Outcome outcome = bench.fly(which, DIVES);
        assertTrue(
                outcome.worstSwitchesOverHalfTurns <= 0,
                which + ": switches beyond one per half turn: " + outcome.worstSwitchesOverHalfTurns);
        return outcome;
    }

    @Test
    void aCompassFiveDegreesOffCostsNothing() {
        HeadChoiceBench.Outcome outcome = fly(HeadChoiceBench.Case.ERROR_5_DEG);
        assertTrue(outcome.meanPercent() <= 0.05, "mean " + outcome.meanPercent());
        assertTrue(outcome.p95Percent() <= 0.3, "95th percentile " + outcome.p95Percent());
        assertEquals(outcome.instants, outcome.fallbacks[0], "the sky is clear and the compass sound");
    }

    @Test
    void neitherDoesAHardIronErrorOfThirtyDegrees() {
        HeadChoiceBench.Outcome outcome = fly(HeadChoiceBench.Case.HARD_IRON_30_DEG);
        assertTrue(outcome.meanPercent() <= 0.1, "mean " + outcome.meanPercent());
        assertTrue(outcome.p95Percent() <= 0.3, "95th percentile " + outcome.p95Percent());
    }

    /** In its dive 22 the sun passes two degrees from the zenith, and the shadow swings with every tilt. */
    @Test
    void underASunNearTheZenithThePreferenceDoesNotSwingWithTheTilt() {
        HeadChoiceBench.Outcome outcome = bench.fly(HeadChoiceBench.Case.HARD_IRON_30_DEG, 22, 1);
        assertTrue(outcome.fallbacks[3] > 100, "the sun is not near the zenith");
        assertTrue(outcome.worstSwitchesOverHalfTurns <= 0, "more: " + outcome.worstSwitchesOverHalfTurns);
        assertTrue(outcome.meanPercent() <= 0.4, "mean " + outcome.meanPercent());
    }

    @Test
    void aReversedOrMirroredCompassIsFoundWithinATurn() {
        for (HeadChoiceBench.Case which :
                new HeadChoiceBench.Case[] {HeadChoiceBench.Case.REVERSED, HeadChoiceBench.Case.MIRRORED}) {
            HeadChoiceBench.Outcome outcome = fly(which);
            assertTrue(outcome.afterFirstTurnPercent() <= 0.1, which + " " + outcome.afterFirstTurnPercent());
        }
    }

    @Test
    void aStuckOrSilentCompassIsNamedAndOvercastIsSeen() {
        HeadChoiceBench.Outcome stuck = fly(HeadChoiceBench.Case.STUCK);
        assertEquals(DIVES * 30L, stuck.fallbacks[0]);
        assertEquals(stuck.instants - DIVES * 30L, stuck.fallbacks[1]);
        HeadChoiceBench.Outcome absent = fly(HeadChoiceBench.Case.ABSENT);
        assertEquals(absent.instants, absent.fallbacks[1]);
        HeadChoiceBench.Outcome overcast = fly(HeadChoiceBench.Case.OVERCAST);
        assertTrue(overcast.fallbacks[5] > 0);
    }

    @Test
    void spikesChangeNothing() {
        HeadChoiceBench.Outcome outcome = fly(HeadChoiceBench.Case.SPIKES);
        assertTrue(outcome.meanPercent() <= 0.05, "mean " + outcome.meanPercent());
        assertEquals(outcome.instants, outcome.fallbacks[0]);
    }

    /** A ray straight down from behind the hull, sun 45 degrees in water: shadow from s1 = w - R - top to w + R + bottom. */
    @Test
    void straightRaysMeetAHandCalculation() {
        StraightRays rays = new StraightRays(0.1, 0.4, 1.0, 1e-6);
        double half = Math.sqrt(0.5);
        double loss = rays.loss(new double[] {-1, 0, 0}, new double[] {half, 0, -half}, 0.2, 100);
        double byHand = Math.exp(-0.2 * (1 - 0.1 - 0.4)) - Math.exp(-0.2 * (1 + 0.1 + 1.0));
        assertTrue(loss > 0.5 * byHand && loss < byHand, "blurred " + loss + " of " + byHand);
    }
}
