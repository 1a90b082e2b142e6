package sunward.simulator;

/** A way to follow light of one wavelength down the sea and back up. */
interface Transfer {
    /** Mean cosine of skylight below the surface (from memory, common practice for a uniform sky). */
    double SKY_COSINE = 0.86;

    /**
     * Follows the light that enters the sea.
     *
     * @param depthM levels, rising from 0; the last layer goes on for ever
     * @param water what the water does to this wavelength at each level
     * @param wavelengthNm of the light
     * @param incident irradiance just below the surface, W m-2 nm-1, without light thrown back down
     * @param sunShare share of it that comes straight from the sun, 0 to 1
     * @param light filled
     */
    void follow(
            double[] depthM,
            Water.Properties[] water,
            double wavelengthNm,
            double incident,
            double sunShare,
            Light light);

    /** Light of one wavelength by level. */
    final class Light {
        /** ln of downwelling irradiance over the incident one. */
        final double[] lnDown;
        /** ln of elastically scattered nadir radiance over the incident irradiance. */
        final double[] lnElastic;
        /** Scalar irradiance, W m-2 nm-1. */
        final double[] scalar;
        /** The same weighted by the Raman phase function towards the zenith. */
        final double[] scalarRaman;

        Light(int levels) {
            lnDown = new double[levels];
            lnElastic = new double[levels];
            scalar = new double[levels];
            scalarRaman = new double[levels];
        }
    }
}
