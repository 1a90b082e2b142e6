package sunward.profiles;

import java.util.ArrayList;
import java.util.List;
import sunward.protocol.schema.HeadCalibration;

/**
 * From counts per second to radiance in water: divided by the responsivity in air, times the immersion factor.
 *
 * <p>Immersion factor of a radiance head, If = n_w (n_w + n_g)^2 / (1 + n_g)^2, n_w the index of seawater and n_g that of the
 * window (as usually given after Zibordi 2006, J. Atmos. Oceanic Technol. 23; formula from memory).
 */
final class HeadResponse {
    private final double[] perCount;
    private final List<Contribution> shared;
    private final double[] ownUncertainty;

    /**
     * Radiance per count/s at these wavelengths.
     *
     * @param wavelengthNm centre of each sample
     * @param water water that the window touches
     */
    HeadResponse(HeadCalibration calibration, double[] wavelengthNm, SurfaceWater water) {
        int n = wavelengthNm.length;
        double[] knots = calibration.getKnotNmList().stream()
                .mapToDouble(Double::doubleValue)
                .toArray();
        double[] logs = calibration.getResponsivityList().stream()
                .mapToDouble(Math::log)
                .toArray();
        double[] percents = calibration.getResponsivityUncertaintyPercentList().stream()
                .mapToDouble(Double::doubleValue)
                .toArray();
        NaturalSpline spline = new NaturalSpline(knots, logs);
        perCount = new double[n];
        ownUncertainty = new double[n];
        double[] standard = new double[n];
        double[] immersion = new double[n];
        double[] linearity = new double[n];
        for (int k = 0; k < n; k++) {
            perCount[k] = immersionFactor(wavelengthNm[k], calibration.getWindowIndex(), water)
                    / Math.exp(spline.at(wavelengthNm[k]));
            double relative = ReferenceTable.interpolate(knots, percents, wavelengthNm[k]) / 100;
            standard[k] = relative * Math.sqrt(calibration.getSharedShare());
            ownUncertainty[k] = relative * Math.sqrt(1 - calibration.getSharedShare());
            immersion[k] = calibration.getImmersionUncertaintyPercent() / 100;
            linearity[k] = calibration.getLinearityUncertaintyPercent() / 100;
        }
        shared = new ArrayList<>();
        shared.add(new Contribution(
                "calibration, laboratory standard",
                Correlation.DEPLOYMENT,
                calibration.getCorrelationLengthNm(),
                Spectrum.of(standard)));
        shared.add(Contribution.whole("immersion", Correlation.DEPLOYMENT, immersion));
        shared.add(Contribution.whole("linearity", Correlation.DEPLOYMENT, linearity));
    }

    static double immersionFactor(double wavelengthNm, double windowIndex, SurfaceWater water) {
        double n = Seawater.refractiveIndex(wavelengthNm, water.temperatureDegC(), water.salinity());
        double ratio = (n + windowIndex) / (1 + windowIndex);
        return n * ratio * ratio;
    }

    /** Radiance of one count/s at sample {@code k}. */
    double perCount(int k) {
        return perCount[k];
    }

    /** Relative standard uncertainty of this head's own calibration error at sample {@code k}. */
    double ownUncertainty(int k) {
        return ownUncertainty[k];
    }

    /** Sources that all heads share (immersion and linearity are taken as shared, the cautious choice). */
    List<Contribution> shared() {
        return shared;
    }

    /** Combined standard uncertainty of the radiance of these counts per second. */
    Spectrum uncertainty(Spectrum countsPerSecond, BinNoise noise) {
        double[] u = new double[countsPerSecond.size()];
        for (int k = 0; k < u.length; k++) {
            double counts = countsPerSecond.at(k);
            double relative = ownUncertainty[k] * ownUncertainty[k];
            for (Contribution contribution : shared) {
                relative += contribution.factor().at(k) * contribution.factor().at(k);
            }
            u[k] = perCount[k] * Math.sqrt(noise.variance(counts) + relative * counts * counts);
        }
        return Spectrum.of(u);
    }

    Spectrum radiance(Spectrum countsPerSecond) {
        return countsPerSecond.times(Spectrum.of(perCount));
    }
}
