package sunward.profiles;

import java.util.Arrays;

/**
 * Upwelling radiance of one wavelength followed up to just below the surface.
 *
 * <p>Model of a bin's mean at depth z of head h:
 *
 * <pre>
 *   L = exp(a + d_h + c (K0 z)^2) [ (1 - f) exp(-K z + K^2 m/2) + f exp(-X z + X^2 m/2) ]
 * </pre>
 *
 * with a = ln Lu(0-), d_h the head's own calibration error, K the attenuation of elastically scattered light, f and X share
 * and attenuation of the inelastic light (it follows the light that excites it), c a bend that stands for everything else,
 * K0 the expected attenuation, and m the variance of depth within the bin (ln of a mean = -K z + K^2 m/2). The fit is on
 * untransformed radiance (a logarithm would bias noisy bins low: D'Alimonte et al. 2013, Opt. Express 21, 27707), by
 * Gauss-Newton steps with weights taken at the model. All but a have a stated expectation (prior) with an uncertainty, so
 * few bins give a wide answer and never none without saying so; the red follows Voss et al. 2017 in that a single K does
 * not hold there.
 *
 * <p>The estimate is linear in small errors, so its covariance splits exactly into the share of each source: the property
 * that the uncertainty budget rests on.
 */
final class SurfaceFit {
    /** Bins deeper than this are not looked at: below, pigments may be layered, m. */
    static final double DEEPEST_M = 20;

    /** Nor are those where the expected radiance has fallen by this many e-foldings. */
    static final double LARGEST_DROP = 3.2;

    private static final int A = 0;
    private static final int LN_K = 1;
    private static final int LN_F = 2;
    private static final int LN_X = 3;
    private static final int C = 4;
    private static final int HEADS_FROM = 5;

    private static final double LN_F_SD = 0.6;
    private static final double LN_X_SD = 0.2;

    /** One standard deviation of the bend, per squared expected optical depth (assumed). */
    private static final double BEND_SD = 0.02;

    private static final double LARGEST_SHARE = 0.9;
    private static final int MOST_STEPS = 80;

    /**
     * Where a fit starts from and how far it may be believed.
     *
     * @param attenuationPerM K0
     * @param attenuationLogSd one standard deviation of ln(K / K0)
     */
    record Expectation(
            double attenuationPerM, double attenuationLogSd, double inelasticShare, double inelasticAttenuationPerM) {
        /** Expected fall of radiance from the surface to a depth, e-foldings. */
        double drop(double depthM) {
            return -Math.log((1 - inelasticShare) * Math.exp(-attenuationPerM * depthM)
                    + inelasticShare * Math.exp(-inelasticAttenuationPerM * depthM));
        }

        /** True where the fit looks. */
        boolean within(double depthM) {
            return depthM > 0 && depthM <= DEEPEST_M && drop(depthM) <= LARGEST_DROP;
        }
    }

    /**
     * What a fit found. Variances are of a = ln Lu(0-), so relative.
     *
     * @param radiance Lu(0-)
     * @param attenuationPerM K_Lu just below the surface
     * @param attenuationUncertainty one standard uncertainty of it
     * @param elasticAttenuationPerM K
     * @param elasticRelativeUncertainty relative standard uncertainty of K
     * @param noise variance from photons, readout and darks
     * @param rounding variance from rounding on the wire
     * @param waves variance from waves
     * @param model variance from what the model cannot follow at depth
     * @param expectations variance from the expected attenuation, inelastic share and bend, in this order
     * @param heads variance from the heads' own calibration
     * @param missing variance that lost bins add: the spread between this result and the one with them, added to the
     *     standard uncertainty as it stands
     * @param scatterExcess variance added because the bins scatter more than all this says
     * @param gain per bin, relative change of the result per relative change of the bin
     * @param localAttenuation per bin, -d ln L / dz of the model, per m
     */
    @SuppressWarnings("ArrayRecordComponent") // internal to the package and built once per wavelength
    record Result(
            double radiance,
            double attenuationPerM,
            double attenuationUncertainty,
            double elasticAttenuationPerM,
            double elasticRelativeUncertainty,
            double noise,
            double rounding,
            double waves,
            double model,
            double[] expectations,
            double heads,
            double missing,
            double scatterExcess,
            double[] gain,
            double[] localAttenuation) {
        double variance() {
            return noise
                    + rounding
                    + waves
                    + model
                    + Arrays.stream(expectations).sum()
                    + heads
                    + missing
                    + scatterExcess;
        }
    }

    private final Expectation expected;
    private final double[] prior;
    private final double[] priorVariance;
    private final FitBins bins;
    private final int parameters;

    private final double[] theta;
    private final double[][] jacobian;
    private final double[] weight;
    private final double[] modelled;

    private SurfaceFit(FitBins bins, Expectation expected, double[] headUncertainty) {
        this.bins = bins;
        this.expected = expected;
        parameters = HEADS_FROM + headUncertainty.length;
        prior = new double[parameters];
        prior[LN_K] = Math.log(expected.attenuationPerM());
        prior[LN_F] = Math.log(expected.inelasticShare());
        prior[LN_X] = Math.log(expected.inelasticAttenuationPerM());
        priorVariance = new double[parameters];
        priorVariance[LN_K] = expected.attenuationLogSd() * expected.attenuationLogSd();
        priorVariance[LN_F] = LN_F_SD * LN_F_SD;
        priorVariance[LN_X] = LN_X_SD * LN_X_SD;
        priorVariance[C] = BEND_SD * BEND_SD;
        for (int h = 0; h < headUncertainty.length; h++) {
            priorVariance[HEADS_FROM + h] = Math.max(1e-10, headUncertainty[h] * headUncertainty[h]);
        }
        theta = prior.clone();
        jacobian = new double[bins.count()][parameters];
        weight = new double[bins.count()];
        modelled = new double[bins.count()];
    }

    /**
     * Fits one wavelength.
     *
     * @param headUncertainty per head, relative standard uncertainty of its own calibration
     * @return null when there is no light to fit or the steps do not settle
     */
    static Result fit(FitBins bins, Expectation expected, double[] headUncertainty) {
        if (bins.count() == 0) {
            return null;
        }
        SurfaceFit fit = new SurfaceFit(bins, expected, headUncertainty);
        return fit.settle() ? fit.result() : null;
    }

    private boolean settle() {
        double start = startingRadiance();
        if (!(start > 0)) {
            return false;
        }
        theta[A] = Math.log(start);
        for (int step = 0; step < MOST_STEPS; step++) {
            linearise();
            double[][] covariance = SymmetricMatrix.inverse(information());
            if (covariance == null) {
                return false;
            }
            double[] slope = new double[parameters];
            for (int i = 0; i < bins.count(); i++) {
                double pull = weight[i] * (bins.radiance[i] - modelled[i]) / modelled[i];
                for (int p = 0; p < parameters; p++) {
                    slope[p] += pull * jacobian[i][p];
                }
            }
            for (int p = 1; p < parameters; p++) {
                slope[p] += (prior[p] - theta[p]) / priorVariance[p];
            }
            double largest = 0;
            for (int p = 0; p < parameters; p++) {
                double change = 0;
                for (int q = 0; q < parameters; q++) {
                    change += covariance[p][q] * slope[q];
                }
                change = Math.max(-0.5, Math.min(0.5, change));
                theta[p] += change;
                largest = Math.max(largest, Math.abs(change));
            }
            theta[LN_F] = Math.min(theta[LN_F], Math.log(LARGEST_SHARE));
            if (largest < 1e-7) {
                linearise();
                return true;
            }
        }
        return false;
    }

    /** Mean of the bins carried up along the expectation, weighted by what each should know of the surface. */
    private double startingRadiance() {
        double sum = 0;
        double weights = 0;
        for (int i = 0; i < bins.count(); i++) {
            double fall = Math.exp(-expected.drop(bins.depthM[i]));
            sum += fall * bins.radiance[i];
            weights += fall * fall;
        }
        return sum / weights;
    }

    private void linearise() {
        double k = Math.exp(theta[LN_K]);
        double f = Math.exp(theta[LN_F]);
        double x = Math.exp(theta[LN_X]);
        for (int i = 0; i < bins.count(); i++) {
            double drop = expected.drop(bins.depthM[i]);
            double wavesHere = bins.waves[i];
            double left = discrepancy(drop);
            modelled[i] = model(bins.depthM[i], bins.depthVarianceM2[i], bins.head[i], k, f, x, jacobian[i]);
            double noise = bins.fixed[i] + bins.perRadiance[i] * modelled[i];
            double square = modelled[i] * modelled[i];
            weight[i] = square / (noise + square * (wavesHere * wavesHere + left * left));
        }
    }

    /** Relative standard deviation that the model leaves at this expected fall of radiance (assumed; it only tapers the deep end). */
    private static double discrepancy(double drop) {
        return 0.003 * drop + 0.01 * drop * drop;
    }

    private double model(double z, double m, int head, double k, double f, double x, double[] row) {
        double elastic = (1 - f) * Math.exp(-k * z + k * k * m / 2);
        double inelastic = f * Math.exp(-x * z + x * x * m / 2);
        double mix = elastic + inelastic;
        double bend = expected.attenuationPerM() * z;
        row[A] = 1;
        row[LN_K] = elastic * (-k * z + k * k * m) / mix;
        row[LN_F] = (inelastic - elastic * f / (1 - f)) / mix;
        row[LN_X] = inelastic * (-x * z + x * x * m) / mix;
        row[C] = bend * bend;
        Arrays.fill(row, HEADS_FROM, parameters, 0);
        row[HEADS_FROM + head] = 1;
        return Math.exp(theta[A] + theta[HEADS_FROM + head] + theta[C] * bend * bend) * mix;
    }

    private double[][] information() {
        double[][] information = new double[parameters][parameters];
        for (int i = 0; i < bins.count(); i++) {
            add(information, jacobian[i], weight[i]);
        }
        for (int p = 1; p < parameters; p++) {
            information[p][p] += 1 / priorVariance[p];
        }
        return information;
    }

    private void add(double[][] information, double[] row, double w) {
        for (int p = 0; p < parameters; p++) {
            for (int q = 0; q < parameters; q++) {
                information[p][q] += w * row[p] * row[q];
            }
        }
    }

    private Result result() {
        double[][] information = information();
        double[][] covariance = SymmetricMatrix.inverse(information);
        if (covariance == null) {
            return null;
        }
        double noise = 0;
        double rounding = 0;
        double waves = 0;
        double left = 0;
        double misfit = 0;
        double[] gain = new double[bins.count()];
        double[] local = new double[bins.count()];
        double k = Math.exp(theta[LN_K]);
        double f = Math.exp(theta[LN_F]);
        double x = Math.exp(theta[LN_X]);
        for (int i = 0; i < bins.count(); i++) {
            for (int p = 0; p < parameters; p++) {
                gain[i] += weight[i] * covariance[A][p] * jacobian[i][p];
            }
            double square = gain[i] * gain[i] / (modelled[i] * modelled[i]);
            double onWire = bins.roundingFixed[i] + bins.roundingPerRadiance[i] * modelled[i];
            rounding += square * onWire;
            noise += square * (bins.fixed[i] + bins.perRadiance[i] * modelled[i] - onWire);
            waves += gain[i] * gain[i] * bins.waves[i] * bins.waves[i];
            double atDepth = discrepancy(expected.drop(bins.depthM[i]));
            left += gain[i] * gain[i] * atDepth * atDepth;
            double residual = bins.radiance[i] / modelled[i] - 1;
            misfit += weight[i] * residual * residual;
            local[i] = localAttenuation(bins.depthM[i], k, f, x);
        }
        double[] expectations = {
            square(covariance[A][LN_K]) / priorVariance[LN_K],
            (square(covariance[A][LN_F]) / priorVariance[LN_F]) + square(covariance[A][LN_X]) / priorVariance[LN_X],
            square(covariance[A][C]) / priorVariance[C]
        };
        double heads = 0;
        for (int p = HEADS_FROM; p < parameters; p++) {
            heads += square(covariance[A][p]) / priorVariance[p];
        }
        double[] slope = new double[parameters];
        slope[LN_K] = (1 - f) * k;
        slope[LN_F] = f * (x - k);
        slope[LN_X] = f * x;
        return new Result(
                Math.exp(theta[A]),
                (1 - f) * k + f * x,
                Math.sqrt(quadratic(covariance, slope)),
                k,
                Math.sqrt(covariance[LN_K][LN_K]),
                noise,
                rounding,
                waves,
                left,
                expectations,
                heads,
                missing(information, covariance[A][A], covariance[A][A] - heads),
                (excess(misfit) - 1) * (noise + rounding + waves + left),
                gain,
                local);
    }

    /**
     * Birge's ratio, squared, where the bins scatter more than chance allows (four standard deviations of chi squared over
     * its degrees of freedom, as it is about normal for many); else 1.
     */
    private double excess(double misfit) {
        int free = bins.count() - 3;
        if (free < 5) {
            return 1;
        }
        double reduced = misfit / free;
        return Math.max(1, reduced / (1 + 4 * Math.sqrt(2.0 / free)));
    }

    /**
     * For the best estimate the variance of the difference from a fuller one is the difference of their variances; that
     * standard deviation is added, as it stands, to the part of the standard uncertainty that bins can lower, so losing
     * bins never makes a result look surer.
     */
    private double missing(double[][] information, double variance, double lowerable) {
        if (bins.missingDepthM.length == 0) {
            return 0;
        }
        double[][] fuller = new double[parameters][];
        for (int p = 0; p < parameters; p++) {
            fuller[p] = information[p].clone();
        }
        double k = Math.exp(theta[LN_K]);
        double f = Math.exp(theta[LN_F]);
        double x = Math.exp(theta[LN_X]);
        double[] row = new double[parameters];
        for (int j = 0; j < bins.missingDepthM.length; j++) {
            int like = bins.missingLike[j];
            double z = bins.missingDepthM[j];
            double m = model(z, bins.depthVarianceM2[like], bins.head[like], k, f, x, row);
            double left = discrepancy(expected.drop(z));
            double rel = bins.waves[like] * bins.waves[like] + left * left;
            double w = m * m / (bins.fixed[like] + bins.perRadiance[like] * m + m * m * rel);
            add(fuller, row, bins.missingChance[j] * w);
        }
        double[][] covariance = SymmetricMatrix.inverse(fuller);
        double lost = covariance == null ? variance : Math.max(0, variance - covariance[A][A]);
        return 2 * Math.sqrt(Math.max(0, lowerable) * lost) + lost;
    }

    private double localAttenuation(double z, double k, double f, double x) {
        double elastic = (1 - f) * Math.exp(-k * z);
        double inelastic = f * Math.exp(-x * z);
        return (k * elastic + x * inelastic) / (elastic + inelastic)
                - 2 * theta[C] * square(expected.attenuationPerM()) * z;
    }

    private static double quadratic(double[][] covariance, double[] slope) {
        double sum = 0;
        for (int p = 0; p < slope.length; p++) {
            for (int q = 0; q < slope.length; q++) {
                sum += slope[p] * covariance[p][q] * slope[q];
            }
        }
        return sum;
    }

    private static double square(double x) {
        return x * x;
    }
}
