package sunward.firmware;

import java.util.Arrays;
import sunward.protocol.bits.BodyWriter;
import sunward.protocol.spectra.FirstLook;

/** The dive's record of itself: what happened, in counts; written as the body of the first and the last message. */
final class Ledger {
    /** A page of flash did not take its bytes, or the flash is full. */
    static final int FLASH_WRITE = 1;

    /** A head did not answer an exposure. */
    static final int SCAN_MISSING = 2;

    /** The pressure does not move while the float rises. */
    static final int STUCK_PRESSURE = 3;

    /** A head saturates at its shortest exposure. */
    static final int SATURATED_HEAD = 4;

    /** A bin had no dark at its exposure. */
    static final int NO_DARK = 5;

    /** A witness found the first tilt sensor wrong; the second is the next number. */
    static final int TILT_SENSOR_1 = 6;

    /** The compass does not turn while the float does. */
    static final int COMPASS_STUCK = 8;

    /** The heads' brightness contradicts the compass: it points the other way. */
    static final int COMPASS_REVERSED = 9;

    /** A heading jumped further than a float can turn. */
    static final int HEADING_SPIKE = 10;

    /** The pressure grows while the float rises. */
    static final int PRESSURE_REVERSED = 11;

    /** The clock went backward, or forward by more than any pause of the float. */
    static final int CLOCK_JUMP = 12;

    /** Power came back while the float was under water. */
    static final int RESTARTED_BELOW = 13;

    /** Events stayed away so long that the watchdog acted. */
    static final int WATCHDOG = 14;

    /** Deeper than the plan allows: the dive was broken off. */
    static final int TOO_DEEP = 15;

    /** A phase outlasted its time. */
    static final int TOO_LONG = 16;

    /** The float did not move though it was told to. */
    static final int NOT_MOVING = 17;

    /** The battery is below its reserve: no more dives. */
    static final int LOW_BATTERY = 18;

    /** No fix in time at the surface. */
    static final int NO_FIX = 19;

    /** The network took no message in a whole session. */
    static final int NO_LINK = 20;

    /** The power failed in the dive: what follows was made from what flash held. */
    static final int CUT_BY_POWER = 21;

    /** The memory for scans was full: the oldest made room. */
    static final int SCANS_DROPPED = 22;

    private static final int UNKNOWN = -1;

    /** Weather, and drift of a gauge over years (assumed), 1e-4 dbar: in air no sound gauge shows more. */
    private static final int MOST_TARE_E4 = 30_000;

    private static final int ENERGY_PARTS = 6;
    private static final int MOST_DIVES_LEFT = 99_999;
    private static final int MOST_FIXES = 4;

    private final FloatPlan plan;
    private final int[] lightScans;
    private final int[] darkScans;
    private final int[] saturatedScans;
    private final int[] tiltedScans;
    private final int[] shadedScans;
    private final int[] preferredScans;
    private final int[] binsMade;
    private final int[] binsSent;
    private final int[] fallbackScans = new int[HeadChooser.FALLBACKS];
    private final long[] fixTimeMs = new long[MOST_FIXES];
    private final int[] fixLatitudeE5 = new int[MOST_FIXES];
    private final int[] fixLongitudeE5 = new int[MOST_FIXES];
    private int fixes;
    private int dataMessages;
    private int repairMessages;
    private long scansDropped;
    private int faults;
    private int later;
    private boolean closed;
    private int batteryPercent = UNKNOWN;
    private long betweenMs;
    private long startMs;
    private long surfacedMs;
    private boolean tareBeforeKnown;
    private boolean tareAfterKnown;
    private int tareBeforeE4;
    private int tareAfterE4;

    Ledger(FloatPlan plan) {
        this.plan = plan;
        int heads = plan.heads.length;
        lightScans = new int[heads];
        darkScans = new int[heads];
        saturatedScans = new int[heads];
        tiltedScans = new int[heads];
        shadedScans = new int[heads];
        preferredScans = new int[heads];
        binsMade = new int[heads];
        binsSent = new int[heads];
    }

    int ramBytes() {
        return 4 * (8 * lightScans.length + fallbackScans.length + 2 * MOST_FIXES) + 8 * MOST_FIXES;
    }

    /** Opens the record of a dive; the last fix and the last air pressure before it stay. */
    void start(long timeMs) {
        betweenMs = fixKnown() && timeMs > fixMs() ? timeMs - fixMs() : plan.betweenDivesMs;
        startMs = timeMs;
        surfacedMs = timeMs;
        Arrays.fill(lightScans, 0);
        Arrays.fill(darkScans, 0);
        Arrays.fill(saturatedScans, 0);
        Arrays.fill(tiltedScans, 0);
        Arrays.fill(shadedScans, 0);
        Arrays.fill(preferredScans, 0);
        Arrays.fill(binsMade, 0);
        Arrays.fill(fallbackScans, 0);
        clearSent();
        scansDropped = 0;
        if (closed) {
            faults = later;
            later = 0;
            closed = false;
        }
        if (fixes > 0) {
            moveFix(fixes - 1, 0);
            fixes = 1;
        }
        if (tareAfterKnown && believed(tareAfterE4)) {
            tareBeforeKnown = true;
            tareBeforeE4 = tareAfterE4;
        }
        tareAfterKnown = false;
    }

    void surfaced(long timeMs) {
        surfacedMs = timeMs;
    }

    long startMs() {
        return startMs;
    }

    boolean fixKnown() {
        return fixes > 0;
    }

    /** Time and place of the last fix; 0 when there is none. */
    long fixMs() {
        return fixes > 0 ? fixTimeMs[fixes - 1] : 0;
    }

    int fixLatitudeE5() {
        return fixes > 0 ? fixLatitudeE5[fixes - 1] : 0;
    }

    int fixLongitudeE5() {
        return fixes > 0 ? fixLongitudeE5[fixes - 1] : 0;
    }

    boolean tareBeforeKnown() {
        return tareBeforeKnown;
    }

    /** Scans that made room for later ones. */
    void scansDropped(long scans) {
        scansDropped = scans;
        if (scans > 0) {
            fault(SCANS_DROPPED);
        }
    }

    void fix(long timeMs, int latitudeE5, int longitudeE5) {
        if (fixes == MOST_FIXES) {
            for (int i = 2; i < MOST_FIXES; i++) {
                moveFix(i, i - 1); // the first, from before the dive, and the latest are worth most
            }
            fixes--;
        }
        fixTimeMs[fixes] = timeMs;
        fixLatitudeE5[fixes] = latitudeE5;
        fixLongitudeE5[fixes] = longitudeE5;
        fixes++;
    }

    private void moveFix(int from, int to) {
        fixTimeMs[to] = fixTimeMs[from];
        fixLatitudeE5[to] = fixLatitudeE5[from];
        fixLongitudeE5[to] = fixLongitudeE5[from];
    }

    void tareBefore(int rawPressureE4Dbar) {
        tareBeforeKnown = believed(rawPressureE4Dbar);
        tareBeforeE4 = rawPressureE4Dbar;
    }

    void tareAfter(int rawPressureE4Dbar) {
        tareAfterKnown = true;
        tareAfterE4 = rawPressureE4Dbar;
    }

    private static boolean believed(int tareE4) {
        return Math.abs((long) tareE4) <= MOST_TARE_E4;
    }

    /** Raw port pressure in air before the dive, 1e-4 dbar; 0 when it was not taken. */
    int tareBeforeE4() {
        return tareBeforeKnown ? tareBeforeE4 : 0;
    }

    /** Raw port pressure in air, 1e-4 dbar, taken last; 0 when it never was. */
    int latestTareE4() {
        return tareAfterKnown && believed(tareAfterE4) ? tareAfterE4 : tareBeforeE4();
    }

    /** Tells a first look when and where it was taken. */
    void describe(FirstLook look) {
        look.surfacedS = surfacedMs / 1000;
        look.placeKnown = fixes > 0;
        if (fixes > 0) {
            look.latitudeCdeg = Math.floorDiv(fixLatitudeE5[fixes - 1] + 500, 1000);
            look.longitudeCdeg = Math.floorDiv(fixLongitudeE5[fixes - 1] + 500, 1000);
        }
        look.tareKnown = tareBeforeKnown;
        look.tareMdbar = Math.floorDiv(tareBeforeE4() + 5, 10);
    }

    /** The record has been written: what goes wrong from here on belongs to the next. */
    void packed() {
        closed = true;
    }

    /** Power has come: what was not written is gone. */
    void boot(long timeMs) {
        faults = 0;
        later = 0;
        closed = false;
        fixes = 0;
        tareBeforeKnown = false;
        tareAfterKnown = false;
        batteryPercent = UNKNOWN;
        start(timeMs);
    }

    void fault(int number) {
        if (closed) {
            later |= 1 << number;
        } else {
            faults |= 1 << number;
        }
    }

    /** Charge left, percent. */
    void battery(int percent) {
        batteryPercent = Math.max(0, Math.min(100, percent));
    }

    void dark(int head) {
        darkScans[head]++;
    }

    void light(int head, boolean saturated, boolean tilted, boolean shaded, boolean preferred, int fallback) {
        lightScans[head]++;
        saturatedScans[head] += saturated ? 1 : 0;
        tiltedScans[head] += tilted ? 1 : 0;
        shadedScans[head] += shaded ? 1 : 0;
        preferredScans[head] += preferred ? 1 : 0;
        fallbackScans[fallback]++;
    }

    void binMade(int head) {
        binsMade[head]++;
    }

    void clearSent() {
        Arrays.fill(binsSent, 0);
    }

    /** How many messages of data and of repair the dive is sent in. */
    void messages(int data, int repairs) {
        dataMessages = data;
        repairMessages = repairs;
    }

    void binsSent(int head, int bins) {
        binsSent[head] += bins;
    }

    /**
     * Writes the body; when the room is short the least needed parts stay out: energy, fallbacks and faults first, then
     * the heads' counts, then the digests, then all fixes but the latest.
     *
     * @return its length, or 0 when not even the least fits
     */
    int write(BodyWriter writer, byte[] body, int from, int to, int channelsPerSample, int unsentReason) {
        for (int leftOut = 0; leftOut <= 4; leftOut++) {
            writer.begin(body, from, to);
            writeFields(writer, channelsPerSample, unsentReason, leftOut);
            if (!writer.overflowed()) {
                return writer.length();
            }
        }
        return 0;
    }

    private void writeFields(BodyWriter writer, int channelsPerSample, int unsentReason, int leftOut) {
        writer.varint(1, startMs / 1000);
        writer.varint(2, surfacedMs / 1000);
        for (int i = leftOut < 4 ? 0 : Math.max(0, fixes - 1); i < fixes; i++) {
            int mark = writer.open(3);
            writer.varint(1, fixTimeMs[i] / 1000);
            writer.sint(2, fixLatitudeE5[i]);
            writer.sint(3, fixLongitudeE5[i]);
            writer.close(mark);
        }
        if (tareBeforeKnown) {
            writer.sint(4, Math.floorDiv(tareBeforeE4 + 5, 10));
        }
        if (tareAfterKnown) {
            writer.sint(5, Math.floorDiv(tareAfterE4 + 5, 10));
        }
        writer.sint(6, (long) Math.floor(plan.declinationDeg * 100 + 0.5));
        writer.varint(7, plan.declinationDay);
        if (leftOut < 3) {
            writer.bytes(8, plan.planDigest, 0, plan.planDigest.length);
            writer.bytes(9, plan.calibrationDigest, 0, plan.calibrationDigest.length);
        }
        for (int head = 0; leftOut < 2 && head < lightScans.length; head++) {
            writeHead(writer, head);
        }
        writer.varint(11, dataMessages);
        if (leftOut < 1) {
            writeEnergy(writer);
            int mark = writer.open(13);
            for (int scans : fallbackScans) {
                writer.packedVarint(scans);
            }
            writer.close(mark);
            mark = writer.open(14);
            for (int number = 0; number < 32; number++) {
                if ((faults >>> number & 1) != 0) {
                    writer.packedVarint(number);
                }
            }
            writer.close(mark);
        }
        writer.varint(15, channelsPerSample);
        writer.varint(16, unsentReason);
        writer.varint(17, repairMessages);
        if (scansDropped > 0) {
            writer.varint(18, scansDropped);
        }
        if (leftOut < 1 && batteryPercent != UNKNOWN) {
            writer.varint(19, batteryPercent);
            writer.varint(20, divesLeft());
        }
    }

    private void writeHead(BodyWriter writer, int head) {
        int mark = writer.open(10);
        writer.varint(1, head);
        writer.varint(2, lightScans[head]);
        writer.varint(3, darkScans[head]);
        writer.varint(4, saturatedScans[head]);
        writer.varint(5, tiltedScans[head]);
        writer.varint(6, shadedScans[head]);
        writer.varint(7, preferredScans[head]);
        writer.varint(8, binsMade[head]);
        writer.varint(9, binsSent[head]);
        writer.close(mark);
    }

    private void writeEnergy(BodyWriter writer) {
        int mark = writer.open(12);
        for (int part = 0; part < ENERGY_PARTS; part++) {
            writer.packedVarint(joules(energyJ(part)));
        }
        writer.close(mark);
    }

    /** Joules of the dive by the plan's figures: pump, heads, sensors, computer, modem, and between dives. */
    private double energyJ(int part) {
        double seconds = Math.max(0, surfacedMs - startMs) / 1000.0;
        return switch (part) {
            case 0 -> plan.pumpJ;
            case 1 -> plan.headsW * seconds;
            case 2 -> plan.sensorsW * seconds;
            case 3 -> plan.computerW * seconds;
            case 4 -> plan.messageJ * (dataMessages + repairMessages);
            default -> plan.sleepW * betweenMs / 1000.0;
        };
    }

    /** Dives like this one until the charge is down to the reserve with which the float dives no more. */
    private long divesLeft() {
        double each = 0;
        for (int part = 0; part < ENERGY_PARTS; part++) {
            each += energyJ(part);
        }
        double usable = plan.batteryJ * Math.max(0, batteryPercent - plan.lowBatteryPercent) / 100;
        return each > 0 ? (long) Math.min(MOST_DIVES_LEFT, usable / each) : 0;
    }

    private static long joules(double value) {
        return (long) Math.floor(Math.max(0, value) + 0.5);
    }

    int binsMade(int head) {
        return binsMade[head];
    }

    int binsSentOf(int head) {
        return binsSent[head];
    }

    int lightScansOf(int head) {
        return lightScans[head];
    }

    int darkScansOf(int head) {
        return darkScans[head];
    }
}
