package sunward.profiles;

import sunward.protocol.schema.Hull;

/**
 * What sun and hull did to each bin, along the spectrum: the irradiance at its time against that at the surfacing, and the
 * share that the hull took away. Both are smooth, so they are worked out every {@link #STEP_NM} and interpolated.
 */
final class Illumination {
    /** Standard uncertainty of the correction for the sun's path, as a share of itself (assumed: the sky is a model's). */
    static final double SHARE_UNCERTAIN = 0.3;

    private static final double STEP_NM = 15;
    private static final double FIRST_NM = 310;
    private static final int NODES = 39;

    private final double[] nodeNm = new double[NODES];
    private final double[] light = new double[NODES];
    private final double[] loss = new double[NODES];

    /**
     * One bin.
     *
     * @param sky the sky's transmittances
     * @param sun zenith at the bin's time, degree
     * @param surfacing zenith at the surfacing, degree
     * @param armM the head's distance from the hull's axis
     * @param antisunDeg the head's azimuth from the anti-sun; not-a-number: shading is left alone
     */
    Illumination(ClearSky sky, double sun, double surfacing, Hull hull, double armM, double antisunDeg) {
        HullShading shading = new HullShading(hull);
        for (int i = 0; i < NODES; i++) {
            nodeNm[i] = FIRST_NM + i * STEP_NM;
            ClearSky.Shares now = sky.shares(nodeNm[i], sun);
            light[i] = now.global() / sky.shares(nodeNm[i], surfacing).global();
            loss[i] = Double.isNaN(antisunDeg)
                    ? 0
                    : shading.loss(armM, antisunDeg, sun, now.directShare(), ClearWater.attenuationPerM(nodeNm[i]));
        }
    }

    /** Irradiance at the bin's time over that at the surfacing. */
    double light(double wavelengthNm) {
        return ReferenceTable.interpolate(nodeNm, light, wavelengthNm);
    }

    /** Share lost to the hull, 0 to 1. */
    double loss(double wavelengthNm) {
        return ReferenceTable.interpolate(nodeNm, loss, wavelengthNm);
    }
}
