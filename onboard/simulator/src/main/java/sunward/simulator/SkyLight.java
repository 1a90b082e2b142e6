package sunward.simulator;

import sunward.protocol.schema.Atmosphere;

/**
 * Clear-sky irradiance as Gaussian lines see it, by the published tables and formulas as they stand: the solar spectrum of
 * {@link SolarSpectrum} through the sky of {@link Sky}. All W m-2 nm-1 on the sea's plane, one value a wavelength.
 *
 * @param extraterrestrial across the sun's rays, at the day's distance
 * @param direct from the sun's disc, just above the surface
 * @param diffuse from the rest of the sky, just above the surface
 * @param directBelow what of {@code direct} enters the sea
 * @param diffuseBelow what of {@code diffuse} enters the sea; light that the surface throws back down is left out
 */
@SuppressWarnings("ArrayRecordComponent") // Data handed on, never compared.
public record SkyLight(
        double[] extraterrestrial, double[] direct, double[] diffuse, double[] directBelow, double[] diffuseBelow) {

    /**
     * The light of a sky.
     *
     * @param sun its zenith distance and its distance from the Earth
     * @param centreNm 310 to 870 nm
     * @param lineWidthNm full width at half maximum
     */
    public static SkyLight published(Atmosphere atmosphere, SunPosition sun, double[] centreNm, double lineWidthNm) {
        Sky sky = Sky.published(atmosphere, sun.zenithDeg());
        double factor = 1 / (sun.distanceAu() * sun.distanceAu());
        int channels = centreNm.length;
        double[][] light = new double[5][channels];
        for (int c = 0; c < channels; c++) {
            light[0][c] = factor * SolarSpectrum.through(centreNm[c], lineWidthNm);
            light[1][c] = factor * SolarSpectrum.through(centreNm[c], lineWidthNm, 1, sky::direct)[0];
            light[2][c] = factor * SolarSpectrum.through(centreNm[c], lineWidthNm, 1, sky::diffuse)[0];
            light[3][c] = light[1][c] * (1 - sky.directReflectance());
            light[4][c] = light[2][c] * (1 - sky.skyReflectance());
        }
        return new SkyLight(light[0], light[1], light[2], light[3], light[4]);
    }
}
