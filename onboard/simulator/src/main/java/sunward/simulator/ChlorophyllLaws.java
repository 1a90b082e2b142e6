package sunward.simulator;

/** The usual sea: absorption by Bricaud et al. (1998), particles by Morel and Maritorena (2001), one slope of all dissolved matter. */
final class ChlorophyllLaws implements Constituents {
    private static final Table PHYTOPLANKTON = Table.read("phytoplankton.csv");
    /** Slope of dissolved and detrital absorption, per nm: Morel (1991). */
    private static final double DISSOLVED_SLOPE = 0.014;
    /** Fall of the red chlorophyll band beyond 700 nm, nm: stands in for a table, no source. */
    private static final double RED_EDGE_NM = 12;
    /** Photons that phytoplankton sends out by fluorescence per photon absorbed; reported between 0.005 and 0.07. */
    private static final double FLUORESCENCE_YIELD = 0.015;

    /**
     * {@inheritDoc} Bricaud et al. (1998) from 400 to 700 nm. Below, its value at 400 nm stands in; above, its value at 700
     * nm falls off as the wing of a Gaussian. Neither stand-in has a source.
     */
    @Override
    public double phytoplankton(double wavelengthNm, double chlorophyll) {
        double absorption =
                PHYTOPLANKTON.at(1, wavelengthNm) * Math.pow(chlorophyll, PHYTOPLANKTON.at(2, wavelengthNm));
        double beyond = Math.max(0, wavelengthNm - PHYTOPLANKTON.last()) / RED_EDGE_NM;
        return absorption * Math.exp(-0.5 * beyond * beyond);
    }

    @Override
    public double dissolvedShape(double wavelengthNm, double slopeFactor) {
        return Math.exp(-DISSOLVED_SLOPE * slopeFactor * (wavelengthNm - REFERENCE_NM));
    }

    /** Slope of the particles' scattering in wavelength: Morel and Maritorena (2001, equation 14). */
    private static double particleSlope(double chlorophyll) {
        return chlorophyll >= 2 ? 0 : 0.5 * (Math.log10(Math.max(0.02, chlorophyll)) - 0.3);
    }

    private static double particleScattering550(double chlorophyll) {
        return 0.416 * Math.pow(chlorophyll, 0.766);
    }

    @Override
    public double particleScattering(double wavelengthNm, double chlorophyll) {
        return particleScattering550(chlorophyll) * Math.pow(wavelengthNm / 550, particleSlope(chlorophyll));
    }

    /** {@inheritDoc} Morel and Maritorena (2001, equations 12 to 14). */
    @Override
    public double particleBackscatter(double wavelengthNm, double chlorophyll) {
        double slope = Math.pow(wavelengthNm / 550, particleSlope(chlorophyll));
        double share = 0.002 + 0.01 * (0.50 - 0.25 * Math.log10(chlorophyll)) * slope;
        return share * particleScattering550(chlorophyll);
    }

    /** {@inheritDoc} Bands at 685 nm (25 nm wide) and 735 nm (50 nm wide), weights from memory. */
    @Override
    public double fluorescence(double wavelengthNm) {
        return FLUORESCENCE_YIELD
                * (0.75 * Constituents.band(wavelengthNm - 685, 25) + 0.25 * Constituents.band(wavelengthNm - 735, 50));
    }
}
