package sunward.protocol.bits;

/**
 * One end of a stream of bits. The encoder writes the bit that it is given and returns it; the decoder ignores the bit
 * that it is given and returns the one it reads. So one method describes a format for both ends.
 */
public interface BitCoder {
    /** Codes a bit by an adaptive model, which then learns from it. */
    int bit(BitModels models, int index, int bit);

    /** Codes the low {@code count} bits, 0 to 31, of a value, highest first, each as likely 0 as 1. */
    int plain(int count, int value);
}
