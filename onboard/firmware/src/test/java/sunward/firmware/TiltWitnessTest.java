package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Geometry derived here: the field's angle to a turned hull, by full rotation matrices; no published figure exists. */
class TiltWitnessTest {
    private static final double LIMIT_DEG = 3;

    private final TiltWitness witness = new TiltWitness();
    private final Random random = new Random(4);

    /** Dip of a field of this inclination as felt by a hull that lies so, degrees. */
    private static double felt(double inclinationDeg, double heading, double pitch, double roll) {
        Attitude attitude = new Attitude();
        attitude.take(heading, pitch, roll);
        double i = Math.toRadians(inclinationDeg);
        return Math.toDegrees(Math.asin(attitude.hullZ(Math.cos(i), 0, Math.sin(i))));
    }

    /** One moment of a swinging, spinning hull; the second sensor is off by a bias, or frozen at 0. */
    private RawScan moment(int t, double inclination, double pitchBias, boolean frozen) {
        double pitch = 1.5 * Math.sin(t / 3.1) + 0.6 * random.nextGaussian();
        double roll = 1.5 * Math.cos(t / 4.7) + 0.6 * random.nextGaussian();
        double heading = t * 0.8 % 360;
        RawScan scan = TestPlans.scan(1, heading, pitch, roll);
        scan.fieldDipCdeg = (int) Math.rint(100 * felt(inclination, heading, pitch, roll) + 10 * random.nextGaussian());
        scan.pitchCdeg[1] = frozen ? 0 : scan.pitchCdeg[1] + (int) (100 * pitchBias);
        scan.rollCdeg[1] = frozen ? 0 : scan.rollCdeg[1];
        return scan;
    }

    private int momentsUntilNamed(double inclination, double bias, boolean frozen) {
        for (int t = 0; t < 200; t++) {
            witness.take(moment(t, inclination, 0, false), LIMIT_DEG);
            assertEquals(TiltWitness.NOBODY, witness.bad());
        }
        for (int t = 200; t < 1000; t++) {
            witness.take(moment(t, inclination, bias, frozen), LIMIT_DEG);
            if (witness.bad() != TiltWitness.NOBODY) {
                assertEquals(1, witness.bad());
                return t - 200;
            }
        }
        return Integer.MAX_VALUE;
    }

    @ParameterizedTest
    @CsvSource({"5", "-35", "60", "-70"})
    void theDipNamesASensorThatSlipped(double inclination) {
        assertTrue(momentsUntilNamed(inclination, 8, false) < 450, "within one turn");
    }

    @ParameterizedTest
    @CsvSource({"5", "-35", "60"})
    void theDipNamesASensorThatFroze(double inclination) {
        assertTrue(momentsUntilNamed(inclination, 0, true) < 450, "within one turn");
        assertTrue(witness.vouches(0, LIMIT_DEG));
        assertFalse(witness.vouches(1, LIMIT_DEG));
    }

    @Test
    void nearTheMagneticPoleTheTrimNamesIt() {
        for (int i = 0; i < 32; i++) {
            witness.trim(0, random.nextInt(100) - 50, random.nextInt(100) - 50);
            witness.trim(1, random.nextInt(100) - 50, random.nextInt(100) - 50);
        }
        assertTrue(momentsUntilNamed(87, 8, false) < 450);
    }

    @Test
    void withoutWitnessesNobodyIsNamedAndTheTiltIsInDoubt() {
        assertEquals(Integer.MAX_VALUE, momentsUntilNamed(87, 8, false));
        Attitude attitude = new Attitude();
        RawScan last = moment(1000, 87, 8, false);
        attitude.take(last, last.headingCdeg, 0, LIMIT_DEG, witness);
        assertTrue(attitude.tiltInDoubt());
    }

    @Test
    void theGoodSensorIsUsedAloneAndATiltIsNoLongerInDoubt() {
        momentsUntilNamed(5, 8, false);
        RawScan scan = moment(999, 5, 8, false);
        Attitude attitude = new Attitude();
        attitude.take(scan, scan.headingCdeg, 0, LIMIT_DEG, witness);
        assertFalse(attitude.tiltInDoubt());
        Attitude truth = new Attitude();
        truth.take(0, scan.pitchCdeg[0] / 100.0, scan.rollCdeg[0] / 100.0);
        assertEquals(truth.tiltDeg(), attitude.tiltDeg(), 1e-9);
    }

    @Test
    void aMissingPartnerIsNoDoubtWhenTheDipVouches() {
        RawScan scan = null;
        for (int t = 0; t < 400; t++) {
            scan = moment(t, 5, 0, false);
            if (t > 100) {
                scan.pitchCdeg[0] = RawScan.MISSING;
            }
            witness.take(scan, LIMIT_DEG);
        }
        Attitude attitude = new Attitude();
        attitude.take(scan, scan.headingCdeg, 0, LIMIT_DEG, witness);
        assertFalse(attitude.tiltInDoubt());
        assertEquals(TiltWitness.NOBODY, witness.bad());
    }
}
