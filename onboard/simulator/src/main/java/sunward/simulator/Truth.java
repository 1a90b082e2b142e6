package sunward.simulator;

import java.util.List;

/**
 * What is to be found out: the undisturbed sea at the instant of surfacing, averaged over waves, at the nominal wavelengths
 * of the first radiance head's flown channels. Neither float nor shore ever sees it. Arrays are not to be changed.
 *
 * @param wavelengthNm nominal centres, in air
 * @param lw nadir water-leaving radiance just above the surface, W m-2 nm-1 sr-1
 * @param lu0 nadir upwelling radiance just below the surface, W m-2 nm-1 sr-1
 * @param es downwelling irradiance just above the surface, W m-2 nm-1
 * @param depthM depths of {@code lu}, rising from 0
 * @param lu nadir upwelling radiance by depth and channel, W m-2 nm-1 sr-1
 * @param sunZenithDeg at surfacing, no refraction
 * @param sunAzimuthDeg at surfacing, clockwise from true north
 * @param latitudeDeg at surfacing
 * @param longitudeDeg at surfacing
 * @param surfacingMs ms since 2000-01-01T00:00:00Z
 * @param track the float's way, at most {@link #MOST_TRACK_POINTS} points
 * @param surroundings the day and the sea
 * @param castPressureDbar pressures of the readings of temperature and salinity
 * @param temperatureDegC at these pressures; NaN: missing
 * @param salinity practical salinity at these pressures; NaN: missing
 */
@SuppressWarnings("ArrayRecordComponent") // Data handed on, never compared.
public record Truth(
        double[] wavelengthNm,
        double[] lw,
        double[] lu0,
        double[] es,
        double[] depthM,
        double[][] lu,
        double sunZenithDeg,
        double sunAzimuthDeg,
        double latitudeDeg,
        double longitudeDeg,
        long surfacingMs,
        List<TrackPoint> track,
        Surroundings surroundings,
        double[] castPressureDbar,
        double[] temperatureDegC,
        double[] salinity) {
    /** The most points of a track. */
    public static final int MOST_TRACK_POINTS = 1500;
}
