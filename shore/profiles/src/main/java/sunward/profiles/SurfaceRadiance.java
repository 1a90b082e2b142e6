package sunward.profiles;

import java.util.List;

/**
 * Spectra just below and above the surface, one number per wavelength; not-a-number with a reason where there is none.
 *
 * @param wavelengthNm centre, in air
 * @param lu0 upwelling radiance just below the surface, W m-2 nm-1 sr-1
 * @param lw water-leaving radiance at nadir, W m-2 nm-1 sr-1
 * @param lwRelative relative standard uncertainty of {@code lw}
 * @param attenuation K_Lu just below the surface, per m
 * @param attenuationUncertainty its standard uncertainty
 * @param es downwelling irradiance above the surface by a clear-sky model, W m-2 nm-1
 * @param nlw normalized water-leaving radiance, W m-2 nm-1 sr-1
 * @param nlwRelative its relative standard uncertainty
 * @param rrs remote-sensing reflectance, per sr
 * @param rrsRelative its relative standard uncertainty
 * @param binsUsed bins that the fit looked at
 * @param budget where the uncertainty of {@code lw} comes from
 * @param missing per wavelength, why there is no value; empty where there is one
 */
public record SurfaceRadiance(
        Spectrum wavelengthNm,
        Spectrum lu0,
        Spectrum lw,
        Spectrum lwRelative,
        Spectrum attenuation,
        Spectrum attenuationUncertainty,
        Spectrum es,
        Spectrum nlw,
        Spectrum nlwRelative,
        Spectrum rrs,
        Spectrum rrsRelative,
        List<Integer> binsUsed,
        UncertaintyBudget budget,
        List<String> missing) {
    /** Coverage factor of the 95 % interval: 1.96 (GUM, Table G.2, many degrees of freedom). */
    public static final double COVERAGE_FACTOR = 1.96;

    /** Standard uncertainty of water-leaving radiance at wavelength {@code k}. */
    public double lwUncertainty(int k) {
        return lw.at(k) * lwRelative.at(k);
    }

    /** Lower end of the 95 % interval of water-leaving radiance. */
    public double lwLow(int k) {
        return lw.at(k) * (1 - COVERAGE_FACTOR * lwRelative.at(k));
    }

    /** Upper end of the 95 % interval of water-leaving radiance. */
    public double lwHigh(int k) {
        return lw.at(k) * (1 + COVERAGE_FACTOR * lwRelative.at(k));
    }
}
