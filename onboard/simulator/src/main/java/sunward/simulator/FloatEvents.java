package sunward.simulator;

import sunward.firmware.RawScan;

/**
 * What happens to a float computer in a dive, in order: the only thing that passes from the sea to the float, whether it
 * is live or played back from a {@link Recording}. Times are ms since 2000-01-01T00:00:00Z; pressures raw.
 */
public interface FloatEvents {
    /** Power comes on. */
    void boot(long timeMs);

    /** A position, 1e-5 degree. */
    void fix(long timeMs, int latitudeE5, int longitudeE5);

    /** A reading of the pressure gauge in air, 1e-4 dbar. */
    void tare(long timeMs, int rawPressureE4Dbar);

    /** Charge left in the battery, percent. */
    void battery(int percent);

    /** How the float hangs at its parking depth by its two tilt sensors, 0.01 degree, or {@link RawScan#MISSING}. */
    void trim(long timeMs, int pitch1Cdeg, int roll1Cdeg, int pitch2Cdeg, int roll2Cdeg);

    /** The float rises through the pressure at which radiometry starts. */
    void startProfile(long timeMs);

    /**
     * What the other sensors say of the water: 0.01 dbar, 0.001 degC, 0.001, 0.001 mg m-3 of chlorophyll, 1e-6 per m of
     * backscatter by particles at 700 nm; {@link RawScan#MISSING} where a sensor gave nothing.
     */
    void ancillary(
            int pressureCdbar, int temperatureMdegc, int salinityMpsu, int chlorophyllUgPerM3, int backscatterE6PerM);

    /** All heads are to be exposed. */
    void instant(long timeMs);

    /** A head was read; the scan may be reused after the call. */
    void scan(RawScan scan);

    /** The hull's top met the surface. */
    void endProfile(long timeMs);
}
