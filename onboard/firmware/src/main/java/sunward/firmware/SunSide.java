package sunward.firmware;

import sunward.protocol.spectra.BinRecord;
import sunward.protocol.trig.Trig;

/**
 * Where the sun and the heads stand, moment by moment, and what follows: attitude, predicted shade, preferred head, and
 * what the witnesses find of the sensors.
 */
final class SunSide {
    /** Above this depth, m, direct sunlight shows if there is any; brightness is compared turn by turn from here anew. */
    private static final double SHALLOW_M = 40;

    /** Brightness less certain than this, one standard deviation, is not compared. */
    private static final double WORST_BRIGHTNESS = 0.02;

    private static final double CENTIDEGREES = 0.01;

    private final FloatPlan plan;
    private final Ledger ledger;
    private final SunDirection sun = new SunDirection();
    private final Attitude attitude = new Attitude();
    private final Attitude other = new Attitude();
    private final TiltWitness tilts = new TiltWitness();
    private final CompassWitness compass = new CompassWitness();
    private final HullShade shade;
    private final HullShade otherShade;
    private final HeadChooser chooser;
    private final int first;
    private final int second;
    private final double[] predicted = new double[CompassWitness.READINGS];
    private final double[] brightness;
    private final boolean[] bright;

    private boolean fixKnown;
    private long fixMs;
    private double latitudeDeg;
    private double longitudeDeg;
    private boolean judged;
    private long judgedMs;
    private int headingCdeg;
    private double portDepthM;
    private boolean shallow;

    SunSide(FloatPlan plan, Ledger ledger) {
        this.plan = plan;
        this.ledger = ledger;
        shade = new HullShade(plan);
        otherShade = new HullShade(plan);
        chooser = new HeadChooser(plan);
        brightness = new double[plan.heads.length];
        bright = new boolean[plan.heads.length];
        int a = -1;
        int b = -1;
        for (int h = 0; h < plan.heads.length; h++) {
            if (plan.heads[h].upwelling) {
                b = a >= 0 && b < 0 ? h : b;
                a = a < 0 ? h : a;
            }
        }
        first = a;
        second = b;
    }

    int ramBytes() {
        return 8 * (predicted.length + brightness.length) + bright.length;
    }

    /** Power has come. */
    void boot() {
        fixKnown = false;
        judged = false;
        tilts.clear();
        compass.clear();
    }

    void fix(long timeMs, double latitude, double longitude) {
        fixKnown = true;
        fixMs = timeMs;
        latitudeDeg = latitude;
        longitudeDeg = longitude;
        judged = false;
    }

    void trim(int sensor, int pitchCdeg, int rollCdeg) {
        tilts.trim(sensor, pitchCdeg, rollCdeg);
    }

    void diveBegins() {
        judged = false;
        shallow = false;
        tilts.diveBegins();
        compass.diveBegins();
        chooser.diveBegins();
        newInstant();
    }

    /** The heads are read together from now on. */
    void newInstant() {
        for (int h = 0; h < bright.length; h++) {
            bright[h] = false;
        }
    }

    /**
     * Judges the heads once per moment.
     *
     * @param timeMs the moment by the steadied clock
     * @return false when the moment has been judged before
     */
    boolean take(RawScan scan, long timeMs, double portDbar) {
        if (judged && judgedMs == timeMs) {
            return false;
        }
        portDepthM = portDbar; // one dbar taken as one metre
        headingCdeg = compass.usable(timeMs, scan.headingCdeg);
        tilts.take(scan, plan.tiltDisagreementDeg);
        int corrected = headingCdeg == RawScan.MISSING
                ? headingCdeg
                : (int) Math.floor(100 * CompassWitness.asReading(compass.reading(), headingCdeg * CENTIDEGREES) + 0.5);
        attitude.take(scan, corrected, plan.declinationDeg, plan.tiltDisagreementDeg, tilts);
        if (fixKnown) {
            sun.at(timeMs, latitudeDeg, longitudeDeg);
            shade.sun(sun, attitude);
        }
        chooser.judge(timeMs, fixKnown, fixMs, sun, attitude, shade, portDbar, compass.overcast());
        judged = true;
        judgedMs = timeMs;
        note();
        return true;
    }

    private void note() {
        if (tilts.bad() != TiltWitness.NOBODY) {
            ledger.fault(Ledger.TILT_SENSOR_1 + tilts.bad());
        }
        for (int sensor = 0; sensor < 2; sensor++) {
            if (tilts.missing(sensor)) {
                ledger.fault(Ledger.TILT_SENSOR_1 + sensor);
            }
        }
        if (compass.spike()) {
            ledger.fault(Ledger.HEADING_SPIKE);
        }
        if (compass.stuck()) {
            ledger.fault(Ledger.COMPASS_STUCK);
        }
        if (compass.reading() != CompassWitness.AS_READ) {
            ledger.fault(Ledger.COMPASS_REVERSED);
        }
    }

    /**
     * Takes the brightness that a head saw, for the cross-check of the compass.
     *
     * @param signal counts above dark, all channels
     * @param channels that make it up
     * @param octaves exposure as the shortest one doubled so often
     */
    void brightness(int head, double signal, int channels, int octaves) {
        FloatPlan.Head h = plan.heads[head];
        double noise = Math.sqrt(
                Math.max(0, signal) / h.gainElectronsPerCount + channels * h.readNoiseCounts * h.readNoiseCounts);
        if (signal <= 0 || noise > WORST_BRIGHTNESS * signal) {
            return;
        }
        bright[head] = true;
        brightness[head] = signal / (1 << octaves);
        boolean both = second >= 0 && bright[first] && bright[second];
        if (both && (head == first || head == second)) {
            compare();
        }
    }

    private void compare() {
        int fallback = chooser.fallback();
        boolean sunKnown = fixKnown && fallback != HeadChooser.SUN_DOWN && fallback != HeadChooser.SUN_NEAR_ZENITH;
        if (!sunKnown || headingCdeg == RawScan.MISSING || compass.spike()) {
            return;
        }
        if (!shallow && portDepthM < SHALLOW_M) {
            shallow = true;
            compass.startWindow();
        }
        double heading = headingCdeg * CENTIDEGREES;
        for (int k = 0; k < CompassWitness.READINGS; k++) {
            other.turnTo(attitude, CompassWitness.asReading(k, heading) + plan.declinationDeg);
            otherShade.sun(sun, other);
            predicted[k] = Trig.log((1 - loss(first)) / (1 - loss(second)));
        }
        compass.compare(heading, Trig.log(brightness[first] / brightness[second]), predicted, shallow);
        bright[first] = false;
        bright[second] = false;
    }

    private double loss(int h) {
        FloatPlan.Head head = plan.heads[h];
        double depth = portDepthM + other.down(head.armXM, head.armYM, head.armZM + plan.portAboveM);
        return Math.min(0.9, otherShade.loss(h, depth));
    }

    /** Degrees of a head from the anti-solar azimuth, -180 to 179, or {@link BinRecord#ANTISUN_UNKNOWN}. */
    int antisunDeg(FloatPlan.Head head) {
        int fallback = chooser.fallback();
        if (fallback == HeadChooser.NO_FIX || fallback == HeadChooser.NO_HEADING || fallback == HeadChooser.SUN_DOWN) {
            return BinRecord.ANTISUN_UNKNOWN;
        }
        double azimuth = attitude.azimuthDeg(head.armXM, head.armYM, head.armZM);
        int degrees = (int) Math.floor(Attitude.wrap180(azimuth - sun.azimuthDeg() - 180) + 0.5);
        return degrees == 180 ? -180 : degrees;
    }

    Attitude attitude() {
        return attitude;
    }

    HeadChooser chooser() {
        return chooser;
    }
}
