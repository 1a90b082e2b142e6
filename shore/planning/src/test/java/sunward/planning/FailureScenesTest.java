package sunward.planning;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import sunward.profiles.ProfileBin;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.SceneLibrary;
import sunward.simulator.Seeds;

/**
 * What becomes of a dive when something breaks: each failure is a scene of the library, flown and decoded with few channels.
 * Fault and fallback numbers: protocol/WIRE.md. What a float ought to do then is common practice, no published source.
 */
class FailureScenesTest {
    private static final int NO_HEADING = 1;
    private static final double CLOSE_NM = 0.5;

    private static final Map<String, RehearsedDive> FLOWN = new HashMap<>();

    private static RehearsedDive fly(String scene) {
        return FLOWN.computeIfAbsent(scene, FailureScenesTest::flown);
    }

    private static RehearsedDive flown(String scene) {
        PlanFile file = SceneLibrary.over(ThinDive.file(), scene);
        RehearsedDive dive = RehearsedDive.of(file, Seeds.all(ThinDive.SEED), null, (stage, share) -> {});
        assertNotNull(dive.product(), scene + ": the float reports whatever happens");
        return dive;
    }

    private static Set<Integer> faults(RehearsedDive dive) {
        return new HashSet<>(dive.product().ledger().getFaultsList());
    }

    /** The largest distance of Lw from the truth at 412 to 555 nm, in stated standard uncertainties. */
    private static double worst(RehearsedDive dive) {
        var truth = dive.result().truth();
        var surface = dive.product().surface();
        double worst = 0;
        int seen = 0;
        for (int i = 0; i < surface.wavelengthNm().size(); i++) {
            double nm = surface.wavelengthNm().at(i);
            for (int k = 0; k < truth.wavelengthNm().length; k++) {
                if (nm > 411 && nm < 556 && Math.abs(truth.wavelengthNm()[k] - nm) < CLOSE_NM) {
                    double off = surface.lw().at(i) / truth.lw()[k] - 1;
                    worst = Math.max(worst, Math.abs(off) / surface.lwRelative().at(i));
                    seen++;
                }
            }
        }
        assertTrue(seen >= 5, "wavelengths compared: " + seen);
        return worst;
    }

    private static List<ProfileBin> bins(RehearsedDive dive) {
        return dive.product().profile().bins();
    }

    @ParameterizedTest
    @CsvSource({
        "dead-compass, 8",
        "reversed-compass, 9",
        "heading-spikes, 10",
        "silent-compass, 0",
        "dead-tilt-sensor, 6",
        "slipped-tilt-sensor, 7",
        "dead-head, 2",
        "dazzled-head, 4",
        "dark-drift, 0",
        "clock-jump, 12",
        "late-fix, 19",
        "no-link, 0"
    })
    void theSurfaceIsStillMeasuredAndTheFaultIsNamed(String scene, int fault) {
        RehearsedDive dive = fly(scene);
        assertEquals(fault == 0 ? Set.of() : Set.of(fault), faults(dive), scene);
        if (fault != 0) {
            String told = "The float noted: " + WireWords.fault(fault) + ".";
            assertTrue(dive.report().data().reasons().contains(told), scene + " in the report");
        }
        assertTrue(worst(dive) < 3, scene + ": off by standard uncertainties " + worst(dive));
    }

    @Test
    void aCompassThatGivesNothingOrTheSameIsAFallbackOfItsBins() {
        for (String scene : List.of("silent-compass", "dead-compass")) {
            RehearsedDive dive = fly(scene);
            long above = bins(dive).stream()
                    .filter(bin -> bin.portPressureDbar() < 140)
                    .count();
            long named = bins(dive).stream()
                    .filter(bin -> bin.portPressureDbar() < 140 && bin.fallback() == NO_HEADING)
                    .count();
            assertTrue(above > 50 && named >= 0.98 * above, scene + ": " + named + " of " + above);
        }
    }

    @Test
    void noBinIsMadeOfScansWhosePressureIsNotKnown() {
        RehearsedDive stuck = fly("stuck-pressure");
        assertTrue(faults(stuck).contains(3));
        assertTrue(bins(stuck).stream().allMatch(bin -> bin.portPressureDbar() > 59));
        assertTrue(bins(stuck).size() > 50);
        assertTrue(
                stuck.product().reasons().stream()
                        .anyMatch(reason -> reason.startsWith("tare after the dive not believed")),
                stuck.product().reasons().toString());
        if (stuck.product().surface() != null) {
            assertTrue(worst(stuck) < 3, "stuck: off by standard uncertainties " + worst(stuck));
        }
        RehearsedDive reversed = fly("reversed-pressure");
        assertTrue(bins(reversed).stream().allMatch(bin -> bin.portPressureDbar() > 119));
    }

    @Test
    void aDeadHeadIsNotPreferredAndTheOtherOneGoesOn() {
        RehearsedDive dive = fly("dead-head");
        assertTrue(bins(dive).stream().noneMatch(bin -> bin.head() == 1 && bin.portPressureDbar() < 48));
        assertTrue(bins(dive).stream().anyMatch(bin -> bin.head() == 0 && bin.portPressureDbar() < 1));
        assertTrue(dive.result().truth().track().stream()
                .filter(point -> point.pressureDbar() < 45)
                .allMatch(point -> point.preferredHead() == 0));
    }

    @Test
    void aClockThatJumpsChangesNoTimes() {
        long surfaced = fly("clock-jump").product().ledger().getSurfacedS();
        assertTrue(
                Math.abs(surfaced - ThinDive.fly().product().ledger().getSurfacedS()) <= 3, "surfaced at " + surfaced);
    }

    /** Without a fix after surfacing the dive is reported from the place where it began. */
    @Test
    void anHourWithoutFixIsReportedAfterHalfOfIt() {
        RehearsedDive dive = fly("late-fix");
        assertEquals(1, dive.product().ledger().getFixesCount());
        long first = dive.result().delivered().get(0).receivedMs();
        double waitedS = first / 1000.0 - dive.product().ledger().getSurfacedS();
        assertTrue(waitedS > 1800 && waitedS < 2200, "waited " + waitedS + " s");
    }

    /** Under its own number, with scans of both sides of the cut, the dive is whole but for the restart's few metres. */
    @Test
    void aCutOfPowerInTheRiseLosesAFewScans() {
        RehearsedDive dive = fly("power-cut");
        assertEquals(Set.of(13, 21), faults(dive));
        assertTrue(worst(dive) < 3, "off by standard uncertainties " + worst(dive));
        assertEquals(
                ThinDive.fly().product().ledger().getProfileStartS(),
                dive.product().ledger().getProfileStartS());
        int scans = 0;
        int whole = 0;
        for (int head = 0; head < 2; head++) {
            scans += dive.product().ledger().getHeads(head).getLightScans();
            whole += ThinDive.fly().product().ledger().getHeads(head).getLightScans();
        }
        assertTrue(scans > whole - 60 && scans <= whole, scans + " of " + whole);
        assertTrue(bins(dive).stream().anyMatch(bin -> bin.portPressureDbar() < 1));
        assertTrue(bins(dive).stream().anyMatch(bin -> bin.portPressureDbar() > 200));
    }

    /** A dwell is a pass of its own through its bins, with many scans. */
    @Test
    void aDwellIsAPassOfItsOwn() {
        PlanFile.Builder file = ThinDive.file().toBuilder();
        file.getPlanBuilder().getAscentBuilder().setDwellDbar(3).setDwellS(240);
        RehearsedDive dive = RehearsedDive.of(file.build(), Seeds.all(ThinDive.SEED), null, (stage, share) -> {});
        int dwelt = bins(dive).stream()
                .filter(bin -> bin.pass() == 1)
                .mapToInt(ProfileBin::used)
                .sum();
        assertTrue(dwelt > 2 * 180, "scans of the dwell " + dwelt);
        assertTrue(bins(dive).stream()
                .filter(bin -> bin.pass() == 1)
                .allMatch(bin -> Math.abs(bin.portPressureDbar() - 3) < 0.3));
        assertTrue(worst(dive) < 3, "off by standard uncertainties " + worst(dive));
    }

    @Test
    void threeDaysWithoutLinkLoseNothing() {
        RehearsedDive dive = fly("no-link");
        long first = dive.result().delivered().get(0).receivedMs();
        assertTrue(first / 1000.0 - dive.product().ledger().getSurfacedS() >= 3 * 86_400);
        assertEquals(ThinDive.fly().result().sent().size(), dive.result().sent().size());
        assertEquals(0, dive.result().account().messagesWaiting());
    }

    /** The heads warm by more than ten degrees on the way up, and their darks with them. */
    @Test
    void darksFollowTenDegrees() {
        RehearsedDive dive = fly("dark-drift");
        var cast = dive.result().truth();
        double warmest = Double.NEGATIVE_INFINITY;
        double coldest = Double.POSITIVE_INFINITY;
        for (int i = 0; i < cast.castPressureDbar().length; i++) {
            if (cast.castPressureDbar()[i] <= 250) {
                warmest = Math.max(warmest, cast.temperatureDegC()[i]);
                coldest = Math.min(coldest, cast.temperatureDegC()[i]);
            }
        }
        assertTrue(warmest - coldest > 10, "warms by " + (warmest - coldest));
    }
}
