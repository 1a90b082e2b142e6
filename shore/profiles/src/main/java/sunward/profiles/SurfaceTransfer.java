package sunward.profiles;

import java.util.List;

/** Through the surface: nadir radiance in air is that in water times (1 - rho) / n^2. */
final class SurfaceTransfer {
    /** Standard uncertainty of the index itself: a relative 1.5e-4 of n (assumed; the fit's own error and its use outside 400 to 700 nm). */
    private static final double INDEX_RELATIVE = 1.5e-4;

    /** Roughness of the surface and foam change the nadir transmittance by about this share (assumed). */
    private static final double ROUGHNESS_RELATIVE = 0.001;

    private SurfaceTransfer() {}

    /** Fresnel transmittance at normal incidence over the index squared. */
    static double factor(double wavelengthNm, double temperatureDegC, double salinity) {
        double n = Seawater.refractiveIndex(wavelengthNm, temperatureDegC, salinity);
        double root = (n - 1) / (n + 1);
        return (1 - root * root) / (n * n);
    }

    static Corrected spectrum(double[] wavelengthNm, SurfaceWater water) {
        double[] value = new double[wavelengthNm.length];
        double[] relative = new double[wavelengthNm.length];
        for (int k = 0; k < value.length; k++) {
            double nm = wavelengthNm[k];
            value[k] = factor(nm, water.temperatureDegC(), water.salinity());
            double warmer = factor(nm, water.temperatureDegC() + water.temperatureUncertainty(), water.salinity());
            double saltier = factor(nm, water.temperatureDegC(), water.salinity() + water.salinityUncertainty());
            double outside = nm < 400 ? (400 - nm) / 100 : nm > 700 ? (nm - 700) / 200 : 0;
            relative[k] = Math.sqrt(square(warmer / value[k] - 1)
                    + square(saltier / value[k] - 1)
                    + square(2 * INDEX_RELATIVE * (1 + 4 * outside))
                    + square(ROUGHNESS_RELATIVE));
        }
        return new Corrected(
                Spectrum.of(value), List.of(Contribution.whole("surface transfer", Correlation.DIVE, relative)));
    }

    private static double square(double x) {
        return x * x;
    }
}
