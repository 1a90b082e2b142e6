package sunward.protocol.spectra;

import sunward.protocol.bits.BitCoder;
import sunward.protocol.bits.BitModels;

/** How a codec codes the spectra of successive bins of a head; one method for both ends, so that they cannot drift apart. */
interface SpectrumModel {
    /** New fields, of the kind that go with its spectra. */
    default BinFields fields() {
        return new BinFields();
    }

    /** Bits that it owns. */
    int models();

    /** True for spectra that it can code. */
    boolean carries(int samples, int channelsPerSample);

    /** Starts a body. */
    void reset(BitModels models, int base, BlockHeader header);

    /**
     * Codes a spectrum; nothing that the next is predicted from changes before {@link #advance}.
     *
     * @param counts 1/64 counts: what to write (left as they are), or what is read
     * @param misfit what is left out of each region, half-octave codes; set on the reading side
     * @param reading true on the reading side
     * @return false when what is read is beyond what the codec carries
     */
    boolean code(
            BitCoder coder, BitModels models, int base, BinFields fields, int[] counts, int[] misfit, boolean reading);

    /** Codes this body's spectra from here on more sparingly, because its first fits no message; false when it cannot. */
    default boolean spare() {
        return false;
    }

    /** Makes the spectrum just coded part of what the next is predicted from. */
    void advance(BinFields fields);
}
