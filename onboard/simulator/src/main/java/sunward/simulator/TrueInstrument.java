package sunward.simulator;

import java.util.Arrays;
import sunward.protocol.plan.FlownChannels;
import sunward.protocol.schema.Calibration;
import sunward.protocol.schema.Head;
import sunward.protocol.schema.HeadCalibration;
import sunward.protocol.schema.HeadKind;
import sunward.protocol.schema.Instrument;
import sunward.protocol.schema.Plan;

/**
 * One head as it truly is: what the laboratory says of it, off by errors drawn from the laboratory's own stated
 * uncertainties. Errors of responsivity are smooth over the stated correlation length and partly shared with the other
 * heads; wavelength, immersion and linearity errors are the head's own. Immutable.
 */
final class TrueInstrument {
    private static final int TERMS = 32;

    private static final double REFERENCE_DEGC = 20;

    /** The float's own emitter: a blue diode (invented). */
    private static final double EMITTER_NM = 470;

    private static final double EMITTER_WIDTH_NM = 10;
    private static final double HOT_FACTOR = 100;

    private final int[] channel;
    private final double[] trueWavelengthNm;
    private final double[] countsPerSecond;
    private final double[] darkPattern;
    private final double[] darkRate;
    private final double darkOffset;
    private final double darkCountsPerDegC;
    private final double lnDarkPerDegC;
    private final double lineWidthNm;
    private final double linearityError;
    private final double warmingPerDegC;
    private final double nmPerDegC;
    private final double waterDegC;
    private final double leak;
    private final double polarisation;
    private final double polarisationPhase;
    private final double[] emitted;
    private final StrayLight stray;
    private final Head head;

    /**
     * A head in water.
     *
     * @param index head, from 0
     * @param temperatureDegC of the water, for its refractive index
     * @param salinity practical salinity of the water
     */
    TrueInstrument(
            Plan plan,
            Calibration calibration,
            int index,
            Instrument scene,
            double temperatureDegC,
            double salinity,
            long instrumentSeed) {
        head = plan.getHeads(index);
        HeadCalibration stated = FlownChannels.headCalibration(plan, calibration, index);
        FlownChannels flown = FlownChannels.of(plan, calibration, index);
        double scale = scene.getCalibrationErrorScale();
        double shift = scale
                * scene.getWavelengthErrorScale()
                * stated.getWavelengthUncertaintyNm()
                * Noise.gaussian(Noise.hash(instrumentSeed, Part.WAVELENGTH, index));
        double immersion = 1
                + scale
                        * scene.getImmersionErrorScale()
                        * stated.getImmersionUncertaintyPercent()
                        / 100
                        * Noise.gaussian(Noise.hash(instrumentSeed, Part.IMMERSION, index));
        linearityError = scale
                * scene.getLinearityErrorScale()
                * stated.getLinearityUncertaintyPercent()
                / 100
                * Noise.gaussian(Noise.hash(instrumentSeed, Part.LINEARITY, index));
        double wider = scene.getLineWidthErrorPercent() / 100;
        lineWidthNm = stated.getLineWidthNm()
                * Math.max(0.5, 1 + wider * Noise.gaussian(Noise.hash(instrumentSeed, Part.LINE_WIDTH, index)));
        darkCountsPerDegC = scene.getDarkCountsPerDegc();
        lnDarkPerDegC = scene.getDarkDoublingDegc() == 0 ? 0 : Math.log(2) / scene.getDarkDoublingDegc();
        darkOffset = scene.getDarkOffsetCounts();
        warmingPerDegC = scene.getResponsivityPercentPerDegc() / 100;
        leak = scene.getShutterLeakPercent() / 100;
        polarisation = scene.getPolarisationPercent() / 100;
        polarisationPhase = 2 * Math.PI * Noise.uniform(Noise.hash(instrumentSeed, Part.POLARISATION, index));
        int n = flown.count();
        channel = new int[n];
        trueWavelengthNm = new double[n];
        countsPerSecond = new double[n];
        darkPattern = new double[n];
        darkRate = new double[n];
        emitted = new double[n];
        int hot = nearest(flown, stated, scene.getHotChannelNm());
        int dead = nearest(flown, stated, scene.getDeadChannelNm());
        nmPerDegC = scene.getWavelengthNmPerDegc();
        waterDegC = temperatureDegC;
        double warmNm = nmPerDegC * (temperatureDegC - REFERENCE_DEGC);
        Responsivity responsivity =
                new Responsivity(stated, scale * scene.getResponsivityErrorScale(), index, instrumentSeed);
        for (int k = 0; k < n; k++) {
            channel[k] = flown.channel(k);
            double nominal = flown.wavelengthNm(k);
            trueWavelengthNm[k] = nominal + shift + warmNm;
            double factor = head.getKind() == HeadKind.UPWELLING_RADIANCE
                    ? immersionFactor(SeaSurface.index(nominal, temperatureDegC, salinity), stated.getWindowIndex())
                    : 1;
            countsPerSecond[k] = k == dead
                    ? 0
                    : responsivity.at(nominal) / (factor * immersion) * windowTransmission(scene, head, nominal);
            double off = (nominal - EMITTER_NM) / EMITTER_WIDTH_NM;
            emitted[k] = scene.getEmitterRadiance() * StrictMath.exp(-0.5 * off * off);
            long pattern = Noise.hash(instrumentSeed, Part.DARK, index, channel[k]);
            darkPattern[k] = scene.getDarkPatternCounts() * Noise.gaussian(Noise.hash(pattern, 0));
            darkRate[k] = scene.getDarkRateCountsPerS()
                    * Math.max(0, 1 + scene.getDarkRateSpreadPercent() / 100 * Noise.gaussian(Noise.hash(pattern, 1)));
        }
        if (hot >= 0) {
            darkRate[hot] *= HOT_FACTOR;
        }
        stray = scene.getStrayLightPercent() > 0 || scene.getStrayHaloPercent() > 0
                ? new StrayLight(
                        trueWavelengthNm, scene.getStrayLightPercent() / 100, scene.getStrayHaloPercent() / 100)
                : null;
    }

    /** The flown channel nearest to a wavelength, if the head's own grid has none nearer; -1: none, or not flown. */
    private static int nearest(FlownChannels flown, HeadCalibration stated, double nm) {
        for (int k = 0; k < flown.count(); k++) {
            if (nm > 0 && Math.abs(flown.wavelengthNm(k) - nm) <= 0.5 * stated.getWavelengthStepNm()) {
                return k;
            }
        }
        return -1;
    }

    /** What growth lets through: an absorption that rises towards the blue as the inverse wavelength (assumed). */
    static double windowTransmission(Instrument scene, Head head, double nm) {
        boolean here = scene.getFouledHead().isEmpty() || scene.getFouledHead().equals(head.getName());
        double loss = here ? scene.getWeeksAtSea() * scene.getFoulingPercentPerWeek() / 100 : 0;
        return StrictMath.exp(-loss * 555 / nm);
    }

    /**
     * Radiance in air that gives the reading of radiance 1 in water: n_w (n_w + n_g)^2 / (1 + n_g)^2, the refraction at a
     * flat window and the changed reflection (the form usually given for radiance sensors: Zibordi 2006, J. Atmos. Oceanic
     * Technol. 23, 501; from memory).
     */
    static double immersionFactor(double waterIndex, double windowIndex) {
        double ratio = (waterIndex + windowIndex) / (1 + windowIndex);
        return waterIndex * ratio * ratio;
    }

    /** True responsivity in air against nominal wavelength. */
    private static final class Responsivity {
        private final NaturalSpline stated;
        private final NaturalSpline percent;
        private final SmoothRandom shared;
        private final SmoothRandom own;
        private final double sharedShare;
        private final double scale;

        Responsivity(HeadCalibration calibration, double scale, int index, long instrumentSeed) {
            int n = calibration.getKnotNmCount();
            double[] nm = new double[n];
            double[] log = new double[n];
            double[] uncertainty = new double[n];
            for (int i = 0; i < n; i++) {
                nm[i] = calibration.getKnotNm(i);
                log[i] = StrictMath.log(calibration.getResponsivity(i));
                uncertainty[i] = calibration.getResponsivityUncertaintyPercent(i);
            }
            stated = new NaturalSpline(nm, log);
            percent = new NaturalSpline(nm, uncertainty);
            this.scale = scale;
            sharedShare = calibration.getSharedShare();
            double length = calibration.getCorrelationLengthNm();
            shared = SmoothRandom.correlated(Noise.hash(instrumentSeed, Part.RESPONSIVITY, -1), TERMS, length);
            own = SmoothRandom.correlated(Noise.hash(instrumentSeed, Part.RESPONSIVITY, index), TERMS, length);
        }

        double at(double nm) {
            double deviate = Math.sqrt(sharedShare) * shared.at(nm) + Math.sqrt(1 - sharedShare) * own.at(nm);
            return StrictMath.exp(stated.at(nm)) * (1 + scale * Math.max(0, percent.at(nm)) / 100 * deviate);
        }
    }

    /** The head's entry in the plan. */
    Head head() {
        return head;
    }

    /** Flown channels. */
    int channels() {
        return channel.length;
    }

    /** The number on the head's full grid of flown channel {@code k}: thinned flights share the noise of full ones. */
    int channel(int k) {
        return channel[k];
    }

    /** The centres at which the channels truly look in the water that the head was made for, nm in air. */
    double[] trueWavelengthsNm() {
        return trueWavelengthNm.clone();
    }

    /** The same where the head is so much warmer than that water. */
    double[] trueWavelengthsNm(double warmerDegC) {
        return Arrays.stream(trueWavelengthNm)
                .map(nm -> nm + nmPerDegC * warmerDegC)
                .toArray();
    }

    /** True when the wavelengths move with temperature. */
    boolean wavelengthsMove() {
        return nmPerDegC != 0;
    }

    /** How much warmer than that water a head of a temperature is. */
    double warmerDegC(double temperatureDegC) {
        return temperatureDegC - waterDegC;
    }

    /** Full width at half maximum of the channels' true lines, nm. */
    double lineWidthNm() {
        return lineWidthNm;
    }

    /** Counts per second and unit of radiance (or irradiance) in water of flown channel {@code k}, before non-linearity. */
    double countsPerSecond(int k) {
        return countsPerSecond[k];
    }

    /** What the head's temperature multiplies the responsivity by. */
    double warming(double temperatureDegC) {
        return 1 + warmingPerDegC * (temperatureDegC - REFERENCE_DEGC);
    }

    /** Radiance of the float's own lights at flown channel {@code k}. */
    double emitted(int k) {
        return emitted[k];
    }

    /** Share of the light that passes the closed shutter. */
    double leak() {
        return leak;
    }

    /** What light of this degree of polarisation, in a plane at this angle to the head, is multiplied by. */
    double polarised(double degree, double angleRad) {
        return 1 + polarisation * degree * Math.cos(2 * angleRad + polarisationPhase);
    }

    /** Spreads the signal of every channel over the others, in place. */
    void stray(double[] signal) {
        if (stray != null) {
            stray.spread(signal);
        }
    }

    /** Electronic offset of flown channel {@code k}, counts. */
    double darkOffset(int k, double temperatureDegC) {
        return darkOffset + darkPattern[k] + darkCountsPerDegC * (temperatureDegC - REFERENCE_DEGC);
    }

    /** Dark current of flown channel {@code k} at the reference temperature, counts per second. */
    double darkRate(int k) {
        return darkRate[k];
    }

    /** What the head's temperature multiplies the dark current by. */
    double darkWarming(double temperatureDegC) {
        return Math.exp(lnDarkPerDegC * (temperatureDegC - REFERENCE_DEGC));
    }

    /** What the electronics make of a signal, counts: the linearity error runs from minus to plus itself over full scale. */
    double nonLinear(double counts) {
        return counts * (1 + linearityError * (2 * counts / head.getFullScaleCounts() - 1));
    }
}
