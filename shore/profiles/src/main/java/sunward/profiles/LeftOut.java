package sunward.profiles;

import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;

/**
 * What a codec that is held to bands left out of a bin.
 *
 * @param bandErrorSigma rms error of a band of 10 nm, in standard deviations of its noise; 0: a codec that leaves nothing out
 * @param misfitSigma per region of the spectrum, the worst difference left in a cell of 4.5 nm, at most, in standard deviations
 *     of the cell's noise; empty when nothing was left out
 */
public record LeftOut(double bandErrorSigma, Spectrum misfitSigma) {
    /** Nothing. */
    static final LeftOut NOTHING = new LeftOut(0, Spectrum.of());

    /** The bands that such a codec is held to, nm; towards their red end light falls steeply, so it is taken 10 nm short. */
    private static final double HELD_FROM_NM = 400;

    private static final double HELD_TO_NM = 690;

    /** Part of the bands' error that all bins may share (assumed; from dives decoded both ways: a tenth to a quarter). */
    private static final double SHARED = 1.0 / 3;

    /** Misfit of the least code, noise alone gives as much; and channels of a cell. */
    private static final double USUAL_MISFIT = 5;

    private static final double CELL_CHANNELS = 6;

    /** The worst of a region's cells over their rms (of some twenty normal numbers, about 2.5 to 3). */
    private static final double WORST_OVER_RMS = 3;

    static LeftOut of(BlockCodec codec, int stepCode, BinRecord bin) {
        if (!codec.bandwise() || bin.samples == 0) {
            return NOTHING;
        }
        double[] misfit = new double[BinRecord.MISFIT_REGIONS];
        for (int region = 0; region < misfit.length; region++) {
            misfit[region] = USUAL_MISFIT * Math.pow(2, bin.misfit[region] / 2.0);
        }
        return new LeftOut(codec.errorBoundSigma(stepCode) / Math.sqrt(3), Spectrum.of(misfit));
    }

    /** Standard error of a sample that other bins may have as well, in standard deviations of the sample's noise. */
    double sharedSigma(int sample, double nm) {
        if (bandErrorSigma == 0) {
            return 0;
        }
        double shared = bandErrorSigma * (nm >= HELD_FROM_NM && nm <= HELD_TO_NM ? SHARED : 1);
        double misfit = misfitSigma.at(BinRecord.misfitRegion(sample));
        return misfit > USUAL_MISFIT ? Math.max(shared, misfit / WORST_OVER_RMS / Math.sqrt(CELL_CHANNELS)) : shared;
    }
}
