package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/** Worked by hand from the definition: heading, pitch (bow up), roll (starboard down). */
class AttitudeTest {
    private final Attitude attitude = new Attitude();

    private void take(double heading, double pitch, double roll) {
        TestPlans.take(attitude, TestPlans.scan(16, heading, pitch, roll), 0, 3);
    }

    @Test
    void fiveDegreesOfBowUpLiftTheArmByEightCentimetres() {
        take(0, 5, 0);
        assertEquals(-0.95 * 0.0871557, attitude.down(0.95, 0, 0), 1e-6); // sin 5 degrees
        assertEquals(0.083, -attitude.down(0.95, 0, 0), 5e-4);
        assertEquals(0.95 * 0.0871557 + 0.25 * 0.9961947, attitude.down(-0.95, 0, 0.25), 1e-6);
    }

    @Test
    void starboardDownLowersTheStarboardArm() {
        take(123, 0, 10);
        assertEquals(0.5 * 0.1736482, attitude.down(0, 0.5, 0), 1e-6); // sin 10 degrees
        assertEquals(10, attitude.tiltDeg(), 1e-6);
    }

    @Test
    void headingTurnsTheArmsClockwise() {
        take(30, 0, 0);
        assertEquals(30, attitude.azimuthDeg(1, 0, 0), 1e-9);
        assertEquals(120, attitude.azimuthDeg(0, 1, 0), 1e-9);
        assertEquals(210, attitude.azimuthDeg(-1, 0, 0), 1e-9);
    }

    /** Order of turns: with the bow straight up, roll turns starboard from east towards where the keel points, north. */
    @Test
    void rollIsTurnedFirst() {
        take(0, 90, 30);
        assertEquals(60, attitude.azimuthDeg(0, 1, 0), 0.01);
        assertEquals(-1, attitude.down(1, 0, 0), 1e-9);
    }

    @Test
    void declinationIsAddedEastPositive() {
        TestPlans.take(attitude, TestPlans.scan(16, 355, 0, 0), 12.5, 3);
        assertEquals(7.5, attitude.headingTrueDeg(), 1e-9);
    }

    @Test
    void turningIntoTheHullFrameIsTheInverse() {
        take(77, -8, 21);
        double x = attitude.hullX(0.3, -0.5, 0.7);
        double y = attitude.hullY(0.3, -0.5, 0.7);
        double z = attitude.hullZ(0.3, -0.5, 0.7);
        assertEquals(0.7, attitude.down(x, y, z), 1e-12);
        double azimuth = Math.toDegrees(Math.atan2(-0.5, 0.3)) + 360;
        assertEquals(azimuth, attitude.azimuthDeg(x, y, z), 1e-9);
    }

    @Test
    void tiltSensorsThatDisagreeAreInDoubt() {
        RawScan scan = TestPlans.scan(16, 0, 4, 0);
        scan.pitchCdeg[1] = 200;
        attitude.take(scan, scan.headingCdeg, 0, 3, new TiltWitness());
        assertFalse(attitude.tiltInDoubt());
        assertEquals(3, attitude.tiltDeg(), 1e-6);
        scan.rollCdeg[1] = 250;
        attitude.take(scan, scan.headingCdeg, 0, 3, new TiltWitness());
        assertTrue(attitude.tiltInDoubt());
    }

    @Test
    void missingSensorsAreNamedNotInvented() {
        RawScan scan = TestPlans.scan(16, 0, 4, 0);
        scan.pitchCdeg[0] = RawScan.MISSING;
        attitude.take(scan, scan.headingCdeg, 0, 3, new TiltWitness());
        assertTrue(attitude.tiltInDoubt());
        assertEquals(4, attitude.tiltDeg(), 1e-6);
        scan.rollCdeg[1] = RawScan.MISSING;
        scan.headingCdeg = RawScan.MISSING;
        attitude.take(scan, scan.headingCdeg, 0, 3, new TiltWitness());
        assertEquals(0, attitude.tiltDeg(), 1e-9);
        assertFalse(attitude.headingKnown());
    }
}
