package sunward.firmware;

import sunward.protocol.order.PlanSetting;

/** The settings of the plan that orders may change: read from the plan, judged together, written back. */
final class OrderedSettings {
    private static final double MS = 1000;
    private static final double PERCENT = 100;
    private static final double HOUR_S = 3600;

    private final FloatPlan plan;
    private final int mostMessages;
    private final boolean repairs;

    /**
     * Makes them for a plan.
     *
     * @param mostMessages data and repair messages that the outbox can hold of one dive
     */
    OrderedSettings(FloatPlan plan, int mostMessages) {
        this.plan = plan;
        this.mostMessages = mostMessages;
        this.repairs = plan.repairMessages > 0;
    }

    /** Fills {@code values} with the settings in force, by {@link PlanSetting#place()}. */
    void read(double[] values) {
        for (int i = 0; i < PlanSetting.COUNT; i++) {
            values[i] = get(PlanSetting.at(i));
        }
    }

    /** True when every value lies in its range. */
    static boolean inRange(double[] values) {
        boolean good = true;
        for (int i = 0; i < PlanSetting.COUNT; i++) {
            good &= PlanSetting.at(i).allows(values[i]);
        }
        return good;
    }

    /** True when the values make a plan together: the plan reader's rules for the same fields. */
    boolean fitTogether(double[] v) {
        boolean ascent = at(v, PlanSetting.START_DBAR) <= at(v, PlanSetting.PARK_DBAR)
                && at(v, PlanSetting.PARK_DBAR) < plan.deepestDbar
                && at(v, PlanSetting.SLOW_ABOVE_DBAR) <= at(v, PlanSetting.START_DBAR)
                && at(v, PlanSetting.SLOW_SPEED_M_PER_S) <= at(v, PlanSetting.SPEED_M_PER_S)
                && (at(v, PlanSetting.DWELL_S) == 0 || at(v, PlanSetting.DWELL_DBAR) < at(v, PlanSetting.START_DBAR))
                && at(v, PlanSetting.START_DBAR) <= plan.zoneToDbar[plan.zoneToDbar.length - 1];
        double longestMs = at(v, PlanSetting.SHORTEST_MS) * (1 << (int) at(v, PlanSetting.OCTAVES));
        double flashMs = plan.flashEvery == 0 ? 0 : plan.flashMs;
        boolean exposure = at(v, PlanSetting.LOWER_ABOVE_SHARE) >= 2 * at(v, PlanSetting.RAISE_BELOW_SHARE)
                && at(v, PlanSetting.LONG_SCAN_INTERVAL_S) >= at(v, PlanSetting.SCAN_INTERVAL_S)
                && at(v, PlanSetting.LONG_EXPOSURE_ABOVE_MS) + flashMs <= MS * at(v, PlanSetting.SCAN_INTERVAL_S)
                && longestMs + flashMs <= MS * at(v, PlanSetting.LONG_SCAN_INTERVAL_S);
        return ascent && exposure;
    }

    /** True when the outbox holds a dive of these messages, and the arrays made at boot serve for repair messages. */
    boolean hasRoom(double[] v) {
        double parity = at(v, PlanSetting.PARITY_MESSAGES);
        return at(v, PlanSetting.DATA_MESSAGES) + parity <= mostMessages && (parity == 0 || repairs);
    }

    private static double at(double[] values, PlanSetting setting) {
        return values[setting.place()];
    }

    /** Puts judged values in force; what does not change keeps its last bit. */
    void write(double[] values) {
        for (int i = 0; i < PlanSetting.COUNT; i++) {
            PlanSetting setting = PlanSetting.at(i);
            if (get(setting) != values[i]) {
                set(setting, values[i]);
            }
        }
    }

    private double get(PlanSetting setting) {
        return switch (setting) {
            case PARK_DBAR -> plan.parkDbar;
            case START_DBAR -> plan.startDbar;
            case SLOW_ABOVE_DBAR -> plan.slowAboveDbar;
            case SPEED_M_PER_S -> plan.speedMPerS;
            case SLOW_SPEED_M_PER_S -> plan.slowSpeedMPerS;
            case DWELL_DBAR -> plan.dwellDbar;
            case DWELL_S -> plan.dwellS;
            case SHORTEST_MS -> plan.shortestMs;
            case OCTAVES -> plan.octaves;
            case SCAN_INTERVAL_S -> plan.scanIntervalMs / MS;
            case LONG_SCAN_INTERVAL_S -> plan.longScanIntervalMs / MS;
            case LONG_EXPOSURE_ABOVE_MS -> plan.longAboveMs;
            case RAISE_BELOW_SHARE -> plan.raiseBelowShare;
            case LOWER_ABOVE_SHARE -> plan.lowerAboveShare;
            case DARK_EVERY -> plan.darkEvery;
            case MAX_TILT_DEG -> plan.maxTiltDeg;
            case REJECT_SIGMA -> plan.rejectSigma;
            case SHADED_LOSS_PERCENT -> plan.shadedLoss * PERCENT;
            case HYSTERESIS_PERCENT -> plan.hysteresisLoss * PERCENT;
            case SUN_DOWN_ELEVATION_DEG -> plan.sunDownDeg;
            case SUN_NEAR_ZENITH_DEG -> plan.sunNearZenithDeg;
            case TILT_DISAGREEMENT_DEG -> plan.tiltDisagreementDeg;
            case STALE_FIX_H -> plan.staleFixS / HOUR_S;
            case STALE_DECLINATION_DAYS -> plan.staleDeclinationDays;
            case ATTENUATION_555_PER_M -> plan.attenuation555PerM;
            case DECLINATION_DEG -> plan.declinationDeg;
            case DECLINATION_DAY -> plan.declinationDay;
            case DATA_MESSAGES -> plan.dataMessages;
            case PARITY_MESSAGES -> plan.repairMessages;
            case CHANNELS_PER_SAMPLE -> plan.channelsPerSample;
        };
    }

    private void set(PlanSetting setting, double value) {
        switch (setting) {
            case PARK_DBAR -> plan.parkDbar = value;
            case START_DBAR -> plan.startDbar = value;
            case SLOW_ABOVE_DBAR -> plan.slowAboveDbar = value;
            case SPEED_M_PER_S -> plan.speedMPerS = value;
            case SLOW_SPEED_M_PER_S -> plan.slowSpeedMPerS = value;
            case DWELL_DBAR -> plan.dwellDbar = value;
            case DWELL_S -> plan.dwellS = value;
            case SHORTEST_MS -> plan.shortestMs = value;
            case OCTAVES -> plan.octaves = (int) value;
            case SCAN_INTERVAL_S -> plan.scanIntervalMs = wholeMs(value);
            case LONG_SCAN_INTERVAL_S -> plan.longScanIntervalMs = wholeMs(value);
            case LONG_EXPOSURE_ABOVE_MS -> plan.longAboveMs = value;
            case RAISE_BELOW_SHARE -> plan.raiseBelowShare = value;
            case LOWER_ABOVE_SHARE -> plan.lowerAboveShare = value;
            case DARK_EVERY -> plan.darkEvery = (int) value;
            case MAX_TILT_DEG -> plan.maxTiltDeg = value;
            case REJECT_SIGMA -> plan.rejectSigma = value;
            case SHADED_LOSS_PERCENT -> plan.shadedLoss = value / PERCENT;
            case HYSTERESIS_PERCENT -> plan.hysteresisLoss = value / PERCENT;
            case SUN_DOWN_ELEVATION_DEG -> plan.sunDownDeg = value;
            case SUN_NEAR_ZENITH_DEG -> plan.sunNearZenithDeg = value;
            case TILT_DISAGREEMENT_DEG -> plan.tiltDisagreementDeg = value;
            case STALE_FIX_H -> plan.staleFixS = value * HOUR_S;
            case STALE_DECLINATION_DAYS -> plan.staleDeclinationDays = value;
            case ATTENUATION_555_PER_M -> plan.attenuation555PerM = value;
            case DECLINATION_DEG -> plan.declinationDeg = value;
            case DECLINATION_DAY -> plan.declinationDay = (int) value;
            case DATA_MESSAGES -> plan.dataMessages = (int) value;
            case PARITY_MESSAGES -> plan.repairMessages = (int) value;
            case CHANNELS_PER_SAMPLE -> plan.channelsPerSample = (int) value;
        }
    }

    private static int wholeMs(double seconds) {
        return (int) Math.floor(seconds * MS + 0.5);
    }
}
