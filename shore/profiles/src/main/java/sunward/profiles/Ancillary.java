package sunward.profiles;

import java.nio.charset.StandardCharsets;

/**
 * What shore may know of the day beside the messages.
 *
 * @param ozoneAtmCm total ozone, atm-cm (300 DU are 0.3)
 * @param waterVapourCm precipitable water, cm
 * @param aerosolDepth500 aerosol optical depth at 500 nm
 * @param aerosolExponent Angstrom exponent of the aerosol
 * @param pressureHpa air pressure at sea level, hPa
 * @param skyUncertaintyPercent one standard uncertainty of the clear-sky irradiance that these give, percent
 * @param deltaTS terrestrial minus universal time, s
 * @param source where the figures come from, in words
 */
public record Ancillary(
        double ozoneAtmCm,
        double waterVapourCm,
        double aerosolDepth500,
        double aerosolExponent,
        double pressureHpa,
        double skyUncertaintyPercent,
        double deltaTS,
        String source) {
    /** Nothing known of the day: round figures of a clear day over the open ocean (assumed), with an uncertainty to match. */
    public static Ancillary climatology() {
        return new Ancillary(
                0.28, 3.0, 0.10, 0.8, 1013, 5, 69, "assumed clear day over the open ocean; nothing was measured");
    }

    /** SHA-256 over sorted {@code name=value} lines. */
    public byte[] digest() {
        String text = "aerosol_depth_500=" + aerosolDepth500
                + "\naerosol_exponent=" + aerosolExponent
                + "\ndelta_t_s=" + deltaTS
                + "\nozone_atm_cm=" + ozoneAtmCm
                + "\npressure_hpa=" + pressureHpa
                + "\nsky_uncertainty_percent=" + skyUncertaintyPercent
                + "\nsource=" + source
                + "\nwater_vapour_cm=" + waterVapourCm
                + "\n";
        return Fingerprint.of(text.getBytes(StandardCharsets.UTF_8));
    }
}
