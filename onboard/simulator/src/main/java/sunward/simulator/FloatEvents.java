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

    /** How the float hangs at its parking depth by its two tilt sensors, 0.01 degree, or {@link RawScan#MISSING}. */
    void trim(long timeMs, int pitch1Cdeg, int roll1Cdeg, int pitch2Cdeg, int roll2Cdeg);

    /** The float rises through the pressure at which radiometry starts. */
    void startProfile(long timeMs);

    /** Temperature and salinity: 0.01 dbar, 0.001 degC, 0.001. */
    void ancillary(int pressureCdbar, int temperatureMdegc, int salinityMpsu);

    /** All heads are to be exposed. */
    void instant(long timeMs);

    /** A head was read; the scan may be reused after the call. */
    void scan(RawScan scan);

    /** The hull's top met the surface. */
    void endProfile(long timeMs);
}
