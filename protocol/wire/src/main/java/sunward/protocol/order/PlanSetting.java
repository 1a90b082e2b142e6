package sunward.protocol.order;

/**
 * Settings of a plan that an order may change at sea. The number is for ever: sixteen times the field number of the
 * plan's part, plus the field's own. What describes the float itself (hull, heads, link, energy), the zones of bins and the
 * channels flown is not among them: the float's memory is laid out for those at boot.
 */
public enum PlanSetting {
    /** Where the float parks, dbar. */
    PARK_DBAR(0x41, "ascent.park_dbar", 0, 6000, false),
    /** Where radiometry starts, dbar. */
    START_DBAR(0x42, "ascent.start_dbar", 1, 1000, false),
    /** Above this the float rises slowly, dbar. */
    SLOW_ABOVE_DBAR(0x43, "ascent.slow_above_dbar", 0, 1000, false),
    /** Ascent speed, m/s. */
    SPEED_M_PER_S(0x44, "ascent.speed_m_per_s", 0.01, 1, false),
    /** Slow ascent speed, m/s. */
    SLOW_SPEED_M_PER_S(0x45, "ascent.slow_speed_m_per_s", 0.01, 1, false),
    /** Where the float dwells, dbar. */
    DWELL_DBAR(0x46, "ascent.dwell_dbar", 0, 100, false),
    /** How long it dwells, s. */
    DWELL_S(0x47, "ascent.dwell_s", 0, 36000, false),
    /** Shortest exposure, ms. */
    SHORTEST_MS(0x51, "exposure.shortest_ms", 0.1, 1000, false),
    /** Doublings of the shortest exposure. */
    OCTAVES(0x52, "exposure.octaves", 1, 15, true),
    /** Time between instants, s. */
    SCAN_INTERVAL_S(0x53, "exposure.scan_interval_s", 0.1, 600, false),
    /** Time between instants at long exposures, s. */
    LONG_SCAN_INTERVAL_S(0x54, "exposure.long_scan_interval_s", 0.1, 600, false),
    /** An exposure above this is long, ms. */
    LONG_EXPOSURE_ABOVE_MS(0x55, "exposure.long_exposure_above_ms", 0.1, 100000, false),
    /** Raise the exposure below this share of full scale. */
    RAISE_BELOW_SHARE(0x56, "exposure.raise_below_share", 0.01, 0.49, false),
    /** Lower the exposure above this share of full scale. */
    LOWER_ABOVE_SHARE(0x57, "exposure.lower_above_share", 0.5, 0.99, false),
    /** Every so manieth scan is a dark. */
    DARK_EVERY(0x58, "exposure.dark_every", 2, 1000, true),
    /** Scans tilted more are left out, degrees. */
    MAX_TILT_DEG(0x62, "bins.max_tilt_deg", 1, 45, false),
    /** Scans further from the median are left out, standard deviations. */
    REJECT_SIGMA(0x63, "bins.reject_sigma", 3, 100, false),
    /** Predicted loss above which a scan is shaded, percent. */
    SHADED_LOSS_PERCENT(0x71, "head_choice.shaded_loss_percent", 0.01, 100, false),
    /** Hysteresis of the choice, percent of loss. */
    HYSTERESIS_PERCENT(0x72, "head_choice.hysteresis_percent", 0, 10, false),
    /** Sun counted as down below this, degrees. */
    SUN_DOWN_ELEVATION_DEG(0x73, "head_choice.sun_down_elevation_deg", 0, 45, false),
    /** Sun counted as near the zenith within this, degrees. */
    SUN_NEAR_ZENITH_DEG(0x74, "head_choice.sun_near_zenith_deg", 0, 20, false),
    /** Tilt sensors disagree above this, degrees. */
    TILT_DISAGREEMENT_DEG(0x75, "head_choice.tilt_disagreement_deg", 0.5, 20, false),
    /** A fix older than this is stale, h. */
    STALE_FIX_H(0x76, "head_choice.stale_fix_h", 1, 1000, false),
    /** A declination older than this is stale, days. */
    STALE_DECLINATION_DAYS(0x77, "head_choice.stale_declination_days", 1, 4000, false),
    /** Attenuation that the prediction assumes, 1/m. */
    ATTENUATION_555_PER_M(0x78, "head_choice.attenuation_555_per_m", 0.01, 5, false),
    /** Declination, degrees, east positive. */
    DECLINATION_DEG(0x81, "declination.degrees", -180, 180, false),
    /** Date of the declination, days since 2000-01-01. */
    DECLINATION_DAY(0x82, "declination.date", 0, 49672, true),
    /** Data messages of a dive. */
    DATA_MESSAGES(0x91, "packing.data_messages", 3, 4000, true),
    /** Repair messages of a dive. */
    PARITY_MESSAGES(0x92, "packing.parity_messages", 0, 254, true),
    /** Channels averaged into a sample; 0: the finest that fits. */
    CHANNELS_PER_SAMPLE(0x93, "packing.channels_per_sample", 0, 64, true);

    /** Settings there are. */
    public static final int COUNT = values().length;

    private static final PlanSetting[] ALL = values();

    private final int number;
    private final String path;
    private final double min;
    private final double max;
    private final boolean whole;

    PlanSetting(int number, String path, double min, double max, boolean whole) {
        this.number = number;
        this.path = path;
        this.min = min;
        this.max = max;
        this.whole = whole;
    }

    /** The number on the wire. */
    public int number() {
        return number;
    }

    /** Path of the field in the plan. */
    public String path() {
        return path;
    }

    /** Smallest value. */
    public double min() {
        return min;
    }

    /** Largest value. */
    public double max() {
        return max;
    }

    /** True when only whole numbers are allowed. */
    public boolean whole() {
        return whole;
    }

    /** True when a value lies in the setting's range. */
    public boolean allows(double value) {
        return value >= min && value <= max && (!whole || value == Math.rint(value));
    }

    /** The setting of this number, or null when none has it; without allocation. */
    public static PlanSetting ofNumber(long number) {
        for (PlanSetting setting : ALL) {
            if (setting.number == number) {
                return setting;
            }
        }
        return null;
    }

    /** Its place in arrays of settings, 0 to {@link #COUNT} - 1; new settings are declared last, so that no place moves. */
    @SuppressWarnings("EnumOrdinal") // the place is meant, in memory and in the float's flash; the wire has the number
    public int place() {
        return ordinal();
    }

    /** The setting of a place; without allocation. */
    public static PlanSetting at(int place) {
        return ALL[place];
    }
}
