package sunward.simulator;

/** What matter in the water does to light, all bound to chlorophyll (mg m-3); per m where not said otherwise. */
interface Constituents {
    /** Where the dissolved and detrital share is told, nm. */
    double REFERENCE_NM = 440;

    /** Absorption by living phytoplankton. */
    double phytoplankton(double wavelengthNm, double chlorophyll);

    /**
     * Absorption by dissolved and detrital matter over its own at 440 nm.
     *
     * @param slopeFactor factor on its slope in wavelength
     */
    double dissolvedShape(double wavelengthNm, double slopeFactor);

    /** Scattering by particles in all directions. */
    double particleScattering(double wavelengthNm, double chlorophyll);

    /** Scattering by particles into the backward half. */
    double particleBackscatter(double wavelengthNm, double chlorophyll);

    /** Photons sent out by fluorescence at a wavelength, per nm and per photon that phytoplankton absorbs. */
    double fluorescence(double wavelengthNm);

    /** A Gaussian band of area 1, per nm. */
    static double band(double awayNm, double fullWidthNm) {
        double sigma = SolarSpectrum.sigma(fullWidthNm);
        double t = awayNm / sigma;
        return Math.exp(-0.5 * t * t) / (sigma * Math.sqrt(2 * Math.PI));
    }
}
