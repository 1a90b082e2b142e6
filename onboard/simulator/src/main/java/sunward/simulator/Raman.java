package sunward.simulator;

/**
 * Raman scattering by water: light of one wavelength comes back about 3400 per cm further to the red. Coefficient 2.6e-4 per
 * m at 488 nm with an exponent of 5.5 in excitation wavelength (Bartlett et al. 1998), band of four Gaussians (Walrafen
 * 1967) and phase function with a depolarisation ratio of 0.17 (Mobley 1994): all constants from memory. Photons are
 * conserved, so energy falls with the shift.
 */
final class Raman {
    private static final double COEFFICIENT_488 = 2.6e-4;
    private static final double EXPONENT = 5.5;
    private static final double[] SHIFT = {3250, 3425, 3530, 3625};
    private static final double[] WEIGHT = {0.41, 0.39, 0.10, 0.10};
    private static final double[] FULL_WIDTH = {210, 175, 140, 140};
    private static final double DEPOLARISATION = 0.17;
    private static final double NM_PER_CM = 1e7;

    private final int first;
    private final double[] weight;

    /**
     * Which wavelengths of a grid feed one emission wavelength, and how strongly.
     *
     * @param gridNm evenly spaced excitation wavelengths
     */
    Raman(double[] gridNm, double emissionNm, Truths truths) {
        double emission = NM_PER_CM / emissionNm;
        double[] share = new double[gridNm.length];
        double sum = 0;
        int low = gridNm.length;
        int high = -1;
        for (int i = 0; i < gridNm.length; i++) {
            double excitation = NM_PER_CM / gridNm[i];
            // Wavenumbers that one step of the grid covers.
            double step = excitation / gridNm[i];
            share[i] = step * band(excitation - emission);
            sum += share[i];
            if (share[i] > 1e-9) {
                low = Math.min(low, i);
                high = i;
            }
        }
        boolean fed = emission + SHIFT[0] < NM_PER_CM / gridNm[0];
        first = fed ? low : 0;
        weight = new double[fed ? high - low + 1 : 0];
        for (int i = 0; i < weight.length; i++) {
            double excitationNm = gridNm[low + i];
            double ratio = excitationNm / emissionNm;
            // Two powers turn wavenumber shares into wavelength shares, one turns photons into energy.
            weight[i] = share[low + i] / sum * coefficient(excitationNm, truths) * ratio * ratio * ratio;
        }
    }

    private static double coefficient(double excitationNm, Truths truths) {
        return COEFFICIENT_488
                * truths.raman(excitationNm)
                * Math.pow(488 / excitationNm, EXPONENT * truths.ramanExponent());
    }

    /** Distribution over the shift, per (1/cm), up to a constant. */
    private static double band(double shift) {
        double sum = 0;
        for (int i = 0; i < SHIFT.length; i++) {
            double sigma = SolarSpectrum.sigma(FULL_WIDTH[i]);
            double t = (shift - SHIFT[i]) / sigma;
            sum += WEIGHT[i] / sigma * Math.exp(-0.5 * t * t);
        }
        return sum;
    }

    /** Phase function over that of isotropic scattering, for a cosine of the scattering angle. */
    static double phase(double cosine) {
        double p = DEPOLARISATION;
        return 0.75 * ((1 + 3 * p) / (1 + 2 * p)) * (1 + (1 - p) / (1 + 3 * p) * cosine * cosine);
    }

    /** Power sent into all directions, W m-3 nm-1, by scalar irradiances (W m-2 nm-1) of the grid. */
    double emitted(double[] scalarIrradiance) {
        double sum = 0;
        for (int i = 0; i < weight.length; i++) {
            sum += weight[i] * scalarIrradiance[first + i];
        }
        return sum;
    }
}
