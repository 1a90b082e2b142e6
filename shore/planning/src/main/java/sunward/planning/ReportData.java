package sunward.planning;

import java.util.List;

/**
 * Everything that the report shows, as the page's script reads it. Arrays of one record run in parallel; a missing value
 * is NaN here and null in the page. Radiance in W m-2 nm-1 sr-1, wavelength in nm, depth in m below the surface.
 *
 * @param title the dive, in words
 * @param simulated true when a simulator made it
 * @param verdict one sentence
 * @param summary the figures that matter most
 * @param spectra surface spectra against wavelength
 * @param picture upwelling radiance against depth and wavelength
 * @param scene the day and the sea, which only the simulator knows
 * @param geometry float, sun and heads through the dive
 * @param cast temperature and salinity as received
 * @param messages every message of the dive in sending order
 * @param budget uncertainty by contributor
 * @param gaps what is missing, with its cause
 * @param reasons what shore has to say about quality
 * @param provenance digests, versions, seeds
 */
@SuppressWarnings("ArrayRecordComponent") // plain carriers on the way to JSON, never compared or kept
record ReportData(
        String title,
        boolean simulated,
        String verdict,
        List<Fact> summary,
        Spectra spectra,
        Picture picture,
        Scene scene,
        Geometry geometry,
        Cast cast,
        List<MessageBar> messages,
        Budget budget,
        List<Gap> gaps,
        List<String> reasons,
        List<Fact> provenance) {

    /** A named value; {@code note} says what it means. */
    record Fact(String name, String value, String note) {}

    /**
     * Spectra at the surface.
     *
     * @param wavelengthNm product wavelengths, ascending
     * @param lw water-leaving radiance, with the ends of its 95 % interval and the truth
     * @param lu0 upwelling radiance just below the surface, likewise
     * @param errorPercent {@code lw} against truth, percent of truth
     * @param halfWidthPercent half the 95 % interval, percent of {@code lw}
     * @param kLu attenuation of upwelling radiance near the surface, 1/m, and the truth
     * @param note per wavelength why a value is missing, else empty
     */
    record Spectra(
            double[] wavelengthNm,
            double[] lw,
            double[] lwLow95,
            double[] lwHigh95,
            double[] lwTrue,
            double[] lu0,
            double[] lu0Low95,
            double[] lu0High95,
            double[] lu0True,
            double[] errorPercent,
            double[] halfWidthPercent,
            double[] kLu,
            double[] kLuTrue,
            String[] note) {}

    /**
     * Lu by depth interval (rows, from the surface down) and wavelength (columns).
     *
     * @param wavelengthNm centres of the columns
     * @param topM upper edges of the rows
     * @param bottomM lower edges of the rows
     * @param lu radiance, [row][column]; 0 where it is less than twice its own random uncertainty
     * @param heads which heads a row was made of, for example "A B"
     * @param cause why a row is empty, else empty
     */
    record Picture(
            double[] wavelengthNm, double[] topM, double[] bottomM, double[][] lu, String[] heads, String[] cause) {}

    /**
     * The scene that a simulator flew the float in.
     *
     * @param facts in words
     * @param changes plan fields in which it differs from the default scene; the note is the default's value
     * @param wavelengthNm wavelengths of irradiance and radiance
     * @param es downwelling irradiance above the surface at surfacing, W m-2 nm-1
     * @param direct part of it straight from the sun
     * @param diffuse the rest
     * @param sunAzimuthDeg at surfacing, clockwise from true north
     * @param cloudPercent mean share of the sky that is hidden
     * @param waveHeightM significant height
     * @param brightnessPercent irradiance above the surface at 555 nm over that of a clear sky at surfacing, at the times of
     *     the geometry
     * @param depthM depths of the water's constituents
     * @param chlorophyll mg m-3
     * @param backscatter of particles at 700 nm, per m
     * @param readDepthM depths of the float's own readings, as received
     * @param readChlorophyll mg m-3, by fluorescence
     * @param readBackscatter per m
     * @param lightDepthM depths of 10, 1 and 0.1 % of the photons from 400 to 700 nm
     * @param luDepthM depths of {@code lu}
     * @param lu upwelling radiance, [depth][wavelength]
     */
    record Scene(
            List<Fact> facts,
            List<Fact> changes,
            double[] wavelengthNm,
            double[] es,
            double[] direct,
            double[] diffuse,
            double sunAzimuthDeg,
            double cloudPercent,
            double waveHeightM,
            double[] brightnessPercent,
            double[] depthM,
            double[] chlorophyll,
            double[] backscatter,
            double[] readDepthM,
            double[] readChlorophyll,
            double[] readBackscatter,
            double[] lightDepthM,
            double[] luDepthM,
            double[][] lu) {}

    /** An arm with its head: name, azimuth in the hull frame (clockwise from the bow), distance from the hull axis. */
    record Arm(String name, double azimuthDeg, double lengthM) {}

    /**
     * Float, sun and heads against time.
     *
     * @param arms the heads
     * @param hullRadiusM hull radius, m
     * @param sunZenithDeg sun's zenith angle at surfacing
     * @param timeS seconds from surfacing, negative before it
     * @param depthM depth of the heads' level
     * @param headingDeg true heading of the hull's x axis
     * @param tiltDeg tilt from the vertical
     * @param sunAzimuthDeg sun's azimuth, clockwise from true north
     * @param preferred index of the preferred head, -1 for none
     * @param antisunDeg per head, azimuth from the anti-solar direction, -180 to 180
     * @param lossPercent per head, radiance lost at 555 nm to the hull's shadow
     */
    record Geometry(
            List<Arm> arms,
            double hullRadiusM,
            double sunZenithDeg,
            double[] timeS,
            double[] depthM,
            double[] headingDeg,
            double[] tiltDeg,
            double[] sunAzimuthDeg,
            int[] preferred,
            double[][] antisunDeg,
            double[][] lossPercent) {}

    /** Temperature and practical salinity against pressure (tare applied). */
    record Cast(double[] pressureDbar, double[] temperatureDegC, double[] practicalSalinity) {}

    /**
     * One message of the dive.
     *
     * @param position place in the sending order, from 0
     * @param block what it carries, in words
     * @param head name of the head whose bins it carries, else empty
     * @param bytes its length
     * @param overheadBytes header and seal
     * @param state received, lost, spoilt or repaired
     * @param sendings how often the float sent it
     * @param copies deliveries of it
     * @param arrivalS first arrival, seconds after surfacing; NaN when it never came
     * @param note the reason if it was spoilt
     */
    record MessageBar(
            int position,
            String block,
            String head,
            int bytes,
            int overheadBytes,
            String state,
            int sendings,
            int copies,
            double arrivalS,
            String note) {}

    /** One contributor: standard uncertainty of Lw in percent at each wavelength of the budget. */
    record Contributor(String name, String correlation, double[] percent) {}

    /** Contributors against wavelength; {@code totalPercent} is the standard uncertainty of Lw, {@code largest} the three largest in words. */
    record Budget(double[] wavelengthNm, double[] totalPercent, List<Contributor> contributors, String[] largest) {}

    /** Something that is missing: head, interval of sea pressure at the head, cause in words. */
    record Gap(String head, double fromDbar, double toDbar, String cause) {}
}
