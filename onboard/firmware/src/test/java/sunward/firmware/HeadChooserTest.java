package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import org.junit.jupiter.api.Test;

class HeadChooserTest {
    private static final long EPOCH_MS = Instant.parse("2000-01-01T00:00:00Z").toEpochMilli();
    private static final long NOON = Instant.parse("2026-12-15T02:27:00Z").toEpochMilli() - EPOCH_MS;

    private final FloatPlan plan = TestPlans.reference(2, 16);
    private final SunDirection sun = new SunDirection();
    private final Attitude attitude = new Attitude();
    private final HullShade shade = new HullShade(plan);
    private final HeadChooser chooser = new HeadChooser(plan);

    private void judge(RawScan scan, long timeMs, boolean fix, long fixMs) {
        attitude.take(scan, scan.headingCdeg, 0, plan.tiltDisagreementDeg, new TiltWitness());
        sun.at(timeMs, 11, 142);
        shade.sun(sun, attitude);
        chooser.judge(timeMs, fix, fixMs, sun, attitude, shade, 5, false);
    }

    private void judge(double heading) {
        judge(TestPlans.scan(16, heading, 0, 0), NOON, true, NOON);
    }

    @Test
    void prefersTheSunSideAndMarksTheShadedHead() {
        judge(0); // the sun stands in the south: head A points away from it
        assertEquals(1, chooser.preferred());
        assertTrue(chooser.shaded(0));
        assertFalse(chooser.shaded(1));
        judge(180);
        assertEquals(0, chooser.preferred());
        assertTrue(chooser.shaded(1));
        assertEquals(HeadChooser.NONE, chooser.fallback());
    }

    /** Neither head is shaded near the terminator: the first choice must still be the one nearer to the sun. */
    @Test
    void theFirstChoiceBetweenUnshadedHeadsIsTheSunSide() {
        for (int heading : new int[] {75, 105, 255, 285}) {
            HeadChooser fresh = new HeadChooser(plan);
            TestPlans.take(attitude, TestPlans.scan(16, heading, 0, 0), 0, plan.tiltDisagreementDeg);
            sun.at(NOON, 11, 142); // in the south; head A points along the heading
            shade.sun(sun, attitude);
            fresh.judge(NOON, true, NOON, sun, attitude, shade, 5, false);
            assertEquals(0, fresh.loss(0), "heading " + heading);
            assertEquals(0, fresh.loss(1), "heading " + heading);
            assertEquals(heading == 105 || heading == 255 ? 0 : 1, fresh.preferred(), "heading " + heading);
        }
    }

    @Test
    void atMostOneSwitchPerHalfTurn() {
        judge(90);
        int switches = 0;
        int before = chooser.preferred();
        for (int heading = 90; heading < 90 + 360 * 5; heading++) {
            judge(heading + 0.4 * (heading % 2)); // a heading that jitters
            switches += chooser.preferred() == before ? 0 : 1;
            before = chooser.preferred();
        }
        assertTrue(switches >= 9 && switches <= 10, "switches in five turns: " + switches);
    }

    @Test
    void everyFallbackHasItsCause() {
        RawScan noHeading = TestPlans.scan(16, 0, 0, 0);
        noHeading.headingCdeg = RawScan.MISSING;
        RawScan doubt = TestPlans.scan(16, 0, 0, 0);
        doubt.pitchCdeg[0] = 400;
        RawScan good = TestPlans.scan(16, 0, 0, 0);
        judge(good, NOON, false, 0);
        assertEquals(HeadChooser.NO_FIX, chooser.fallback());
        assertTrue(Double.isNaN(chooser.loss(0)));
        assertFalse(chooser.shaded(0));
        judge(noHeading, NOON, true, NOON);
        assertEquals(HeadChooser.NO_HEADING, chooser.fallback());
        assertFalse(chooser.shaded(0) || chooser.shaded(1));
        judge(doubt, NOON, true, NOON);
        assertEquals(HeadChooser.TILT_IN_DOUBT, chooser.fallback());
        assertTrue(chooser.loss(0) > 0);
        judge(good, NOON + 43_200_000, true, NOON);
        assertEquals(HeadChooser.SUN_DOWN, chooser.fallback());
        assertEquals(0, chooser.loss(0));
        judge(good, NOON, true, NOON - 37 * 3_600_000L);
        assertEquals(HeadChooser.STALE_FIX, chooser.fallback());
        plan.declinationDay -= 401;
        judge(good, NOON, true, NOON);
        assertEquals(HeadChooser.STALE_DECLINATION, chooser.fallback());
        plan.sunNearZenithDeg = 60;
        judge(good, NOON, true, NOON);
        assertEquals(HeadChooser.SUN_NEAR_ZENITH, chooser.fallback());
    }

    @Test
    void withoutHeadingTheLastPreferenceStays() {
        judge(0);
        int before = chooser.preferred();
        RawScan none = TestPlans.scan(16, 180, 0, 0);
        none.headingCdeg = RawScan.MISSING;
        judge(none, NOON, true, NOON);
        assertEquals(before, chooser.preferred());
    }
}
