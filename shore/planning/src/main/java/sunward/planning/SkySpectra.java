package sunward.planning;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import sunward.protocol.schema.Atmosphere;
import sunward.simulator.Sky;
import sunward.simulator.SkyLight;
import sunward.simulator.SunPosition;

/** Clear-sky irradiance by wavelength: what should the float's irradiance head see there? */
public final class SkySpectra {
    private static final String UNIT = "W m-2 nm-1";
    /** Beyond it the plane-parallel sky ends. */
    private static final double LAST_ZENITH_DEG = 89.5;

    private SkySpectra() {}

    /**
     * Works the irradiance out, by the published tables as they stand.
     *
     * @param sun azimuth not a number: unknown
     * @param wavelengthNm 310 to 870 nm
     * @param lineWidthNm full width at half maximum of the Gaussian line it is seen through
     */
    public static Spectra of(Atmosphere atmosphere, SunPosition sun, double[] wavelengthNm, double lineWidthNm) {
        SkyLight light = SkyLight.published(atmosphere, sun, wavelengthNm, lineWidthNm);
        Sky sky = Sky.published(atmosphere, sun.zenithDeg());
        Map<String, Double> facts = new LinkedHashMap<>();
        facts.put("sun_zenith_deg", sun.zenithDeg());
        facts.put("sun_azimuth_deg", sun.azimuthDeg());
        facts.put("sun_distance_au", sun.distanceAu());
        facts.put("ozone_du", atmosphere.getOzoneDu());
        facts.put("water_vapour_cm", atmosphere.getWaterVapourCm());
        facts.put("wind_m_per_s", atmosphere.getWindMPerS());
        facts.put("mean_wind_m_per_s", atmosphere.getMeanWindMPerS());
        facts.put("visibility_km", atmosphere.getVisibilityKm());
        facts.put("pressure_hpa", atmosphere.getPressureHpa());
        facts.put("humidity_percent", atmosphere.getHumidityPercent());
        facts.put("air_mass_type", atmosphere.getAirMassType());
        facts.put("aerosol_angstrom_exponent", sky.angstromExponent());
        facts.put("surface_reflectance_direct", sky.directReflectance());
        facts.put("surface_reflectance_diffuse", sky.skyReflectance());
        facts.put("line_width_nm", lineWidthNm);
        List<Spectra.Column> columns = List.of(
                new Spectra.Column("extraterrestrial", UNIT, "above the air", light.extraterrestrial()),
                new Spectra.Column("direct", UNIT, "direct", light.direct()),
                new Spectra.Column("diffuse", UNIT, "diffuse", light.diffuse()),
                new Spectra.Column("total", UNIT, "total", sum(light.direct(), light.diffuse())),
                new Spectra.Column("direct_below", UNIT, "direct below", light.directBelow()),
                new Spectra.Column("diffuse_below", UNIT, "diffuse below", light.diffuseBelow()),
                new Spectra.Column("total_below", UNIT, "total below", sum(light.directBelow(), light.diffuseBelow())));
        List<Spectra.Panel> panels = List.of(
                new Spectra.Panel(
                        "Just above the surface, W m\u207b\u00b2 nm\u207b\u00b9",
                        false,
                        List.of("total", "direct", "diffuse")),
                new Spectra.Panel(
                        "Just below the surface, W m\u207b\u00b2 nm\u207b\u00b9",
                        false,
                        List.of("total_below", "direct_below", "diffuse_below")));
        return new Spectra(
                String.format(Locale.ROOT, "Clear sky with the sun %.2f degrees from the zenith", sun.zenithDeg()),
                facts,
                Map.of("sky_model", "clear, Gregg and Carder (1990), tables as published"),
                wavelengthNm,
                columns,
                panels,
                warnings(sun));
    }

    private static List<String> warnings(SunPosition sun) {
        List<String> warnings = new ArrayList<>();
        if (sun.zenithDeg() > LAST_ZENITH_DEG) {
            warnings.add(String.format(
                    Locale.ROOT,
                    "the sun is %.1f degrees from the zenith, where no clear-sky model holds; beyond %.1f degrees a rough"
                            + " twilight law stands in.",
                    sun.zenithDeg(),
                    LAST_ZENITH_DEG));
        }
        return warnings;
    }

    private static double[] sum(double[] a, double[] b) {
        double[] sum = new double[a.length];
        for (int i = 0; i < a.length; i++) {
            sum[i] = a[i] + b[i];
        }
        return sum;
    }
}
