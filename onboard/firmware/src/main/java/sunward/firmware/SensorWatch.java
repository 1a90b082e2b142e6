package sunward.firmware;

import java.util.Arrays;

/** Notices gauge, clock and heads that fail, from the events themselves, and notes them in the ledger. */
final class SensorWatch {
    /** Light scans with one and the same raw pressure after which the gauge counts as stuck. */
    private static final int STUCK_SCANS = 60;

    /** The gauge counts as reversed when it reads deeper than at the start of the rise by this, 1e-4 dbar. */
    private static final int REVERSED_E4 = 50_000;

    /** Saturated light scans in a row at the shortest exposure after which the head counts as saturated. */
    private static final int SATURATED_SCANS = 10;

    /** Exposures in a row without an answer after which a head counts as silent. */
    private static final int SILENT_EXPOSURES = 10;

    /** The clock may stand still or run ahead by so much between two instants, ms. */
    private static final long LONGEST_PAUSE_MS = 3_600_000;

    private final Ledger ledger;
    private final boolean[] pending;
    private final int[] unanswered;
    private final int[] saturatedInARow;
    private int startE4;
    private boolean startKnown;
    private int lastE4;
    private int same;
    private int scansSame;
    private boolean clockKnown;
    private long lastMs;
    private long jumpMs;

    SensorWatch(int heads, Ledger ledger) {
        this.ledger = ledger;
        pending = new boolean[heads];
        unanswered = new int[heads];
        saturatedInARow = new int[heads];
    }

    int ramBytes() {
        return pending.length + 4 * (unanswered.length + saturatedInARow.length);
    }

    void diveBegins() {
        Arrays.fill(pending, false);
        Arrays.fill(unanswered, 0);
        Arrays.fill(saturatedInARow, 0);
        startKnown = false;
        same = 0;
        scansSame = 0;
        clockKnown = false;
    }

    /** A fix has set the clock right. */
    void clockSet() {
        jumpMs = 0;
        clockKnown = false;
    }

    /** Time without the jumps that the clock made since it was last set, ms. */
    long steady(long timeMs) {
        return timeMs - jumpMs;
    }

    /** Takes the time of an instant in a rise; a jump is taken off from then on. */
    void instant(long timeMs, long expectedStepMs) {
        long away = timeMs - lastMs;
        if (clockKnown && (away < 0 || away > LONGEST_PAUSE_MS)) {
            jumpMs += away - expectedStepMs;
            ledger.fault(Ledger.CLOCK_JUMP);
        }
        clockKnown = true;
        lastMs = timeMs;
    }

    /** A head is exposed. */
    void exposed(int head) {
        if (pending[head]) {
            ledger.fault(Ledger.SCAN_MISSING);
            unanswered[head] = Math.min(unanswered[head] + 1, SILENT_EXPOSURES);
        }
        pending[head] = true;
    }

    /** A head has answered; true when none is awaited any more. */
    boolean answered(int head) {
        pending[head] = false;
        unanswered[head] = 0;
        boolean open = false;
        for (int h = 0; h < pending.length; h++) {
            open |= pending[h] && !silent(h);
        }
        return !open;
    }

    /** True for a head that has not answered for long. */
    boolean silent(int head) {
        return unanswered[head] >= SILENT_EXPOSURES;
    }

    /** Takes a scan's raw pressure. */
    void pressure(int pressureE4) {
        if (!startKnown) {
            startKnown = true;
            startE4 = pressureE4;
        }
        same = pressureE4 == lastE4 ? same + 1 : 0;
        scansSame = same;
        lastE4 = pressureE4;
        if (same >= STUCK_SCANS) {
            ledger.fault(Ledger.STUCK_PRESSURE);
        }
        if (pressureE4 - startE4 > REVERSED_E4) {
            ledger.fault(Ledger.PRESSURE_REVERSED);
        }
    }

    /** How many scans up to the last one share a pressure that is not to be believed; 0: the gauge works. */
    int scansStuck() {
        return scansSame >= STUCK_SCANS ? scansSame + 1 : 0;
    }

    void light(int head, int exposureCode, boolean saturated) {
        saturatedInARow[head] =
                saturated && exposureCode == 0 ? Math.min(saturatedInARow[head] + 1, SATURATED_SCANS) : 0;
        if (saturatedInARow[head] >= SATURATED_SCANS) {
            ledger.fault(Ledger.SATURATED_HEAD);
        }
    }
}
