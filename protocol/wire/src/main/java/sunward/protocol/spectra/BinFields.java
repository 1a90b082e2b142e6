package sunward.protocol.spectra;

import sunward.protocol.bits.AdaptiveIntegers;
import sunward.protocol.bits.BitCoder;
import sunward.protocol.bits.BitModels;

/**
 * Everything of a bin but its spectrum, each field as its difference from what the bins before lead one to expect.
 * Values beyond a field's range are held to it on writing and refused on reading.
 */
class BinFields {
    static final int STEP_CODE = 0;
    static final int BIN = 1;
    static final int PASS = 2;
    static final int SHADED = 3;
    static final int EXPOSURE = 4;
    static final int MIXED = 5;
    static final int USED = 6;
    static final int REJECTED = 7;
    static final int SHADED_SCANS = 8;
    static final int PRESSURE = 9;
    static final int TIME = 10;
    static final int OFFSET = 11;
    static final int DEPTH_SD = 12;
    static final int TILT = 13;
    static final int ANTISUN = 14;
    static final int FALLBACK = 15;
    static final int DARK = 16;
    static final int DARK_SCANS = 17;
    static final int SPREAD = 18;
    static final int SPECTRUM = 21;
    static final int FIELDS = 22;

    /** Bits that the fields own. */
    static final int MODELS = FIELDS * AdaptiveIntegers.MODELS;

    /** {@link #ANTISUN} when not known; {@link BinRecord#ANTISUN_UNKNOWN} in the record. */
    private static final int NO_ANTISUN = 180;

    static final int[] MIN = {
        0, 0, 0, 0, 0, 0, 0, 0, 0, -(1 << 23), Integer.MIN_VALUE, -(1 << 15), 0, 0, -180, 0, -(1 << 16), 0, 0, 0, 0, 0
    };
    static final int[] MAX = {
        15,
        1023,
        3,
        1,
        15,
        1,
        4095,
        4095,
        4095,
        (1 << 23) - 1,
        Integer.MAX_VALUE,
        (1 << 15) - 1,
        65535,
        18000,
        180,
        15,
        (1 << 17) - 1,
        255,
        SpreadCode.UNKNOWN,
        SpreadCode.UNKNOWN,
        SpreadCode.UNKNOWN,
        1
    };

    /** Size class to expect of each difference, in a body's first bin and in the others. */
    static final int[] TYPICAL_FIRST = {2, 7, -3, -3, 3, -3, 4, 0, 0, 15, -3, 9, 6, 8, 7, -3, 8, 3, 5, 3, 3, 1};

    static final int[] TYPICAL_NEXT = {-3, -1, -3, -3, -2, -3, 2, -1, -1, 5, 2, 3, 4, 7, 5, -3, 1, -1, 3, 3, 3, -3};

    final int[] value = new int[FIELDS];
    final int[] previous = new int[FIELDS];
    int binStep;
    int pressureStep;
    int timeStep;

    /** Forgets every bin; {@code baseTime} is what the first bin's time is coded against. */
    void reset(BitModels models, int baseTime) {
        java.util.Arrays.fill(previous, 0);
        previous[TIME] = baseTime;
        binStep = 1;
        pressureStep = 0;
        timeStep = 0;
        prepare(models, true);
    }

    /** Sets the sources to what is usual in a body's first bin, or in the others. */
    void prepare(BitModels models, boolean first) {
        for (int field = 0; field < FIELDS; field++) {
            int typical = first ? TYPICAL_FIRST[field] : TYPICAL_NEXT[field];
            AdaptiveIntegers.prepare(models, field * AdaptiveIntegers.MODELS, typical);
        }
    }

    /** A field of the bin at hand. */
    int get(int field) {
        return value[field];
    }

    /** A field of the bin before. */
    int before(int field) {
        return previous[field];
    }

    /** Takes the fields of a record, held to their ranges. */
    void take(BinRecord bin, int stepCode) {
        value[STEP_CODE] = stepCode;
        value[BIN] = bin.bin;
        value[PASS] = bin.pass;
        value[SHADED] = bin.shaded ? 1 : 0;
        value[EXPOSURE] = bin.exposureCode;
        value[MIXED] = bin.mixedExposure ? 1 : 0;
        value[USED] = bin.used;
        value[REJECTED] = bin.rejected;
        value[SHADED_SCANS] = bin.shadedScans;
        value[PRESSURE] = bin.pressureMdbar;
        value[TIME] = (int) Math.max(0, Math.min(0xFFFFFFFFL, bin.timeS));
        value[OFFSET] = bin.offsetMm;
        value[DEPTH_SD] = bin.depthSdMm;
        value[TILT] = bin.tiltCdeg;
        value[ANTISUN] = bin.antisunDeg == BinRecord.ANTISUN_UNKNOWN ? NO_ANTISUN : Math.min(179, bin.antisunDeg);
        value[FALLBACK] = bin.fallback;
        value[DARK] = bin.darkCounts;
        value[DARK_SCANS] = bin.darkScans;
        for (int band = 0; band < BinRecord.SPREAD_BANDS; band++) {
            value[SPREAD + band] = SpreadCode.of(bin.spread[band]);
        }
        value[SPECTRUM] = bin.samples > 0 ? 1 : 0;
        for (int field = 0; field < FIELDS; field++) {
            value[field] = Math.max(MIN[field], Math.min(MAX[field], value[field]));
        }
    }

    /** Gives the fields to a record; its samples are set by the spectrum. */
    void give(BinRecord bin) {
        bin.bin = value[BIN];
        bin.pass = value[PASS];
        bin.shaded = value[SHADED] == 1;
        bin.exposureCode = value[EXPOSURE];
        bin.mixedExposure = value[MIXED] == 1;
        bin.used = value[USED];
        bin.rejected = value[REJECTED];
        bin.shadedScans = value[SHADED_SCANS];
        bin.pressureMdbar = value[PRESSURE];
        bin.timeS = value[TIME] & 0xFFFFFFFFL;
        bin.offsetMm = value[OFFSET];
        bin.depthSdMm = value[DEPTH_SD];
        bin.tiltCdeg = value[TILT];
        bin.antisunDeg = value[ANTISUN] == NO_ANTISUN ? BinRecord.ANTISUN_UNKNOWN : value[ANTISUN];
        bin.fallback = value[FALLBACK];
        bin.darkCounts = value[DARK];
        bin.darkScans = value[DARK_SCANS];
        for (int band = 0; band < BinRecord.SPREAD_BANDS; band++) {
            bin.spread[band] = SpreadCode.value(value[SPREAD + band]);
        }
    }

    /** Codes the fields in their order; false when a value read is out of its range. */
    boolean code(BitCoder coder, BitModels models) {
        boolean sound = true;
        for (int field = 0; field < FIELDS && sound; field++) {
            sound = codeField(coder, models, field);
        }
        return sound;
    }

    /** Codes one field; false when a value read is out of its range. */
    boolean codeField(BitCoder coder, BitModels models, int field) {
        int expected = expected(field);
        int base = field * AdaptiveIntegers.MODELS;
        int difference = AdaptiveIntegers.code(coder, models, base, value[field] - expected);
        value[field] = expected + difference;
        return value[field] >= MIN[field] && value[field] <= MAX[field];
    }

    /** What the bins before lead one to expect; pressure goes with the bin's number, time with pressure. */
    int expected(int field) {
        int before = previous[field];
        return switch (field) {
            case BIN -> before + binStep;
            case PRESSURE -> before + scaled(pressureStep, value[BIN] - previous[BIN], binStep);
            case TIME -> before + scaled(timeStep, value[PRESSURE] - previous[PRESSURE], pressureStep);
            default -> before;
        };
    }

    /** step * now / then, or 0 when there is no then or the change is absurd. */
    static int scaled(int step, int now, int then) {
        long scaled = then == 0 ? 0 : (long) step * now / then;
        return Math.abs(scaled) < 1 << 24 ? (int) scaled : 0;
    }

    /** Makes the bin at hand the bin before. */
    void advance(BitModels models, boolean first) {
        if (first) {
            prepare(models, false);
        } else {
            int bins = value[BIN] - previous[BIN];
            binStep = bins == 0 ? binStep : bins;
            pressureStep = value[PRESSURE] - previous[PRESSURE];
            timeStep = value[TIME] - previous[TIME];
        }
        System.arraycopy(value, 0, previous, 0, FIELDS);
    }
}
