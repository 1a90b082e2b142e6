package sunward.profiles;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;

/** Writes a product as files whose bytes are a function of the product alone. */
public final class ProductFiles {
    /** Columns of {@code radiance.csv}, in order; numbers without a value are left empty. */
    public static final List<String> RADIANCE_COLUMNS = List.of(
            "wavelength_nm",
            "lu0_w_per_m2_nm_sr",
            "lw_w_per_m2_nm_sr",
            "lw_u_w_per_m2_nm_sr",
            "lw_relative_u_percent",
            "lw_low_95_w_per_m2_nm_sr",
            "lw_high_95_w_per_m2_nm_sr",
            "k_lu_per_m",
            "k_lu_u_per_m",
            "es_w_per_m2_nm",
            "nlw_w_per_m2_nm_sr",
            "nlw_u_w_per_m2_nm_sr",
            "rrs_per_sr",
            "rrs_u_per_sr",
            "bins_used",
            "largest_contributors",
            "reason",
            "simulated");

    private ProductFiles() {}

    /** Writes {@code profile.nc}: profile, gaps, surface spectra and their budget, netCDF classic, CF-1.8. */
    public static void writeProfile(DiveProduct product, Path file) throws IOException {
        new ProfileFile(product).build().write(file);
    }

    /** Writes {@code radiance.csv}: one line per wavelength; a header alone where there is no surface radiance. */
    public static void writeRadiance(DiveProduct product, Path file) throws IOException {
        NetcdfWriter.writeWhole(file, radianceCsv(product).getBytes(StandardCharsets.UTF_8));
    }

    /** The text of {@code radiance.csv}. */
    public static String radianceCsv(DiveProduct product) {
        StringBuilder text = new StringBuilder(String.join(",", RADIANCE_COLUMNS)).append('\n');
        SurfaceRadiance s = product.surface();
        for (int k = 0; s != null && k < s.wavelengthNm().size(); k++) {
            text.append(plain(s.wavelengthNm().at(k), "%.4f"));
            boolean present = s.missing().get(k).isEmpty();
            add(text, s.lu0().at(k));
            add(text, s.lw().at(k));
            add(text, s.lwUncertainty(k));
            text.append(',').append(plain(100 * s.lwRelative().at(k), "%.4f"));
            add(text, s.lwLow(k));
            add(text, s.lwHigh(k));
            add(text, s.attenuation().at(k));
            add(text, s.attenuationUncertainty().at(k));
            add(text, s.es().at(k));
            add(text, s.nlw().at(k));
            add(text, s.nlw().at(k) * s.nlwRelative().at(k));
            add(text, s.rrs().at(k));
            add(text, s.rrs().at(k) * s.rrsRelative().at(k));
            text.append(',').append(s.binsUsed().get(k));
            text.append(',')
                    .append(present ? quoted(String.join("; ", s.budget().largest(k, 3))) : "");
            text.append(',').append(s.missing().get(k));
            text.append(',').append(product.simulated()).append('\n');
        }
        return text.toString();
    }

    private static void add(StringBuilder text, double value) {
        text.append(',').append(plain(value, "%.6e"));
    }

    private static String plain(double value, String format) {
        return Double.isNaN(value) ? "" : String.format(Locale.ROOT, format, value);
    }

    private static String quoted(String text) {
        return '"' + text + '"';
    }
}
