package sunward.profiles;

import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.FirstLook;

/**
 * A first look as its message holds it.
 *
 * @param header what opens the block; its head is the number of heads less one
 * @param look the values
 */
record ReadFirstLook(BlockHeader header, FirstLook look) {}
