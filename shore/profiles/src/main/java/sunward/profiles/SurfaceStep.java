package sunward.profiles;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.function.IntFunction;
import sunward.protocol.plan.FlownChannels;
import sunward.protocol.schema.HeadCalibration;
import sunward.protocol.schema.HeadKind;
import sunward.protocol.schema.Plan;

/** From the bins of a profile to spectra at the surface: corrections, fit, transfer, and the budget of uncertainty. */
final class SurfaceStep {
    /** Expected wave scatter of single scans of upwelling radiance: 2 % at the surface, less below, never under 0.2 % (assumed; a published 1 to 3 %, from memory). */
    private static final double WAVES_AT_SURFACE = 0.02;

    private static final double WAVES_DECAY_M = 8;
    private static final double WAVES_LEAST = 0.002;

    /** Scans this close together share a wave, s, unless the float tells it: about half a dominant wave (common practice, no source). */
    private static final double WAVE_MEMORY_S = 3;

    /** Weight of the expectation against the scatter found, in bins. */
    private static final double EXPECTED_BINS = 6;

    /** Spread within a bin is over the lower third of the channels, where light is strongest about here, nm. */
    private static final double SPREAD_NM = 450;

    private static final double MOST_CORRELATION = 0.9;

    private static final double MOST_SCATTER_RATIO = 9;

    /** A rough sea scatters by so much more than expected before light is thought to change (assumed). */
    private static final double MOST_WAVES = 1.5;

    /** Changes of light below this in a minute go without saying. */
    private static final double WORTH_SAYING = 0.02;

    /** Change of light that a clear-sky model cannot see, over the minutes near the surface (assumed). */
    private static final double UNSEEN_LIGHT = 0.002;

    /** What shading, and change of light, may do where the sun is not known and neither is corrected (assumed). */
    private static final double UNCORRECTED = 0.01;

    /** What a codec that is held to bands leaves out changes sign within about half a band, nm. */
    private static final double LEFT_OUT_NM = 5;

    private final ShoreInputs inputs;
    private final Plan plan;
    private final DiveProduct.Place place;
    private final SurfaceWater water;
    private final HeadDepth depth;
    private final List<GapFinder.Absent> lost;
    private final List<WaterReadings.Succession> successions;
    private final List<String> reasons = new ArrayList<>();

    private double[] nm;
    private int gridHead = -1;
    private List<ProfileBin> bins;
    private List<Illumination> illumination;
    private List<HeadResponse> responses;
    private double[] attenuationRatio;
    private double walkPerS;
    private final List<FirstLookPoints.Point> points;
    private int scattered;

    SurfaceStep(
            ShoreInputs inputs,
            Profile profile,
            List<GapFinder.Absent> lost,
            DiveProduct.Place place,
            SurfaceWater water,
            HeadDepth depth,
            ReadFirstLook firstLook,
            List<WaterReadings.Succession> successions) {
        this.inputs = inputs;
        this.plan = inputs.plan();
        this.place = place;
        this.water = water;
        this.depth = depth;
        this.lost = lost;
        this.successions = successions;
        choose(profile);
        points = firstLook == null ? List.of() : takeFirstLook(profile, firstLook);
    }

    /** What the first look says of bins that are not in hand; without any bin its own grid is the surface's. */
    private List<FirstLookPoints.Point> takeFirstLook(Profile profile, ReadFirstLook firstLook) {
        int group = firstLook.header().channelsPerSample;
        int own = group;
        IntFunction<double[]> nmOf = head -> SampleGrid.wavelengthsNm(
                FlownChannels.of(plan, inputs.calibration(), head).wavelengthsNm(), own);
        if (gridHead < 0) {
            gridHead = firstLook.look().head(0).number;
            nm = nmOf.apply(gridHead);
            reasons.add(
                    "surface from the first look alone: no bins near the surface arrived, so it rests on the float's own fit;"
                            + " shading by the hull is not corrected");
        } else {
            group = profile.channelsPerSample().get(gridHead);
        }
        return new FirstLookPoints(plan, firstLook, depth, nmOf).of(bins, nm.length, group);
    }

    List<String> reasons() {
        return List.copyOf(reasons);
    }

    /** Heads that share the grid of the first radiance head with bins go into one fit. */
    private void choose(Profile profile) {
        bins = new ArrayList<>();
        for (ProfileBin bin : profile.bins()) {
            if (!bin.fitsSurface() || bin.depthM() > SurfaceFit.DEEPEST_M) {
                continue;
            }
            Spectrum grid = profile.wavelengthNm().get(bin.head());
            if (gridHead < 0) {
                gridHead = bin.head();
                nm = grid.toArray();
            }
            if (same(nm, grid)) {
                bins.add(bin);
            } else if (reasons.isEmpty()) {
                reasons.add("heads on different wavelengths: the surface rests on those like the first alone");
            }
        }
    }

    private static boolean same(double[] nm, Spectrum grid) {
        boolean same = nm.length == grid.size();
        for (int k = 0; same && k < nm.length; k++) {
            same = Math.abs(nm[k] - grid.at(k)) < 0.05;
        }
        return same;
    }

    /** The spectra, or null when no bin near the surface has a spectrum. */
    SurfaceRadiance radiance() {
        if (gridHead < 0) {
            reasons.add("no bins near the surface: there is nothing to carry up");
            return null;
        }
        prepare();
        walkPerS = BrightnessWalk.variancePerS(
                bins, nm, bin -> MOST_WAVES * expectedWaves(bin.depthM()) / Math.sqrt(effectiveScans(bin, 0)));
        learnAttenuation();
        SurfaceFit.Result[] results = new SurfaceFit.Result[nm.length];
        String[] whyNot = new String[nm.length];
        FitBins[] columns = new FitBins[nm.length];
        for (int k = 0; k < nm.length; k++) {
            SurfaceFit.Expectation expected = expectation(nm[k]);
            columns[k] = column(k, expected);
            SurfaceFit.Outcome outcome = SurfaceFit.fit(columns[k], expected, headUncertainty(k));
            results[k] = outcome.result();
            whyNot[k] = outcome.reason();
            scattered += results[k] != null && results[k].scatterExcess() > 0 ? 1 : 0;
        }
        sayQuality();
        return new SurfaceSpectra(inputs, place, water, nm, effectiveWidthNm())
                .build(columns, results, whyNot, budget(columns, results));
    }

    private void prepare() {
        responses = new ArrayList<>();
        for (int head = 0; head < plan.getHeadsCount(); head++) {
            responses.add(
                    plan.getHeads(head).getKind() == HeadKind.UPWELLING_RADIANCE
                            ? new HeadResponse(
                                    FlownChannels.headCalibration(plan, inputs.calibration(), head), nm, water)
                            : null);
        }
        illumination = new ArrayList<>();
        ClearSky sky = new ClearSky(inputs.ancillary());
        for (ProfileBin bin : bins) {
            Illumination here = null;
            if (place.known() && place.sunZenithDeg() < 85) {
                SunPosition sun = SunPosition.at(
                        (double) bin.timeS(),
                        place.latitudeDeg(),
                        place.longitudeDeg(),
                        inputs.ancillary().deltaTS());
                here = new Illumination(
                        sky,
                        Math.min(85, sun.zenithDeg()),
                        place.sunZenithDeg(),
                        plan.getHull(),
                        ProcessingChain.armM(plan.getHeads(bin.head())),
                        bin.antisunDeg());
            }
            illumination.add(here);
        }
        for (FirstLookPoints.Point point : points) {
            illumination.add(illuminationOf(point, sky));
        }
    }

    /** The light of the bins nearest to a point of the first look, or of its own moment, unshaded, without any. */
    private Illumination illuminationOf(FirstLookPoints.Point point, ClearSky sky) {
        double z = Arrays.stream(point.depthM()).filter(d -> d > 0).average().orElse(0);
        int like = nearest(point.head(), z);
        if (like >= 0 || !place.known() || place.sunZenithDeg() >= 85) {
            return like < 0 ? null : illumination.get(like);
        }
        SunPosition sun = SunPosition.at(
                place.timeS() - z / plan.getAscent().getSlowSpeedMPerS(),
                place.latitudeDeg(),
                place.longitudeDeg(),
                inputs.ancillary().deltaTS());
        return new Illumination(
                sky, Math.min(85, sun.zenithDeg()), place.sunZenithDeg(), plan.getHull(), 1, Double.NaN);
    }

    private int nearest(int head, double z) {
        int like = -1;
        for (int i = 0; i < bins.size(); i++) {
            boolean nearer = like < 0
                    || Math.abs(bins.get(i).depthM() - z)
                            < Math.abs(bins.get(like).depthM() - z);
            like = bins.get(i).head() == head && nearer ? i : like;
        }
        return like;
    }

    /** True for a bin or point whose side of the sun is not known. */
    private boolean blind(int source) {
        return illumination.get(source) == null
                || (source < bins.size() ? Double.isNaN(bins.get(source).antisunDeg()) : bins.isEmpty());
    }

    /** Share of expected attenuation that this water shows where single scattering events rule, from a first look every few nm. */
    private void learnAttenuation() {
        attenuationRatio = new double[nm.length];
        Arrays.fill(attenuationRatio, 1);
        double[] seen = new double[nm.length];
        double[] weight = new double[nm.length];
        double last = Double.NEGATIVE_INFINITY;
        for (int k = 0; k < nm.length; k++) {
            if (nm[k] < 350 || nm[k] > 600 || nm[k] - last < 4) {
                continue;
            }
            last = nm[k];
            SurfaceFit.Expectation expected = expectation(nm[k]);
            SurfaceFit.Result result = SurfaceFit.fit(column(k, expected), expected, headUncertainty(k))
                    .result();
            if (result != null) {
                double ratio = result.elasticAttenuationPerM() / expected.attenuationPerM();
                seen[k] = Math.max(0.3, Math.min(5, ratio));
                weight[k] = 1 / (result.elasticRelativeUncertainty() * result.elasticRelativeUncertainty());
            }
        }
        double[] smooth = new double[nm.length];
        for (int k = 0; k < nm.length; k++) {
            double sum = 0.01;
            double weights = 0.01;
            for (int j = 0; j < nm.length; j++) {
                double offset = (nm[j] - nm[k]) / 12;
                double w = weight[j] * Math.exp(-0.5 * offset * offset);
                sum += w * seen[j];
                weights += w;
            }
            smooth[k] = sum / weights;
        }
        attenuationRatio = smooth;
    }

    /** Beyond the red the expectation is left as it is: few bins see any light there, and nothing else may sway them. */
    private SurfaceFit.Expectation expectation(double wavelengthNm) {
        double exciting = Math.max(350, ClearWater.excitationNm(wavelengthNm));
        double learnt = wavelengthNm > 700 ? 1 : ReferenceTable.interpolate(nm, attenuationRatio, exciting);
        return new SurfaceFit.Expectation(
                ClearWater.attenuationPerM(wavelengthNm),
                ClearWater.attenuationLogSd(wavelengthNm),
                ClearWater.inelasticShare(wavelengthNm),
                ClearWater.attenuationPerM(exciting) * learnt);
    }

    private double[] headUncertainty(int k) {
        double[] own = new double[plan.getHeadsCount()];
        for (int head = 0; head < own.length; head++) {
            own[head] = responses.get(head) == null ? 0 : responses.get(head).ownUncertainty(k);
        }
        return own;
    }

    private FitBins column(int k, SurfaceFit.Expectation expected) {
        int[] chosen = new int[bins.size()];
        int count = 0;
        for (int i = 0; i < bins.size(); i++) {
            if (expected.within(bins.get(i).depthM())) {
                chosen[count++] = i;
            }
        }
        int told = 0;
        for (FirstLookPoints.Point point : points) {
            told += expected.within(point.depthM()[k]) ? 1 : 0;
        }
        FitBins column = new FitBins(count + told);
        double scatter = scatter(chosen, count, expected);
        for (int j = 0; j < count; j++) {
            ProfileBin bin = bins.get(chosen[j]);
            Illumination here = illumination.get(chosen[j]);
            double correction = here == null ? 1 : 1 / (here.light(nm[k]) * (1 - here.loss(nm[k])));
            double unit = responses.get(bin.head()).perCount(k) * correction;
            column.source[j] = chosen[j];
            column.head[j] = bin.head();
            column.depthM[j] = bin.depthM();
            column.ageS[j] = Math.max(0, place.timeS() - bin.timeS());
            column.depthVarianceM2[j] = bin.depthSdM() * bin.depthSdM();
            column.waves[j] = scatter * expectedWaves(bin.depthM()) / Math.sqrt(effectiveScans(bin, k));
            column.radiance[j] = bin.counts().at(k) * unit;
            column.fixed[j] = bin.noise().fixed() * unit * unit;
            column.perRadiance[j] = bin.noise().perCount() * unit;
            column.roundingFixed[j] = bin.noise().roundingFixed() * unit * unit;
            column.roundingPerRadiance[j] = bin.noise().roundingPerCount() * unit;
            column.shared[j] = bin.leftOut().sharedSigma(k, nm[k]);
        }
        column.walkPerS = walkPerS;
        int j = count;
        for (int i = 0; i < points.size(); i++) {
            if (expected.within(points.get(i).depthM()[k])) {
                addPoint(column, j++, i, k);
            }
        }
        if (!bins.isEmpty()) {
            addMissing(column, expected);
        }
        return column;
    }

    private void addPoint(FitBins column, int j, int i, int k) {
        FirstLookPoints.Point point = points.get(i);
        int source = bins.size() + i;
        Illumination here = illumination.get(source);
        double correction = here == null ? 1 : 1 / (here.light(nm[k]) * (1 - here.loss(nm[k])));
        double radiance = point.counts()[k] * responses.get(point.head()).perCount(k) * correction;
        column.source[j] = source;
        column.head[j] = point.head();
        column.depthM[j] = point.depthM()[k];
        column.ageS[j] = point.depthM()[k] / plan.getAscent().getSlowSpeedMPerS();
        column.waves[j] = Math.sqrt(point.variance()[k]);
        column.radiance[j] = radiance;
        column.fixed[j] = point.rounding()[k] * radiance * radiance;
        column.roundingFixed[j] = column.fixed[j];
    }

    private void addMissing(FitBins column, SurfaceFit.Expectation expected) {
        List<GapFinder.Absent> absent = column.count() == 0
                ? List.of()
                : lost.stream()
                        .filter(a -> expected.within(Seawater.depthM(a.centreDbar(), depth.latitudeDeg())))
                        .toList();
        column.missingDepthM = new double[absent.size()];
        column.missingLike = new int[absent.size()];
        column.missingChance = new double[absent.size()];
        for (int j = 0; j < absent.size(); j++) {
            double z = Seawater.depthM(absent.get(j).centreDbar(), depth.latitudeDeg());
            column.missingDepthM[j] = z;
            column.missingChance[j] = absent.get(j).chance();
            for (int i = 1; i < column.count(); i++) {
                int best = column.missingLike[j];
                boolean ownHead = column.head[i] == absent.get(j).head();
                boolean bestOwn = column.head[best] == absent.get(j).head();
                boolean nearer = Math.abs(column.depthM[i] - z) < Math.abs(column.depthM[best] - z);
                if (ownHead && !bestOwn || ownHead == bestOwn && nearer) {
                    column.missingLike[j] = i;
                }
            }
        }
    }

    private static double expectedWaves(double depthM) {
        return WAVES_AT_SURFACE * Math.exp(-depthM / WAVES_DECAY_M) + WAVES_LEAST;
    }

    /**
     * Scans of a bin that are worth as much when nothing ties one to the next. With the correlation r that the float found in
     * the layer, in the third of the channels that holds channel k, one standard error larger: n (1 - r) / (1 + r), as for a
     * chain in which each scan remembers the one before (Bartlett 1946), and never more than n.
     */
    private double effectiveScans(ProfileBin bin, int k) {
        int band = (int) (3L * k / nm.length);
        for (WaterReadings.Succession layer : successions) {
            if (layer.fromDbar() <= bin.portPressureDbar()
                    && bin.portPressureDbar() < layer.toDbar()
                    && layer.pairs() > 1) {
                double r = layer.ofBand().get(band) + 1 / Math.sqrt((double) layer.pairs());
                double bounded = Math.max(0, Math.min(MOST_CORRELATION, r));
                return Math.max(1, bin.used() * (1 - bounded) / (1 + bounded));
            }
        }
        boolean slow = bin.exposureS() * 1000 > plan.getExposure().getLongExposureAboveMs();
        double interval = slow
                ? plan.getExposure().getLongScanIntervalS()
                : plan.getExposure().getScanIntervalS();
        return Math.max(1, Math.min(bin.used(), bin.used() * interval / WAVE_MEMORY_S));
    }

    /**
     * Scatter found over scatter expected, from the spread between the scans of each bin, weighted by what the bin tells of
     * the surface at this wavelength; a few bins' worth of the expectation keep it steady. Where bins are lost, two standard
     * deviations of what they may have changed are added.
     */
    private double scatter(int[] chosen, int count, SurfaceFit.Expectation expected) {
        double sum = EXPECTED_BINS;
        double squares = EXPECTED_BINS;
        double weights = EXPECTED_BINS;
        double attenuation =
                ClearWater.attenuationPerM(SPREAD_NM) * ReferenceTable.interpolate(nm, attenuationRatio, SPREAD_NM);
        for (int j = 0; j < count; j++) {
            ProfileBin bin = bins.get(chosen[j]);
            if (Double.isNaN(bin.spread()) || bin.used() < 2) {
                continue;
            }
            double gradient = attenuation * bin.depthSdM();
            double waves = expectedWaves(bin.depthM());
            double ratio = (bin.spread() * bin.spread() - gradient * gradient) / (waves * waves);
            double weight = Math.exp(-2 * expected.drop(bin.depthM()));
            double bounded = Math.max(0, Math.min(MOST_SCATTER_RATIO, ratio));
            sum += weight * bounded;
            squares += weight * bounded * bounded;
            weights += weight;
        }
        double absent = 0;
        for (GapFinder.Absent a : lost) {
            double z = Seawater.depthM(a.centreDbar(), depth.latitudeDeg());
            absent += expected.within(z) ? a.chance() * Math.exp(-2 * expected.drop(z)) : 0;
        }
        double mean = sum / weights;
        double variance = Math.max(0, squares / weights - mean * mean);
        return Math.sqrt(mean + 2 * Math.sqrt(variance * (1 / weights - 1 / (weights + absent))));
    }

    private double effectiveWidthNm() {
        HeadCalibration grid = FlownChannels.headCalibration(plan, inputs.calibration(), gridHead);
        int channels = FlownChannels.of(plan, inputs.calibration(), gridHead).count();
        double perSample = Math.rint((double) channels / nm.length) * grid.getWavelengthStepNm();
        return Math.sqrt(grid.getLineWidthNm() * grid.getLineWidthNm() + 8 * Math.log(2) * perSample * perSample / 12);
    }

    private List<Contribution> budget(FitBins[] columns, SurfaceFit.Result[] results) {
        BudgetRows rows = new BudgetRows(nm.length);
        HeadCalibration grid = FlownChannels.headCalibration(plan, inputs.calibration(), gridHead);
        double[] slope = SurfaceSpectra.logSlopePerNm(nm, results, effectiveWidthNm());
        for (int k = 0; k < nm.length; k++) {
            SurfaceFit.Result r = results[k];
            if (r == null) {
                continue;
            }
            double[] headGain = new double[plan.getHeadsCount()];
            double shading = 0;
            double light = 0;
            double deeper = 0;
            FitBins column = columns[k];
            for (int j = 0; j < r.gain().length; j++) {
                Illumination here = illumination.get(column.source[j]);
                headGain[column.head[j]] += r.gain()[j];
                deeper += r.gain()[j] * r.localAttenuation()[j];
                shading += r.gain()[j]
                        * (blind(column.source[j]) ? UNCORRECTED : HullShading.SHARE_UNCERTAIN * here.loss(nm[k]));
                light += r.gain()[j]
                        * (here == null ? UNCORRECTED : Illumination.SHARE_UNCERTAIN * (here.light(nm[k]) - 1));
            }
            for (int head = 0; head < headGain.length; head++) {
                if (responses.get(head) != null) {
                    for (Contribution shared : responses.get(head).shared()) {
                        rows.add(shared, k, headGain[head]);
                    }
                }
            }
            rows.whole("calibration, each head", Correlation.DEPLOYMENT, k, Math.sqrt(r.heads()));
            rows.whole("wavelength", Correlation.DEPLOYMENT, k, slope[k] * grid.getWavelengthUncertaintyNm());
            rows.whole("head depth", Correlation.DIVE, k, deeper * depth.uncertaintyM());
            rows.whole("hull shading", Correlation.DIVE, k, shading);
            rows.whole(
                    "change of light",
                    Correlation.DIVE,
                    k,
                    Math.sqrt(light * light + UNSEEN_LIGHT * UNSEEN_LIGHT + r.changingLight()));
            rows.apart("photons and readout", k, r.noise());
            rows.apart("rounding on the wire", k, r.rounding());
            rows.near("left out by the codec", Correlation.DIVE, LEFT_OUT_NM, k, Math.sqrt(r.leftOut()));
            rows.whole("waves", Correlation.RANDOM, k, Math.sqrt(r.waves()));
            rows.whole("water below", Correlation.DIVE, k, Math.sqrt(r.model()));
            rows.whole("expected attenuation", Correlation.DIVE, k, Math.sqrt(r.expectations()[0]));
            rows.whole("inelastic light", Correlation.DIVE, k, Math.sqrt(r.expectations()[1]));
            rows.whole("layers of the water", Correlation.DIVE, k, Math.sqrt(r.expectations()[2]));
            rows.whole("missing bins", Correlation.DIVE, k, Math.sqrt(r.missing()));
            rows.apart("unexplained scatter", k, r.scatterExcess());
        }
        return rows.contributions();
    }

    private void sayQuality() {
        long near = bins.stream().filter(b -> b.depthM() < 5).count();
        if (near < 8) {
            reasons.add("few near-surface bins: " + near + " above 5 m");
        }
        double tilt = bins.stream().mapToDouble(ProfileBin::tiltDeg).average().orElse(0);
        if (tilt > 5) {
            reasons.add("tilted: more than 5 degrees on average near the surface (common practice, no source)");
        }
        if (!place.known()) {
            reasons.add("sun not known: no correction for hull shading or change of light, no irradiance, nLw or Rrs");
        } else if (place.sunZenithDeg() > 70) {
            reasons.add("low sun: more than 70 degrees from the zenith (common practice, no source)");
        }
        long blind = bins.stream().filter(b -> Double.isNaN(b.antisunDeg())).count();
        if (blind > 0) {
            reasons.add("shading not corrected: the sun's side was not known for " + blind + " of " + bins.size()
                    + " bins near the surface");
        }
        long fallen = bins.stream().filter(b -> b.fallback() != 0).count();
        if (fallen > 0) {
            reasons.add("shading fallback: the float chose its head under a fallback for " + fallen + " of "
                    + bins.size() + " bins near the surface");
        }
        double perMinute = Math.sqrt(60 * walkPerS);
        if (perMinute > WORTH_SAYING) {
            reasons.add(String.format(
                    Locale.ROOT,
                    "changing light: brightness wandered by %.0f %% within a minute, as under passing clouds, so the surface"
                            + " rests on the last bins; Es, nLw and Rrs of a clear sky do not hold",
                    100 * perMinute));
        }
        if (scattered * 10 > nm.length) {
            reasons.add("unexplained scatter: bins scatter more than noise and waves say at " + scattered + " of "
                    + nm.length + " wavelengths");
        }
        if (place.known()) {
            reasons.add("irradiance not measured: Es, nLw and Rrs rest on a clear-sky model ("
                    + inputs.ancillary().source() + ")");
        }
    }
}
