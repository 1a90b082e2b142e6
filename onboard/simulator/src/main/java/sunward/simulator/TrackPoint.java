package sunward.simulator;

/**
 * Where the float truly was at one instant, and which head it preferred.
 *
 * @param timeS s since 2000-01-01T00:00:00Z
 * @param pressureDbar true sea pressure at the pressure port
 * @param headingTrueDeg true heading of the hull's x axis, clockwise from true north
 * @param tiltDeg true angle of the hull's axis from the vertical
 * @param preferredHead the float's choice, from 0; -1: none
 * @param sunAzimuthDeg clockwise from true north
 * @param brightness irradiance above the surface at 555 nm over that of a clear sky at the surfacing
 * @param lossPercent555 by head: radiance at 555 nm truly lost to the hull's shadow; NaN for an irradiance head
 */
@SuppressWarnings("ArrayRecordComponent") // Data handed on, never compared.
public record TrackPoint(
        double timeS,
        double pressureDbar,
        double headingTrueDeg,
        double tiltDeg,
        int preferredHead,
        double sunAzimuthDeg,
        double brightness,
        double[] lossPercent555) {}
