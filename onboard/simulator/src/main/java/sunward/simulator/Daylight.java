package sunward.simulator;

/**
 * Light for plants in the water: photons of the downwelling irradiance from 400 to 700 nm, summed over a few wavelengths, at
 * the instant of surfacing under a clear sky. Immutable.
 */
final class Daylight {
    private static final double FIRST_NM = 410;
    private static final double STEP_NM = 20;
    private static final int BANDS = 15;

    /** Planck's constant times the speed of light times Avogadro's number, J m per mol (exact since the SI of 2019). */
    private static final double JOULE_METRES_PER_MOL = 6.62607015e-34 * 299792458 * 6.02214076e23;

    private final double[] depthM;
    private final double[] photons;

    Daylight(LightField field) {
        double[] nm = new double[BANDS];
        for (int k = 0; k < BANDS; k++) {
            nm[k] = FIRST_NM + STEP_NM * k;
        }
        Channels channels = field.channels(nm, STEP_NM);
        double[] light = channels.ed0();
        for (int k = 0; k < BANDS; k++) {
            light[k] *= STEP_NM * nm[k] * 1e-9 / JOULE_METRES_PER_MOL * 1e6;
        }
        depthM = field.depthsM();
        photons = new double[depthM.length];
        for (int z = 0; z < depthM.length; z++) {
            for (int k = 0; k < BANDS; k++) {
                photons[z] += light[k];
                if (z + 1 < depthM.length) {
                    double thick = depthM[z + 1] - depthM[z];
                    light[k] *= Math.exp(-thick * channels.downwellingAttenuation(depthM[z], k));
                }
            }
        }
    }

    /** Photons at a depth, micromol per m2 and s. */
    double micromolPerM2S(double depth) {
        int z = 0;
        while (z < depthM.length - 2 && depthM[z + 1] <= depth) {
            z++;
        }
        double share = Math.max(0, Math.min(1, (depth - depthM[z]) / (depthM[z + 1] - depthM[z])));
        // Far down in green water, and by night, nothing may be left.
        return photons[z + 1] == 0 ? 0 : photons[z] * Math.pow(photons[z + 1] / photons[z], share);
    }

    /** The depth that a share of the photons just below the surface reaches, m; the deepest known where more do. */
    double depthOfShareM(double share) {
        for (int z = 1; z < depthM.length; z++) {
            double there = photons[z] / photons[0];
            if (there <= share) {
                double above = photons[z - 1] / photons[0];
                double part = Math.log(above / share) / Math.log(above / there);
                return depthM[z - 1] + part * (depthM[z] - depthM[z - 1]);
            }
        }
        return depthM[depthM.length - 1];
    }
}
