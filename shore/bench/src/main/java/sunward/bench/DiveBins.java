package sunward.bench;

import java.util.ArrayList;
import java.util.List;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;
import sunward.protocol.spectra.BinRecord;

/**
 * The bins of one dive as the judge sees them: those of the float, or those that a decoder gave back.
 *
 * @param bins head after head, from the surface down
 * @param messages what the float sent, unsealed
 * @param channelNm centres of the channels, the same for every head
 * @param gain electrons per count
 * @param readNoise counts
 * @param zeroCounts what the true instrument reads without light and without dark current, at its reference temperature
 * @param shortestS shortest exposure, s
 */
record DiveBins(
        List<BinRecord> bins,
        List<byte[]> messages,
        List<Double> channelNm,
        double gain,
        double readNoise,
        double zeroCounts,
        double shortestS) {
    DiveBins with(List<BinRecord> others) {
        return new DiveBins(others, messages, channelNm, gain, readNoise, zeroCounts, shortestS);
    }

    /** Noise of light and readout alone. */
    NoiseUnits units() {
        return new NoiseUnits(gain, readNoise);
    }

    /**
     * Noise of a bin's scans: of light, of readout, and the shot noise of the dark current. How much of that there was is what
     * the bin's dark stood above the true instrument's zero (whose drift with warmth, some counts, is left in).
     */
    NoiseUnits units(BinRecord own) {
        return new NoiseUnits(gain, readNoise, own.darkCounts - zeroCounts);
    }

    Bands bands() {
        return new Bands(channelNm.stream().mapToDouble(nm -> nm).toArray());
    }

    /** The float's own message of a block, or null when it sent none. */
    byte[] message(BlockType block) {
        for (byte[] bytes : messages) {
            if (MessageReader.read(bytes, KeyRing.none()) instanceof Verdict.Accepted accepted
                    && accepted.message().block() == block.number()) {
                return bytes;
            }
        }
        return null;
    }

    List<BinRecord> ofHead(int head) {
        return bins.stream().filter(bin -> bin.head == head).toList();
    }

    int heads() {
        return bins.stream().mapToInt(bin -> bin.head).max().orElse(-1) + 1;
    }

    long samples() {
        return bins.stream().mapToLong(bin -> bin.samples).sum();
    }

    static double[] counts(BinRecord bin) {
        double[] counts = new double[bin.samples];
        for (int c = 0; c < counts.length; c++) {
            counts[c] = bin.counts[c] / (double) (1 << BinRecord.FRACTION_BITS);
        }
        return counts;
    }

    /** Judge's results for one head, a band each; null where it finds none. */
    List<SurfaceJudge.Found> surface(int head) {
        Bands bands = bands();
        List<BinRecord> near = ofHead(head).stream()
                .filter(bin ->
                        bin.samples > 0 && !bin.shaded && depthM(bin) > 0 && depthM(bin) <= SurfaceJudge.DEEPEST_M)
                .toList();
        int n = near.size();
        double[] z = new double[n];
        int[] scans = new int[n];
        double[][] counts = new double[n][];
        for (int i = 0; i < n; i++) {
            z[i] = depthM(near.get(i));
            scans[i] = near.get(i).used;
            counts[i] = counts(near.get(i));
        }
        NoiseUnits units = units();
        List<SurfaceJudge.Found> found = new ArrayList<>();
        for (int b = 0; b < Bands.COUNT; b++) {
            double[] ones = new double[channelNm.size()];
            java.util.Arrays.fill(ones, 1);
            double averaging = bands.variance(ones, b);
            double[] y = new double[n];
            double[] zero = new double[n];
            double[] perY = new double[n];
            for (int i = 0; i < n; i++) {
                double t = exposureS(near.get(i));
                y[i] = bands.of(counts[i], b) / t;
                zero[i] = averaging * units.variance(0) / (scans[i] * t * t);
                perY[i] = averaging / (gain * scans[i] * t);
            }
            found.add(SurfaceJudge.fit(z, y, zero, perY, scans));
        }
        return found;
    }

    static double depthM(BinRecord bin) {
        return (bin.pressureMdbar + bin.offsetMm) / 1000.0;
    }

    double exposureS(BinRecord bin) {
        return shortestS * (1 << bin.exposureCode);
    }
}
