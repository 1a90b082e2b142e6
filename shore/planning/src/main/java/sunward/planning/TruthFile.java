package sunward.planning;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.function.ToDoubleFunction;
import sunward.profiles.NetcdfWriter;
import sunward.simulator.TrackPoint;
import sunward.simulator.Truth;

/** {@code truth.nc}: what the simulator knows and shore is to find out. CF conventions 1.8, classic netCDF. */
final class TruthFile {
    private static final String RADIANCE = "W m-2 nm-1 sr-1";
    private static final String SIMULATED = "SIMULATED: made by a simulator; not a measurement.";

    private TruthFile() {}

    static void write(Truth truth, List<String> headNames, Path file) throws IOException {
        NetcdfWriter out = new NetcdfWriter()
                .dimension("wavelength", truth.wavelengthNm().length)
                .dimension("depth", truth.depthM().length)
                .dimension("time", truth.track().size())
                .dimension("cast_level", truth.castPressureDbar().length)
                .dimension("head", headNames.size())
                .dimension(
                        "head_name_length",
                        headNames.stream().mapToInt(TruthFile::width).max().orElse(1))
                .attribute("Conventions", "CF-1.8")
                .attribute("title", "SIMULATED truth of a Sunward dive: the sea that shore is to find out")
                .attribute("simulated", "true")
                .attribute("comment", SIMULATED + " It must never enter a match-up data base.");
        place(out, truth);
        light(out, truth);
        track(out, truth, headNames);
        cast(out, truth);
        out.write(file);
    }

    private static int width(String name) {
        return Math.max(1, name.getBytes(StandardCharsets.UTF_8).length);
    }

    private static NetcdfWriter.Variable variable(
            NetcdfWriter out, String name, String longName, String units, String... dimensions) {
        return out.variable(name, NetcdfWriter.Type.DOUBLE, dimensions)
                .attribute("long_name", longName)
                .attribute("units", units)
                .attribute("comment", SIMULATED);
    }

    private static void place(NetcdfWriter out, Truth truth) {
        variable(out, "surfacing_time", "time of surfacing", "seconds since 2000-01-01 00:00:00")
                .attribute("standard_name", "time")
                .attribute("calendar", "standard")
                .values(truth.surfacingMs() / 1000.0);
        variable(out, "latitude", "latitude at surfacing", "degrees_north")
                .attribute("standard_name", "latitude")
                .values(truth.latitudeDeg());
        variable(out, "longitude", "longitude at surfacing", "degrees_east")
                .attribute("standard_name", "longitude")
                .values(truth.longitudeDeg());
        variable(out, "solar_zenith_angle", "zenith angle of the sun at surfacing, without refraction", "degree")
                .attribute("standard_name", "solar_zenith_angle")
                .values(truth.sunZenithDeg());
        variable(out, "solar_azimuth_angle", "azimuth of the sun at surfacing, clockwise from true north", "degree")
                .attribute("standard_name", "solar_azimuth_angle")
                .values(truth.sunAzimuthDeg());
    }

    private static void light(NetcdfWriter out, Truth truth) {
        variable(out, "wavelength", "nominal wavelength in air of the flown channels", "nm", "wavelength")
                .attribute("standard_name", "radiation_wavelength")
                .values(truth.wavelengthNm());
        variable(out, "depth", "depth below the surface", "m", "depth")
                .attribute("standard_name", "depth")
                .attribute("positive", "down")
                .attribute("axis", "Z")
                .values(truth.depthM());
        variable(out, "lw", "nadir water-leaving radiance just above the surface at surfacing", RADIANCE, "wavelength")
                .attribute(
                        "standard_name",
                        "surface_upwelling_radiance_per_unit_wavelength_in_air_emerging_from_sea_water")
                .attribute("coordinates", "latitude longitude surfacing_time")
                .values(truth.lw());
        variable(out, "lu0", "nadir upwelling radiance just below the surface", RADIANCE, "wavelength")
                .attribute("standard_name", "surface_upwelling_radiance_per_unit_wavelength_in_sea_water")
                .attribute("coordinates", "latitude longitude surfacing_time")
                .values(truth.lu0());
        variable(out, "es", "downwelling irradiance just above the surface", "W m-2 nm-1", "wavelength")
                .attribute("standard_name", "surface_downwelling_radiative_flux_per_unit_wavelength_in_air")
                .attribute("coordinates", "latitude longitude surfacing_time")
                .values(truth.es());
        variable(out, "lu", "nadir upwelling radiance in the water", RADIANCE, "depth", "wavelength")
                .values(Arrays.stream(truth.lu())
                        .flatMapToDouble(Arrays::stream)
                        .toArray());
    }

    private static void track(NetcdfWriter out, Truth truth, List<String> headNames) {
        variable(out, "time", "time of the track's points", "seconds since 2000-01-01 00:00:00", "time")
                .attribute("standard_name", "time")
                .attribute("calendar", "standard")
                .attribute("axis", "T")
                .values(column(truth, TrackPoint::timeS));
        variable(out, "pressure", "pressure of the sea at the pressure port", "dbar", "time")
                .attribute("standard_name", "sea_water_pressure_due_to_sea_water")
                .values(column(truth, TrackPoint::pressureDbar));
        variable(out, "heading", "heading of the hull's x axis, clockwise from true north", "degree", "time")
                .attribute("standard_name", "platform_orientation")
                .values(column(truth, TrackPoint::headingTrueDeg));
        variable(out, "tilt", "angle of the hull's axis from the vertical", "degree", "time")
                .values(column(truth, TrackPoint::tiltDeg));
        variable(out, "sun_azimuth", "azimuth of the sun, clockwise from true north", "degree", "time")
                .attribute("standard_name", "solar_azimuth_angle")
                .values(column(truth, TrackPoint::sunAzimuthDeg));
        out.variable("preferred_head", NetcdfWriter.Type.INT, "time")
                .attribute("long_name", "head that the float preferred, an index into head_name; -1: none")
                .attribute("comment", SIMULATED)
                .values(column(truth, TrackPoint::preferredHead));
        variable(
                        out,
                        "shadow_loss_555",
                        "share of radiance at 555 nm lost to the hull's shadow",
                        "percent",
                        "time",
                        "head")
                .fill(Double.NaN)
                .values(truth.track().stream()
                        .flatMapToDouble(p -> Arrays.stream(p.lossPercent555()))
                        .toArray());
        out.variable("head_name", NetcdfWriter.Type.CHAR, "head", "head_name_length")
                .attribute("long_name", "name of the head")
                .texts(
                        headNames,
                        headNames.stream().mapToInt(TruthFile::width).max().orElse(1));
    }

    private static void cast(NetcdfWriter out, Truth truth) {
        variable(out, "cast_pressure", "pressure of the cast's readings", "dbar", "cast_level")
                .attribute("standard_name", "sea_water_pressure_due_to_sea_water")
                .attribute("positive", "down")
                .values(truth.castPressureDbar());
        variable(out, "temperature", "sea temperature", "degree_Celsius", "cast_level")
                .attribute("standard_name", "sea_water_temperature")
                .fill(Double.NaN)
                .values(truth.temperatureDegC());
        variable(out, "salinity", "practical salinity", "1", "cast_level")
                .attribute("standard_name", "sea_water_practical_salinity")
                .fill(Double.NaN)
                .values(truth.salinity());
    }

    private static double[] column(Truth truth, ToDoubleFunction<TrackPoint> of) {
        return truth.track().stream().mapToDouble(of).toArray();
    }
}
