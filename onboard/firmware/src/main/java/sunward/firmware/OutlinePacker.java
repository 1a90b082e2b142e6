package sunward.firmware;

import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Outline;
import sunward.protocol.spectra.OutlineBasis;
import sunward.protocol.spectra.OutlineCodec;
import sunward.protocol.spectra.OutlineModel;
import sunward.protocol.spectra.Workspace;

/** The outline of a dive: fitted once, then written into one message as finely as it holds. */
final class OutlinePacker {
    private static final int CODEC_BYTES =
            12 * 1024; // models of the coder and the outline itself, held to the truth by a test

    /** Novelty is told from here on, relative. */
    private static final double NOVEL = 0.004;

    /** Steps of four standard deviations of a usual bin: finer ones spend bits on noise. */
    private static final int FINEST = 0;

    private final FloatPlan plan;
    private final OutlineModel model = new OutlineModel();
    private final Outline outline = new Outline();
    private final OutlineCodec codec;
    private final OutlineFit fit;
    private int fineness;

    OutlinePacker(FloatPlan plan, BinStore bins, BinRecord bin, Workspace work) {
        this.plan = plan;
        codec = new OutlineCodec(model, work);
        fit = new OutlineFit(plan, bins, bin, model, work);
    }

    int ramBytes() {
        return CODEC_BYTES + fit.ramBytes() + model.ramBytes() + 16 * Outline.MAX_KNOTS * OutlineBasis.RANK;
    }

    /** Channels averaged into a sample, so that the samples are at most as many as the table has places. */
    static int group(int channels) {
        return (channels + OutlineBasis.NODES - 1) / OutlineBasis.NODES;
    }

    /**
     * Fits the outline and finds the finest steps that one message holds.
     *
     * @param header of the first upwelling head, its samples at {@link #group}
     * @return false when there is none to send
     */
    boolean fits(BlockHeader header, byte[] body, int offset, int limit) {
        if (!fit.fit(header, outline)) {
            return false;
        }
        for (fineness = FINEST; fineness < OutlineCodec.FINENESSES; fineness++) {
            outline.forgetQuality();
            if (write(header, body, offset, limit) > 0) {
                fit.judge(header.channelsPerSample, outline, NOVEL, OutlineCodec.step(fineness));
                if (write(header, body, offset, limit) > 0) {
                    return true;
                }
            }
        }
        return false;
    }

    /** Length of the body at the settings that now hold, or -1. */
    int write(BlockHeader header, byte[] body, int offset, int limit) {
        return codec.encode(outline, header, plan.shortestMs / 1000, fineness, body, offset, limit);
    }
}
