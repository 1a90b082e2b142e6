package sunward.profiles;

import java.util.BitSet;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.SamplesCodec;

/**
 * A bin as a message of the bins tier holds it, refined where messages of the samples tier do so.
 *
 * @param position place of the message in the dive
 * @param header what opens the message's block
 * @param told the bin as that message tells it
 * @param record the same with its refined samples
 * @param boundSigma largest rounding error of its samples, in units of the bin's own noise
 * @param leftOut what its codec left out
 * @param refined samples that are refined, each within one standard deviation
 */
record DecodedBin(
        int position,
        BlockHeader header,
        BinRecord told,
        BinRecord record,
        double boundSigma,
        LeftOut leftOut,
        BitSet refined) {

    /** A bin before any refinement. */
    static DecodedBin of(int position, BlockHeader header, BinRecord told, double boundSigma, LeftOut leftOut) {
        return new DecodedBin(position, header, told, told, boundSigma, leftOut, new BitSet());
    }

    /** The same bin with samples {@code first} to {@code end - 1} refined; once all are, nothing is left out. */
    DecodedBin with(int[] counts, int first, int end) {
        BinRecord better = new BinRecord(Math.max(1, record.samples));
        better.copyFrom(record);
        System.arraycopy(counts, first, better.counts, first, end - first);
        BitSet now = (BitSet) refined.clone();
        now.set(first, end);
        boolean whole = now.cardinality() == record.samples;
        return new DecodedBin(
                position,
                header,
                told,
                better,
                whole ? SamplesCodec.ERROR_BOUND_SIGMA : Math.max(boundSigma, SamplesCodec.ERROR_BOUND_SIGMA),
                whole ? LeftOut.NOTHING : leftOut,
                now);
    }
}
