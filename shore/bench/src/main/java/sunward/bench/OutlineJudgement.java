package sunward.bench;

import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Outline;
import sunward.protocol.spectra.OutlineCodec;
import sunward.protocol.spectra.OutlineModel;

/**
 * How near an outline, read from its message alone, and the float's own bins are to the truth: the same dive without noise and
 * waves. Errors are of bands, over the noise of the bin's band; only bins count that both dives made of the same scans.
 *
 * @param bytes length of the message
 * @param knots in it
 * @param outlineSigma rms over bins and bands
 * @param binsSigma same of the measured bins
 * @param outlinePercent median over bins and bands that have light (noise below 1 %)
 * @param binsPercent same of the measured bins
 * @param novel bands with novelty, over groups of layers
 * @param worstMisfit of the layers, in standard deviations
 */
record OutlineJudgement(
        int bytes,
        int knots,
        double outlineSigma,
        double binsSigma,
        double outlinePercent,
        double binsPercent,
        int novel,
        double worstMisfit) {
    private static final double LIT = 0.01;

    /** Judges; null when the dive sent none. */
    static OutlineJudgement of(DiveBins dive, DiveBins truth) {
        for (byte[] bytes : dive.messages()) {
            if (MessageReader.read(bytes, KeyRing.none()) instanceof Verdict.Accepted accepted
                    && accepted.message().block() == BlockType.OUTLINE.number()) {
                return of(dive, truth, accepted.message());
            }
        }
        return null;
    }

    private static OutlineJudgement of(DiveBins dive, DiveBins truth, Message message) {
        Outline outline = new Outline();
        BlockHeader header = new BlockHeader();
        OutlineModel model = new OutlineModel();
        byte[] body = message.body();
        if (!new OutlineCodec(model).decode(body, 0, body.length, header, outline)) {
            throw new IllegalStateException("an outline of ours is spoilt");
        }
        Bands bands = dive.bands();
        NoiseUnits units = dive.units();
        double sampleNm = (dive.channelNm().get(1) - dive.channelNm().get(0)) * header.channelsPerSample;
        // Samples are smoothed once by averaging channels and once by spreading them again.
        Bands narrower =
                new Bands(dive.channelNm().stream().mapToDouble(w -> w).toArray(), 2 * sampleNm * sampleNm / 12);
        double[] sums = new double[3];
        double[] relative = new double[dive.bins().size() * Bands.COUNT];
        double[] measured = new double[relative.length];
        int lit = 0;
        Map<List<Integer>, BinRecord> really = new HashMap<>();
        truth.bins().forEach(b -> really.put(List.of(b.head, b.bin, b.pass, b.shaded ? 1 : 0), b));
        double[] log = new double[header.samples];
        for (BinRecord bin : dive.bins()) {
            BinRecord is = really.get(List.of(bin.head, bin.bin, bin.pass, bin.shaded ? 1 : 0));
            if (bin.shaded || is == null || is.used != bin.used || Math.abs(is.pressureMdbar - bin.pressureMdbar) > 2) {
                continue;
            }
            double t = dive.exposureS(bin);
            double scale = truth.exposureS(is) / t;
            model.at(outline, bin.head == outline.head[0] ? 0 : 1, DiveBins.depthM(bin), log);
            double[] told = spread(log, header.channelsPerSample, bin.samples);
            double[] wrong = new double[bin.samples];
            double[] noise = new double[bin.samples];
            double[] real = new double[bin.samples];
            double[] variance = new double[bin.samples];
            for (int c = 0; c < bin.samples; c++) {
                real[c] = is.counts[c] / 64.0 / scale;
                wrong[c] = told[c] * t;
                noise[c] = bin.counts[c] / 64.0 - real[c];
                variance[c] = units.variance(real[c]) / bin.used;
            }
            for (int b = 0; b < Bands.COUNT; b++) {
                double sd = Math.sqrt(bands.variance(variance, b));
                double o = narrower.of(wrong, b) - bands.of(real, b);
                double m = bands.of(noise, b);
                sums[0]++;
                sums[1] += o * o / (sd * sd);
                sums[2] += m * m / (sd * sd);
                double level = bands.of(real, b);
                if (level > 0 && sd / level < LIT) {
                    relative[lit] = 100 * Math.abs(o) / level;
                    measured[lit++] = 100 * Math.abs(m) / level;
                }
            }
        }
        int novel = 0;
        for (int[] row : outline.novelty) {
            novel += (int) Arrays.stream(row).filter(v -> v != 0).count();
        }
        return new OutlineJudgement(
                message.bytes().length,
                outline.knots,
                Math.sqrt(sums[1] / sums[0]),
                Math.sqrt(sums[2] / sums[0]),
                Judgement.percentile(Arrays.copyOf(relative, lit), 0.5),
                Judgement.percentile(Arrays.copyOf(measured, lit), 0.5),
                novel,
                Arrays.stream(outline.misfitTenths).max().orElse(0) / 10.0);
    }

    /** Counts per second of every channel from logarithms of samples, straight lines between their centres. */
    static double[] spread(double[] log, int group, int channels) {
        double[] y = new double[channels];
        double half = (group - 1) / 2.0;
        for (int c = 0; c < channels; c++) {
            double place = Math.max(0, Math.min(log.length - 1, (c - half) / group));
            int below = Math.min(log.length - 2, (int) place);
            y[c] = Math.exp(log[below] + (place - below) * (log[below + 1] - log[below]));
        }
        return y;
    }

    boolean meets() {
        return outlineSigma <= binsSigma;
    }
}
