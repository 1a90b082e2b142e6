package sunward.protocol.message;

/** The registry of blocks of a dive (4 bits), in the order of what they do for the surface radiance. */
public enum BlockType {
    /** When, where, how much: the dive's record of itself (Protocol Buffers body). Part 0 first, part 1 the same body again at the end. */
    LEDGER(0),
    /** Surface spectrum and attenuation of the upwelling heads, as the float fitted them: one message. */
    FIRST_LOOK(1),
    /** Smooth full profile of the upwelling heads, as the float fitted it: one message. */
    OUTLINE(2),
    /** Every bin of one head. */
    BINS(3),
    /** Refinement of bins to every sample; each part names one base message. Reserved. */
    SAMPLES(4),
    /** Temperature and salinity profile (Protocol Buffers body). */
    ANCILLARY(5);

    private final int number;

    BlockType(int number) {
        this.number = number;
    }

    /** The number on the wire, 0 to 15. */
    public int number() {
        return number;
    }

    /** The block of this number, or null when none has it. */
    public static BlockType ofNumber(int number) {
        for (BlockType block : values()) {
            if (block.number == number) {
                return block;
            }
        }
        return null;
    }
}
