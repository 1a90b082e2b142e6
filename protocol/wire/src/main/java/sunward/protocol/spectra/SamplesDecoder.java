package sunward.protocol.spectra;

import sunward.protocol.bits.RangeDecoder;

/** Reads what {@link SamplesEncoder} wrote, once the base message is at hand. Hostile bytes are refused, never obeyed. */
public final class SamplesDecoder {
    private final SamplesModel model;
    private final RangeDecoder coder = new RangeDecoder();

    /**
     * Makes a decoder.
     *
     * @param maxBins bins of a base message, at most
     */
    public SamplesDecoder(int maxBins) {
        model = new SamplesModel(maxBins);
    }

    /**
     * Reads one body.
     *
     * @param base header of the base
     * @param told the base's bins in their order, those without a spectrum too; left as they are
     * @param refined a row for each, at least as long as its samples: those that the body refines come out as 1/64 counts, others
     *     are left as they are
     * @return false when the body is spoilt or not of this base; its channels of {@code refined} may then hold anything
     */
    public boolean read(byte[] body, int offset, int length, BlockHeader base, BinRecord[] told, int[][] refined) {
        if (!SamplesCodec.known(body, offset, length)) {
            return false;
        }
        int start = offset + SamplesCodec.HEADER_BYTES;
        int first = SamplesCodec.first(body, offset);
        int end = first + SamplesCodec.channels(body, offset);
        if (end > base.samples
                || !coder.begin(body, start, length - SamplesCodec.HEADER_BYTES)
                || !rows(base, told, SamplesCodec.noise(body, offset))) {
            return false;
        }
        model.startBody();
        for (int c = first; c < end; c++) {
            if (!channel(c, told, refined)) {
                return false;
            }
        }
        return coder.endsHere(start);
    }

    private boolean rows(BlockHeader base, BinRecord[] told, int noise) {
        model.begin(base, noise);
        for (BinRecord bin : told) {
            if (bin.samples > 0 && (bin.samples != base.samples || !model.add(bin))) {
                return false;
            }
        }
        return model.rows() > 0;
    }

    private boolean channel(int c, BinRecord[] told, int[][] refined) {
        model.startChannel();
        int row = 0;
        for (int i = 0; i < told.length; i++) {
            if (told[i].samples > 0) {
                long level = model.level(told[i].counts[c]);
                long off = model.code(coder, row, model.bright(level), 0);
                if (Math.abs(off) > 2L * SamplesCodec.MOST_LEVELS) {
                    return false;
                }
                refined[i][c] = model.counts(level + off);
                row++;
            }
        }
        return true;
    }
}
