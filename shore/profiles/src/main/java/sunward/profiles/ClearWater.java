package sunward.profiles;

/**
 * What shore expects of open-ocean water before it has seen a dive. Used to choose where to look, to weigh bins and as a
 * weak starting belief; never as a result. Sources stand in {@code clear-water.csv}.
 */
final class ClearWater {
    /** Chlorophyll that the expectation assumes, mg m-3: the middle of the open ocean. */
    static final double CHLOROPHYLL_MG_PER_M3 = 0.1;

    private static final ReferenceTable TABLE = ReferenceTable.load("clear-water.csv");

    /** Raman share of upwelling radiance just below the surface: see {@link #inelasticShare}. */
    private static final double[] RAMAN_NM = {412, 443, 488, 531, 551, 667};

    private static final double[] RAMAN_ALPHA = {0.003, 0.004, 0.011, 0.015, 0.017, 0.018};
    private static final double[] RAMAN_BETA1 = {0.014, 0.015, 0.010, 0.010, 0.010, 0.010};
    private static final double[] RAMAN_BETA2 = {-0.022, -0.023, -0.051, -0.070, -0.080, -0.081};
    private static final double RATIO_440_OVER_550 = 5;
    private static final double RRS_550_PER_SR = 0.0015;

    /** Stretching band of liquid water: shift of Raman scattering, per cm (from memory, as in common use). */
    private static final double RAMAN_SHIFT_PER_CM = 3400;

    private ClearWater() {}

    /** Expected diffuse attenuation, per m. */
    static double attenuationPerM(double wavelengthNm) {
        double kw = TABLE.at(wavelengthNm, 1);
        return kw + TABLE.at(wavelengthNm, 2) * Math.pow(CHLOROPHYLL_MG_PER_M3, TABLE.at(wavelengthNm, 3));
    }

    /**
     * How far ln of attenuation may lie from the expectation, one standard deviation: what grows and dissolves in the sea
     * rules in the blue, water itself in the far red (assumed: 1 up to 580 nm, 0.2 from 700 nm).
     */
    static double attenuationLogSd(double wavelengthNm) {
        return 1 - 0.8 * Math.max(0, Math.min(1, (wavelengthNm - 580) / 120));
    }

    /** Wavelength at which the light that is Raman-scattered to this one was, nm. */
    static double excitationNm(double wavelengthNm) {
        return 1e7 / (1e7 / wavelengthNm + RAMAN_SHIFT_PER_CM);
    }

    /**
     * Share of inelastically scattered light in upwelling radiance just below the surface of clear water: Raman after
     * Lee et al. 2013 (J. Geophys. Res. Oceans 118, 4241: RF = alpha Rrs(440)/Rrs(550) + beta1 Rrs(550)^beta2, at a
     * ratio of 5 and 0.0015 sr-1), and chlorophyll fluorescence as a Gaussian at 685 nm, 25 nm wide (its height, 0.3, is
     * a rough figure from memory; the fit finds the true share).
     */
    static double inelasticShare(double wavelengthNm) {
        double factor = ReferenceTable.interpolate(RAMAN_NM, RAMAN_ALPHA, wavelengthNm) * RATIO_440_OVER_550
                + ReferenceTable.interpolate(RAMAN_NM, RAMAN_BETA1, wavelengthNm)
                        * Math.pow(RRS_550_PER_SR, ReferenceTable.interpolate(RAMAN_NM, RAMAN_BETA2, wavelengthNm));
        double offset = (wavelengthNm - 685) / 10.6;
        return factor / (1 + factor) + 0.3 * Math.exp(-0.5 * offset * offset);
    }
}
