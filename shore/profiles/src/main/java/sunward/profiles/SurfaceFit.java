package sunward.profiles;

import java.util.Arrays;

/**
 * Upwelling radiance of one wavelength followed up to just below the surface.
 *
 * <p>Model of a bin's mean at depth z of head h:
 *
 * <pre>
 *   L = exp(a + d_h) [ (1 - f) exp(-D + k^2 m/2) + f exp(-E + e^2 m/2) ]
 *   k(z) = K exp(sum of s_j over layers j that begin above z),  D = integral of k from 0 to z
 *   e(z) = X (1 + sum of r_j over the same layers),             E = integral of e from 0 to z
 * </pre>
 *
 * with a = ln Lu(0-), d_h the head's own calibration error, K the attenuation of elastically scattered light at the surface,
 * f and X share and attenuation there of the inelastic light (it follows the light that excites it), s_j and r_j what both
 * attenuations do from layer to layer, as pigments change with depth, and m the variance of depth within the bin (ln of a
 * mean = -k z + k^2 m/2). The steps s and r are random walks of known strength: the smoothing spline's view of an unknown
 * profile (Wahba 1978, J. R. Stat. Soc. B 40, 364), which by itself lets deep bins say less about the surface. The fit is on
 * untransformed radiance (a logarithm would bias noisy bins low: D'Alimonte et al. 2013, Opt. Express 21, 27707), by
 * Gauss-Newton steps with weights taken at the model. All but a have a stated expectation (prior) with an uncertainty, so
 * few bins give a wide answer and never none without saying so; the red follows Voss et al. 2017 in that a single K does
 * not hold there.
 *
 * <p>Where clouds pass, the light wanders as a random walk in time from the surfacing back, and each moment at which bins were
 * read has a step of its own: bins of long ago then say something of K, little of the surface.
 *
 * <p>The estimate is linear in small errors, so its covariance splits exactly into the share of each source: the property
 * that the uncertainty budget rests on.
 */
final class SurfaceFit {
    /** Bins deeper than this are not looked at, m. */
    static final double DEEPEST_M = 20;

    /** Nor are those where the expected radiance has fallen by this many e-foldings. */
    static final double LARGEST_DROP = 3.2;

    /** Why there is no result. */
    static final String NO_LIGHT = "too little light";

    static final String UNSETTLED = "the fit did not settle";

    /** Depths at which attenuation may change, m. */
    private static final double[] LAYERS_M = {1.5, 3, 5, 7.5, 10.5, 14, 17};

    private static final int A = 0;
    private static final int LN_K = 1;

    /** ln(f / (1 - f)), which keeps the share between 0 and 1. */
    private static final int LOGIT_F = 2;

    private static final int LN_X = 3;
    private static final int ELASTIC_FROM = 4;
    private static final int INELASTIC_FROM = ELASTIC_FROM + LAYERS_M.length;
    private static final int HEADS_FROM = INELASTIC_FROM + LAYERS_M.length;

    private static final double LOGIT_F_SD = 0.6;
    private static final double LN_X_SD = 0.2;

    /** How far ln of attenuation walks over 10 m of depth, of its own standard deviation from water to water (assumed). */
    private static final double ELASTIC_WALK = 0.5;

    /** How far the attenuation of inelastic light walks over 10 m, of its expectation (assumed: a layer of pigment glows). */
    private static final double INELASTIC_WALK = 0.7;

    private static final double WALK_M = 10;

    /** Least part of a variance that bins take with them when all are lost (assumed). */
    private static final double LEAST_LOST = 3e-3;

    /** Longest step of a parameter, and how often a fit may step. */
    private static final double LONGEST_STEP = 0.5;

    private static final int MOST_STEPS = 200;

    /** After so many, steps are shortened in any case, so none goes round for ever. */
    private static final double FREE_STEPS = 20;

    /** Bins of both heads read within so many seconds share their light, and none is nearer to the next than this. */
    private static final double SAME_MOMENT_S = 1.5;

    private static final double LEAST_GAP_S = 0.5;

    private static final double SETTLED = 1e-7;

    /** Good enough after the last step: a hundredth of the smallest uncertainty that matters. */
    private static final double NEARLY_SETTLED = 1e-4;

    /** Where light wanders, after the free steps: the surface's own step over its standard uncertainty, whatever deep layers still do. */
    private static final double SETTLED_SURFACE = 0.01;

    /** The same after the last step. */
    private static final double NEARLY_SETTLED_SURFACE = 0.05;

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
     * @param leftOut variance from what the codec left out of all bins alike
     * @param waves variance from waves
     * @param model variance from what the model cannot follow at depth
     * @param expectations variance from the expected attenuation, inelastic light and layers, in this order
     * @param heads variance from the heads' own calibration
     * @param changingLight variance from clouds that pass
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
            double leftOut,
            double waves,
            double model,
            double[] expectations,
            double heads,
            double changingLight,
            double missing,
            double scatterExcess,
            double[] gain,
            double[] localAttenuation) {
        double variance() {
            return noise
                    + rounding
                    + leftOut
                    + waves
                    + model
                    + Arrays.stream(expectations).sum()
                    + heads
                    + changingLight
                    + missing
                    + scatterExcess;
        }
    }

    private final Expectation expected;
    private final double[] prior;
    private final double[] priorVariance;
    private final FitBins bins;
    private final int parameters;
    /** Where the steps of brightness begin among the parameters, and how many of them lie between each bin and the surfacing. */
    private final int walkFrom;

    private final int[] walked;

    private final double[] theta;
    private final double[][] jacobian;
    private final double[] weight;
    private final double[] modelled;

    /** -d ln L / dz of the model where it was last asked, per m. */
    private double localAttenuation;

    private SurfaceFit(FitBins bins, Expectation expected, double[] headUncertainty) {
        this.bins = bins;
        this.expected = expected;
        walkFrom = HEADS_FROM + headUncertainty.length;
        walked = new int[bins.count()];
        double[] moments = moments();
        parameters = walkFrom + moments.length;
        prior = new double[parameters];
        prior[LN_K] = Math.log(expected.attenuationPerM());
        prior[LOGIT_F] = Math.log(expected.inelasticShare() / (1 - expected.inelasticShare()));
        prior[LN_X] = Math.log(expected.inelasticAttenuationPerM());
        priorVariance = new double[parameters];
        priorVariance[LN_K] = square(expected.attenuationLogSd());
        priorVariance[LOGIT_F] = square(LOGIT_F_SD);
        priorVariance[LN_X] = square(LN_X_SD);
        for (int j = 0; j < LAYERS_M.length; j++) {
            double share = (LAYERS_M[j] - (j == 0 ? 0 : LAYERS_M[j - 1])) / WALK_M;
            priorVariance[ELASTIC_FROM + j] = share * square(ELASTIC_WALK * expected.attenuationLogSd());
            priorVariance[INELASTIC_FROM + j] = share * square(INELASTIC_WALK);
        }
        for (int h = 0; h < headUncertainty.length; h++) {
            priorVariance[HEADS_FROM + h] = Math.max(1e-10, headUncertainty[h] * headUncertainty[h]);
        }
        for (int j = 0; j < moments.length; j++) {
            double gap = moments[j] - (j == 0 ? 0 : moments[j - 1]);
            priorVariance[walkFrom + j] = bins.walkPerS * Math.max(LEAST_GAP_S, gap);
        }
        theta = prior.clone();
        jacobian = new double[bins.count()][parameters];
        weight = new double[bins.count()];
        modelled = new double[bins.count()];
    }

    /** The moments at which bins were read, from the surfacing back, s; none while the light is steady. Counts them for each bin. */
    private double[] moments() {
        if (bins.walkPerS <= 0) {
            return new double[0];
        }
        double[] ages = Arrays.stream(bins.ageS).sorted().toArray();
        double[] moments = new double[ages.length];
        int count = 0;
        for (double age : ages) {
            if (count == 0 || age > moments[count - 1] + SAME_MOMENT_S) {
                moments[count++] = age;
            }
        }
        for (int i = 0; i < walked.length; i++) {
            int j = 0;
            while (j < count && moments[j] <= bins.ageS[i]) {
                j++;
            }
            walked[i] = j;
        }
        return Arrays.copyOf(moments, count);
    }

    /**
     * A result, or why there is none.
     *
     * @param result null when there is none
     * @param reason empty when there is one
     */
    record Outcome(Result result, String reason) {}

    /**
     * Fits one wavelength.
     *
     * @param headUncertainty per head, relative standard uncertainty of its own calibration
     */
    static Outcome fit(FitBins bins, Expectation expected, double[] headUncertainty) {
        SurfaceFit fit = new SurfaceFit(bins, expected, headUncertainty);
        double start = fit.startingRadiance();
        if (!(start > 0)) {
            return new Outcome(null, NO_LIGHT);
        }
        fit.theta[A] = Math.log(start);
        Result result = fit.settle() ? fit.result() : null;
        return new Outcome(result, result == null ? UNSETTLED : "");
    }

    /** Steps along Gauss and Newton's direction, no parameter further than the longest step; shorter after each step that went too far. */
    private boolean settle() {
        double[] step = new double[parameters];
        double promised = 0;
        double damping = 1;
        double largest = Double.POSITIVE_INFINITY;
        double surface = Double.POSITIVE_INFINITY;
        for (int count = 0; count < MOST_STEPS; count++) {
            linearise();
            double[][] covariance = SymmetricMatrix.inverse(information());
            if (covariance == null) {
                return false;
            }
            double[] slope = slope();
            double[] whole = new double[parameters];
            largest = 0;
            double back = 0;
            for (int p = 0; p < parameters; p++) {
                for (int q = 0; q < parameters; q++) {
                    whole[p] += covariance[p][q] * slope[q];
                }
                largest = Math.max(largest, Math.abs(whole[p]));
                back += slope[p] * step[p];
            }
            if (largest < SETTLED) {
                return true;
            }
            surface = Math.abs(whole[A]) / Math.sqrt(covariance[A][A]);
            if (bins.walkPerS > 0 && count >= FREE_STEPS && surface < SETTLED_SURFACE) {
                return true;
            }
            damping = back < -0.3 * promised
                    ? damping / 2
                    : Math.min(1.5 * damping, Math.min(1, FREE_STEPS / (count + 1.0)));
            double scale = Math.min(damping, LONGEST_STEP / largest);
            promised = 0;
            for (int p = 0; p < parameters; p++) {
                step[p] = scale * whole[p];
                theta[p] += step[p];
                promised += slope[p] * step[p];
            }
        }
        linearise();
        return largest < NEARLY_SETTLED || bins.walkPerS > 0 && surface < NEARLY_SETTLED_SURFACE;
    }

    private double[] slope() {
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
        return slope;
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
        for (int i = 0; i < bins.count(); i++) {
            double drop = expected.drop(bins.depthM[i]);
            double wavesHere = bins.waves[i];
            double left = discrepancy(drop);
            modelled[i] = model(bins.depthM[i], bins.depthVarianceM2[i], bins.head[i], walked[i], jacobian[i]);
            double noise = bins.fixed[i] + bins.perRadiance[i] * modelled[i];
            double square = modelled[i] * modelled[i];
            weight[i] = square / (noise + square * (wavesHere * wavesHere + left * left));
        }
    }

    /** Relative standard deviation that the model leaves at this expected fall of radiance (assumed; it only tapers the deep end). */
    private static double discrepancy(double drop) {
        return 0.003 * drop + 0.01 * drop * drop;
    }

    /** The model at one depth; leaves the slopes of its logarithm in {@code row}. */
    private double model(double z, double m, int head, int steps, double[] row) {
        double k = Math.exp(theta[LN_K]);
        double x = Math.exp(theta[LN_X]);
        double f = share();
        double[] fallAt = new double[LAYERS_M.length];
        double local = k;
        double fall = 0;
        double inelasticLocal = x;
        double inelasticFall = x * z;
        double from = 0;
        for (int j = 0; j < LAYERS_M.length && LAYERS_M[j] < z; j++) {
            fall += local * (LAYERS_M[j] - from);
            fallAt[j] = fall;
            from = LAYERS_M[j];
            local *= Math.exp(theta[ELASTIC_FROM + j]);
            inelasticLocal += x * theta[INELASTIC_FROM + j];
            inelasticFall += x * theta[INELASTIC_FROM + j] * (z - from);
        }
        fall += local * (z - from);
        double elastic = (1 - f) * Math.exp(-fall + local * local * m / 2);
        double inelastic = f * Math.exp(-inelasticFall + inelasticLocal * inelasticLocal * m / 2);
        double mix = elastic + inelastic;
        double curved = local * local * m;
        Arrays.fill(row, 0);
        row[A] = 1;
        row[LN_K] = elastic * (curved - fall) / mix;
        row[LOGIT_F] = ((1 - f) * inelastic - f * elastic) / mix;
        row[LN_X] = inelastic * (inelasticLocal * inelasticLocal * m - inelasticFall) / mix;
        for (int j = 0; j < LAYERS_M.length && LAYERS_M[j] < z; j++) {
            row[ELASTIC_FROM + j] = elastic * (curved - fall + fallAt[j]) / mix;
            row[INELASTIC_FROM + j] = inelastic * x * (inelasticLocal * m - z + LAYERS_M[j]) / mix;
        }
        row[HEADS_FROM + head] = 1;
        localAttenuation = (local * elastic + inelasticLocal * inelastic) / mix;
        double brightness = theta[A] + theta[HEADS_FROM + head];
        for (int j = walkFrom; j < walkFrom + steps; j++) {
            brightness += theta[j];
            row[j] = 1;
        }
        return Math.exp(brightness) * mix;
    }

    private double share() {
        return 1 / (1 + Math.exp(-theta[LOGIT_F]));
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
            if (row[p] == 0) {
                continue; // Most bins know nothing of most layers and moments.
            }
            double weighted = w * row[p];
            for (int q = 0; q < parameters; q++) {
                information[p][q] += weighted * row[q];
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
        double leftOut = 0;
        double waves = 0;
        double left = 0;
        double misfit = 0;
        double[] gain = new double[bins.count()];
        double[] local = new double[bins.count()];
        double[] row = new double[parameters];
        for (int i = 0; i < bins.count(); i++) {
            for (int p = 0; p < parameters; p++) {
                gain[i] += weight[i] * covariance[A][p] * jacobian[i][p];
            }
            double square = gain[i] * gain[i] / (modelled[i] * modelled[i]);
            double onWire = bins.roundingFixed[i] + bins.roundingPerRadiance[i] * modelled[i];
            rounding += square * onWire;
            double ofBin = square * (bins.fixed[i] + bins.perRadiance[i] * modelled[i] - onWire);
            noise += ofBin;
            leftOut += bins.shared[i] * Math.sqrt(ofBin);
            waves += gain[i] * gain[i] * bins.waves[i] * bins.waves[i];
            double atDepth = discrepancy(expected.drop(bins.depthM[i]));
            left += gain[i] * gain[i] * atDepth * atDepth;
            double residual = bins.radiance[i] / modelled[i] - 1;
            misfit += weight[i] * residual * residual;
            model(bins.depthM[i], bins.depthVarianceM2[i], bins.head[i], walked[i], row);
            local[i] = localAttenuation;
        }
        double[] expectations = {
            priorShare(covariance, LN_K, LOGIT_F),
            priorShare(covariance, LOGIT_F, ELASTIC_FROM),
            priorShare(covariance, ELASTIC_FROM, HEADS_FROM)
        };
        double heads = priorShare(covariance, HEADS_FROM, walkFrom);
        double k = Math.exp(theta[LN_K]);
        double f = share();
        double x = Math.exp(theta[LN_X]);
        double[] slope = new double[parameters];
        slope[LN_K] = (1 - f) * k;
        slope[LOGIT_F] = f * (1 - f) * (x - k);
        slope[LN_X] = f * x;
        double[][] fuller = fullerCovariance(information, covariance);
        double attenuation = quadratic(covariance, slope);
        double attenuationMissing = missing(attenuation, attenuation, quadratic(fuller, slope));
        return new Result(
                Math.exp(theta[A]),
                (1 - f) * k + f * x,
                Math.sqrt(attenuation + attenuationMissing),
                k,
                Math.sqrt(covariance[LN_K][LN_K]),
                noise,
                rounding,
                leftOut * leftOut,
                waves,
                left,
                expectations,
                heads,
                priorShare(covariance, walkFrom, parameters),
                missing(covariance[A][A], covariance[A][A] - heads, fuller[A][A]),
                (excess(misfit) - 1) * (noise + rounding + waves + left),
                gain,
                local);
    }

    /** Variance of the result that comes from the expectations of some parameters. */
    private double priorShare(double[][] covariance, int from, int to) {
        double sum = 0;
        for (int p = from; p < to; p++) {
            sum += square(covariance[A][p]) / priorVariance[p];
        }
        return sum;
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
     * bins never makes a result look surer. Weights follow the fit, so the variance itself moves a little with any bin
     * lost: the least difference allows for that.
     */
    private double missing(double variance, double lowerable, double fuller) {
        double absent = Arrays.stream(bins.missingChance).sum();
        double least = LEAST_LOST * variance * absent / (absent + bins.count());
        double lost = Math.max(least, variance - fuller);
        return 2 * Math.sqrt(Math.max(0, lowerable) * lost) + lost;
    }

    /** The covariance that the lost bins would have left. */
    private double[][] fullerCovariance(double[][] information, double[][] covariance) {
        if (bins.missingDepthM.length == 0) {
            return covariance;
        }
        double[][] fuller = new double[parameters][];
        for (int p = 0; p < parameters; p++) {
            fuller[p] = information[p].clone();
        }
        double[] row = new double[parameters];
        for (int j = 0; j < bins.missingDepthM.length; j++) {
            int like = bins.missingLike[j];
            double z = bins.missingDepthM[j];
            double m = model(z, bins.depthVarianceM2[like], bins.head[like], walked[like], row);
            double left = discrepancy(expected.drop(z));
            double rel = bins.waves[like] * bins.waves[like] + left * left;
            double w = m * m / (bins.fixed[like] + bins.perRadiance[like] * m + m * m * rel);
            add(fuller, row, bins.missingChance[j] * w);
        }
        double[][] inverse = SymmetricMatrix.inverse(fuller);
        return inverse == null ? covariance : inverse;
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
