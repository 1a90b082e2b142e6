package sunward.profiles;

import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockHeader;

/**
 * A bin as a message holds it.
 *
 * @param position place of the message in the dive
 * @param header what opens the message's block
 * @param record the bin
 * @param boundSigma largest rounding error of its samples, in units of the bin's own noise
 * @param leftOut what its codec left out
 */
record DecodedBin(int position, BlockHeader header, BinRecord record, double boundSigma, LeftOut leftOut) {}
