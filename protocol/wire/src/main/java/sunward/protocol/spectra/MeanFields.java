package sunward.protocol.spectra;

import java.util.Arrays;
import sunward.protocol.bits.AdaptiveIntegers;
import sunward.protocol.bits.BitCoder;
import sunward.protocol.bits.BitModels;

/**
 * Fields of bins for codec 2: means over a few scans come in quanta well below what those scans know, numbers, counts of
 * scans, exposures and flags exactly. A quantum counts from what is expected, so errors do not add up from bin to bin.
 */
final class MeanFields extends BinFields {
    private static final int PRIOR_AGE = 12;

    /** Quanta of depths, 0.001 dbar and mm, to 10, to 100 and beyond 100 dbar. */
    private static final int[] DEPTH_QUANTA = {2, 16, 64};

    private static final int[] WIDTHS = {200, 1000, 2000};
    private static final int TIME_QUANTUM = 16;
    private static final int TILT_QUANTUM = 100;
    private static final int TURN_QUANTUM = 8;
    private static final int DARK_QUANTUM = 16;
    private static final int UNKNOWN_TURN = 180;

    /** Depths' deviations come in half octaves, scatter in octaves. */
    private static final int MOST_SD = SpreadCode.UNKNOWN / 2 - 1;

    private static final int UNKNOWN_SPREAD = SpreadCode.UNKNOWN / 4;

    private final int[] spread = new int[BinRecord.SPREAD_BANDS];
    private boolean any;
    private int track;
    private int width;
    private int turn;
    private int firstPressure;
    private int firstTime;

    @Override
    void reset(BitModels models, int baseTime) {
        super.reset(models, baseTime);
        Arrays.fill(spread, 0);
        any = false;
        track = 0;
        width = 0;
        turn = 0;
    }

    @Override
    void prepare(BitModels models, boolean first) {
        int from = first ? BasisStart.FIRST_FIELDS : BasisStart.LATER_FIELDS;
        for (int field = 0; field < FIELDS; field++) {
            AdaptiveIntegers.prepare(models, field * AdaptiveIntegers.MODELS, BasisStart.STOP[from + field], PRIOR_AGE);
        }
    }

    @Override
    void take(BinRecord bin, int stepCode) {
        super.take(bin, stepCode);
        value[DEPTH_SD] = SpreadCode.of(value[DEPTH_SD]) / 2;
        for (int band = 0; band < BinRecord.SPREAD_BANDS; band++) {
            value[SPREAD + band] /= 4;
        }
    }

    @Override
    void give(BinRecord bin) {
        super.give(bin);
        bin.depthSdMm = SpreadCode.middle(2 * value[DEPTH_SD], 2 * value[DEPTH_SD] + 1);
        for (int band = 0; band < BinRecord.SPREAD_BANDS; band++) {
            int code = 4 * value[SPREAD + band];
            bin.spread[band] =
                    code == SpreadCode.UNKNOWN ? SpreadCode.value(code) : SpreadCode.middle(code + 1, code + 2);
        }
    }

    @Override
    boolean codeField(BitCoder coder, BitModels models, int field) {
        int expected = expected(field);
        int quantum = quantum(field);
        int most = field == DEPTH_SD ? MOST_SD : field >= SPREAD && field < SPECTRUM ? UNKNOWN_SPREAD : MAX[field];
        int steps = steps(field, expected, quantum, most);
        steps = AdaptiveIntegers.code(coder, models, field * AdaptiveIntegers.MODELS, steps);
        long is = expected + (long) steps * quantum;
        if (field == ANTISUN) {
            boolean sound = steps == UNKNOWN_TURN || Math.abs(steps) <= UNKNOWN_TURN / TURN_QUANTUM;
            is = steps == UNKNOWN_TURN ? UNKNOWN_TURN : sound ? turned((int) is) : most + 1;
        }
        value[field] = (int) is; // time goes on modulo 2^32
        return field == TIME || is >= MIN[field] && is <= most;
    }

    /** Quanta from what is expected to the value, rounded, but not beyond the field's range. */
    private int steps(int field, int expected, int quantum, int most) {
        if (field == ANTISUN && value[field] == UNKNOWN_TURN) {
            return UNKNOWN_TURN;
        }
        int modulo = value[field] - expected;
        long difference = field == ANTISUN ? turned(modulo) : field == TIME ? modulo : (long) value[field] - expected;
        int steps = (int) Math.floorDiv(difference + quantum / 2, (long) quantum);
        if (field == ANTISUN || field == TIME) {
            return steps;
        }
        long is = expected + (long) steps * quantum;
        return is > most ? steps - 1 : is < MIN[field] ? steps + 1 : steps;
    }

    /** Held to -180 .. 179 by whole turns. */
    private static int turned(int degrees) {
        return Math.floorMod(degrees + 180, 360) - 180;
    }

    private int quantum(int field) {
        return switch (field) {
            case PRESSURE -> DEPTH_QUANTA[zone(expected(PRESSURE))];
            case OFFSET -> DEPTH_QUANTA[zone(value[PRESSURE])];
            case TIME -> TIME_QUANTUM;
            case TILT -> TILT_QUANTUM;
            case ANTISUN -> TURN_QUANTUM;
            case DARK -> DARK_QUANTUM;
            default -> 1;
        };
    }

    private static int zone(int pressureMdbar) {
        return pressureMdbar < 10_000 ? 0 : pressureMdbar < 100_000 ? 1 : 2;
    }

    @Override
    int expected(int field) {
        return switch (field) {
            case PRESSURE -> !any ? usual(value[BIN]) : clamp(track + (long) width * (value[BIN] - previous[BIN]));
            case TIME -> previous[TIME] + seconds(value[PRESSURE] - previous[PRESSURE]);
            case ANTISUN -> previous[ANTISUN] == UNKNOWN_TURN ? 0 : turned(previous[ANTISUN] + turn);
            case SPREAD, SPREAD + 1, SPREAD + 2 -> expectedSpread(field - SPREAD);
            default -> super.expected(field);
        };
    }

    /** Pressure of a bin of the reference float's plan: 50 bins of 0.2 dbar, 90 of 1, then 2 dbar. */
    private static int usual(int bin) {
        return bin <= 50 ? 200 * bin - 100 : bin <= 140 ? 1000 * bin - 40_500 : 2000 * bin - 181_000;
    }

    /** Time that a change of pressure should take: as since the body's first bin, or at a tenth of a metre per second. */
    private int seconds(int moved) {
        long since = (long) previous[PRESSURE] - firstPressure;
        if (!any || Math.abs(since) < 100) {
            return any ? -moved / (previous[PRESSURE] < 20_000 ? 30 : 100) : 0;
        }
        long seconds = (previous[TIME] - firstTime) * (long) moved / since;
        return Math.abs(seconds) < 1 << 24 ? (int) seconds : 0;
    }

    private static int clamp(long pressure) {
        return (int) Math.max(MIN[PRESSURE], Math.min(MAX[PRESSURE], pressure));
    }

    /** The running mean of the third, and a share of what the lower third is off by. */
    private int expectedSpread(int third) {
        if (previous[SPREAD + third] == UNKNOWN_SPREAD) {
            return UNKNOWN_SPREAD;
        }
        int mean = spread[third];
        if (third == 1 && value[SPREAD] != UNKNOWN_SPREAD) {
            mean += (16 * value[SPREAD] - spread[0]) / 2;
        }
        return Math.max(0, Math.min(UNKNOWN_SPREAD, mean + 8 >> 4));
    }

    @Override
    void advance(BitModels models, boolean first) {
        for (int third = 0; third < BinRecord.SPREAD_BANDS; third++) {
            int code = value[SPREAD + third];
            if (code != UNKNOWN_SPREAD) {
                spread[third] = any ? spread[third] + (16 * code - spread[third]) / 4 : 16 * code;
            }
        }
        boolean turning = any && value[ANTISUN] != UNKNOWN_TURN && previous[ANTISUN] != UNKNOWN_TURN;
        turn = turning ? (turn + turned(value[ANTISUN] - previous[ANTISUN])) / 2 : 0;
        follow();
        super.advance(models, first);
        any = true;
    }

    /** Where the bin of a number should lie in pressure. */
    private void follow() {
        int bins = value[BIN] - previous[BIN];
        int pressure = value[PRESSURE];
        if (!any) {
            track = pressure;
            width = WIDTHS[zone(pressure)];
            firstPressure = pressure;
            firstTime = value[TIME];
        } else if (bins != 0) {
            long off = pressure - (track + (long) width * bins);
            boolean lost = Math.abs(off) > Math.abs((long) width * bins) / 2;
            width = lost ? (pressure - previous[PRESSURE]) / bins : width + (int) (off / 6 / bins);
            track = lost ? pressure : clamp(pressure - off * 2 / 3);
        }
    }
}
