package sunward.planning;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import sunward.protocol.schema.LightModel;
import sunward.protocol.schema.PureWaterTable;
import sunward.protocol.schema.Scene;
import sunward.simulator.Cast;
import sunward.simulator.Channels;
import sunward.simulator.LightField;
import sunward.simulator.SunPosition;
import sunward.simulator.Water;

/** Water by wavelength: what it does to light at a depth, and what light comes back out of it. */
public final class WaterSpectra {
    private static final String PER_M = "m-1";
    private static final String RADIANCE = "W m-2 nm-1 sr-1";
    private static final double DAYLIGHT_ENDS_DEG = 89.5;

    private WaterSpectra() {}

    /**
     * Works the water out, by the published tables as they stand.
     *
     * @param scene its atmosphere and water
     * @param sun at the instant looked at
     * @param cast temperature and salinity
     * @param depthM where absorption, scattering and attenuation are told, 0 to 250 m
     * @param wavelengthNm 310 to 870 nm
     * @param lineWidthNm full width at half maximum of the Gaussian line that light is seen through
     */
    public static Spectra of(
            Scene scene, SunPosition sun, Cast cast, double depthM, double[] wavelengthNm, double lineWidthNm) {
        LightField field = LightField.published(scene, sun, cast);
        Channels channels = field.channels(wavelengthNm, lineWidthNm);
        Water water = field.water();
        int n = wavelengthNm.length;
        double[][] v = new double[7][n];
        double[] lu = channels.lu0();
        double[] lw = channels.lw();
        double[] ed = channels.ed0();
        double[] es = channels.es();
        for (int c = 0; c < n; c++) {
            Water.Properties p = water.at(wavelengthNm[c], depthM);
            v[0][c] = p.absorption();
            v[1][c] = p.scattering();
            v[2][c] = p.backscatter();
            v[3][c] = channels.downwellingAttenuation(depthM, c);
            v[4][c] = channels.attenuation(depthM, c);
            v[5][c] = lu[c] / ed[c];
            v[6][c] = lw[c] / es[c];
        }
        Map<String, Double> facts = new LinkedHashMap<>();
        facts.put("sun_zenith_deg", sun.zenithDeg());
        facts.put("depth_m", depthM);
        facts.put("chlorophyll_mg_per_m3", water.chlorophyll(depthM));
        facts.put("surface_chlorophyll_mg_per_m3", water.chlorophyll(0));
        facts.put("temperature_deg_c", water.temperatureDegC(depthM));
        facts.put("practical_salinity", water.salinity(depthM));
        facts.put("dissolved_share", scene.getWater().getDissolvedShare());
        facts.put("line_width_nm", lineWidthNm);
        List<Spectra.Column> columns = List.of(
                new Spectra.Column("absorption", PER_M, "absorption", v[0]),
                new Spectra.Column("scattering", PER_M, "scattering", v[1]),
                new Spectra.Column("backscatter", PER_M, "backscatter", v[2]),
                new Spectra.Column("kd", PER_M, "Kd", v[3]),
                new Spectra.Column("k_lu", PER_M, "K_Lu", v[4]),
                new Spectra.Column("rrs", "sr-1", "Lu(0-) / Ed(0-)", v[5]),
                new Spectra.Column("remote_sensing_reflectance", "sr-1", "Lw / Es", v[6]),
                new Spectra.Column("lu0", RADIANCE, "Lu(0-)", lu),
                new Spectra.Column("lw", RADIANCE, "Lw", lw));
        return new Spectra(
                String.format(
                        Locale.ROOT,
                        "Water with chlorophyll %.3f mg m-3 at the surface, told at %.1f m",
                        water.chlorophyll(0),
                        depthM),
                facts,
                choices(scene.getWater()),
                wavelengthNm,
                columns,
                panels(),
                warnings(sun, wavelengthNm));
    }

    private static Map<String, String> choices(sunward.protocol.schema.Water water) {
        Map<String, String> choices = new LinkedHashMap<>();
        boolean said = water.getPureWaterTable() != PureWaterTable.PURE_WATER_TABLE_UNSPECIFIED;
        choices.put("pure_water_table", (said ? water.getPureWaterTable() : PureWaterTable.MASON_2016).name());
        boolean other = water.getLightModel() == LightModel.THREE_STREAMS;
        choices.put("light_model", (other ? LightModel.THREE_STREAMS : LightModel.SOURCE_INTEGRAL).name());
        List<String> inelastic = new ArrayList<>();
        if (water.getRaman()) {
            inelastic.add("Raman");
        }
        if (water.getFluorescence()) {
            inelastic.add("fluorescence");
        }
        choices.put("inelastic_light", inelastic.isEmpty() ? "none" : String.join(" and ", inelastic));
        if (!water.getChlorophyllProfile().isEmpty()) {
            choices.put("chlorophyll_profile", water.getChlorophyllProfile());
        }
        return choices;
    }

    private static List<Spectra.Panel> panels() {
        return List.of(
                new Spectra.Panel(
                        "Absorption and scattering, m\u207b\u00b9",
                        true,
                        List.of("absorption", "scattering", "backscatter")),
                new Spectra.Panel("Attenuation, m\u207b\u00b9", true, List.of("kd", "k_lu")),
                new Spectra.Panel("Reflectance, sr\u207b\u00b9", false, List.of("rrs", "remote_sensing_reflectance")),
                new Spectra.Panel(
                        "Radiance, W m\u207b\u00b2 nm\u207b\u00b9 sr\u207b\u00b9", true, List.of("lu0", "lw")));
    }

    private static List<String> warnings(SunPosition sun, double[] wavelengthNm) {
        List<String> warnings = new ArrayList<>();
        if (sun.zenithDeg() > DAYLIGHT_ENDS_DEG) {
            warnings.add(String.format(
                    Locale.ROOT,
                    "the sun is %.1f degrees from the zenith, where a rough twilight law stands in for the sky.",
                    sun.zenithDeg()));
        }
        if (wavelengthNm[0] < 400 || wavelengthNm[wavelengthNm.length - 1] > 700) {
            warnings.add("below 400 and above 700 nm phytoplankton's absorption and the refractive index are carried on"
                    + " beyond their published range, and published tables of pure water differ widely below 380 nm.");
        }
        return warnings;
    }
}
