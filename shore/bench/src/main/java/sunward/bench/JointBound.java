package sunward.bench;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.hipparchus.linear.EigenDecompositionSymmetric;
import sunward.protocol.spectra.BinRecord;

/**
 * What coding a dive must cost when its signal is not known either: the bound of the noise and half the logarithm of det(1 + S),
 * S the covariance of the signal in units of the noise (T. M. Cover and J. A. Thomas, Elements of Information Theory, 1991,
 * section 10.3). S comes from an ensemble of dives flown without noise: deviations of ln radiance from the ensemble's mean, over
 * all bins and both heads together; and what waves do, as deviations of the same dives with waves from those without, each bin's
 * by itself with both heads. Determinants are taken through the ensemble's Gram matrix, so they are limited by its rank: the value
 * of half the ensemble beside that of the whole shows by how much it still grows.
 */
final class JointBound {
    private static final double DARKEST = 1e-3;
    private static final double BITS_PER_BYTE = 8;

    private final List<Member> ensemble = new ArrayList<>();

    /** ln of counts per second by head and bin, of one dive without and with waves. */
    private record Member(Map<Integer, float[]> calm, Map<Integer, float[]> waves) {}

    JointBound(List<Condition> training) {
        for (Condition condition : training) {
            ensemble.add(new Member(logs(condition.truth()), logs(condition.noiseless())));
        }
    }

    private static int key(BinRecord bin) {
        return bin.bin * 4 + bin.head;
    }

    private static Map<Integer, float[]> logs(DiveBins dive) {
        Map<Integer, float[]> logs = new TreeMap<>();
        for (BinRecord bin : dive.bins()) {
            if (!bin.shaded && bin.samples > 0) {
                float[] log = new float[bin.samples];
                for (int c = 0; c < log.length; c++) {
                    log[c] = (float) Math.log(Math.max(DARKEST, bin.counts[c] / 64.0 / dive.exposureS(bin)));
                }
                logs.putIfAbsent(key(bin), log);
            }
        }
        return logs;
    }

    /** Bounds of both tiers for one dive. */
    List<Outcome> of(Condition condition) {
        DiveBins dive = condition.fly();
        List<Outcome> found = new ArrayList<>();
        Bands bands = dive.bands();
        Whitened whitened = new Whitened(bands, dive.channelNm().size());
        for (Tier tier : Tier.values()) {
            boolean bins = tier == Tier.BINS;
            double noise = bins ? Bounds.binsBytes(dive) : Bounds.samplesBytes(dive);
            Map<Integer, double[][]> signal = new HashMap<>();
            Map<Integer, double[][]> waves = new HashMap<>();
            for (BinRecord bin : dive.bins()) {
                if (!bin.shaded && bin.samples > 0) {
                    double[] ratio = ratio(dive, bin);
                    signal.put(key(bin), deviations(bin, ratio, false, bins ? whitened : null));
                    waves.put(key(bin), deviations(bin, ratio, true, bins ? whitened : null));
                }
            }
            int n = ensemble.size();
            double all = signalBits(signal, 0, n) / BITS_PER_BYTE;
            double half = signalBits(signal, 0, n / 2) / BITS_PER_BYTE;
            double ofWaves = waveBits(waves, n) / BITS_PER_BYTE;
            double ofWavesHalf = waveBits(waves, n / 2) / BITS_PER_BYTE;
            found.add(Outcome.of(condition, tier.word, "joint bound")
                    .with(Outcome.BYTES, noise + all + ofWaves)
                    .with("noise", noise)
                    .with("signal", all)
                    .with("signal_half_ensemble", half)
                    .with("waves", ofWaves)
                    .with("waves_half_ensemble", ofWavesHalf)
                    .with("ensemble", n));
        }
        return found;
    }

    /** Signal over noise of every channel. */
    private static double[] ratio(DiveBins dive, BinRecord bin) {
        NoiseUnits units = dive.units(bin);
        double[] ratio = new double[bin.samples];
        for (int c = 0; c < ratio.length; c++) {
            double counts = Math.max(0, bin.counts[c] / 64.0);
            ratio[c] = counts / Math.sqrt(units.variance(counts) / bin.used);
        }
        return ratio;
    }

    /** A row a member: deviations from the mean, or from the calm dive, in units of the noise. */
    private double[][] deviations(BinRecord bin, double[] ratio, boolean waves, Whitened whitenedOrNull) {
        int n = ensemble.size();
        double[] mean = new double[ratio.length];
        int have = 0;
        for (Member member : ensemble) {
            float[] log = member.calm.get(key(bin));
            for (int c = 0; log != null && c < mean.length; c++) {
                mean[c] += log[c];
            }
            have += log == null ? 0 : 1;
        }
        double[][] rows = new double[n][];
        for (int m = 0; m < n; m++) {
            float[] calm = ensemble.get(m).calm.get(key(bin));
            float[] stirred = ensemble.get(m).waves.get(key(bin));
            double[] row = new double[ratio.length];
            for (int c = 0; calm != null && stirred != null && c < row.length; c++) {
                row[c] = ratio[c] * (waves ? stirred[c] - calm[c] : calm[c] - mean[c] / have);
            }
            rows[m] = whitenedOrNull == null ? row : whitenedOrNull.of(row, bin, ratio);
        }
        return rows;
    }

    private static double signalBits(Map<Integer, double[][]> bins, int from, int to) {
        double[][] gram = new double[to - from][to - from];
        bins.values().forEach(rows -> addGram(rows, from, gram));
        return bits(gram, to - from - 1);
    }

    /** Both heads of a bin see the same waves. */
    private static double waveBits(Map<Integer, double[][]> bins, int members) {
        Map<Integer, double[][]> grams = new HashMap<>();
        bins.forEach(
                (key, rows) -> addGram(rows, 0, grams.computeIfAbsent(key / 4, k -> new double[members][members])));
        return grams.values().stream().mapToDouble(g -> bits(g, members)).sum();
    }

    private static void addGram(double[][] rows, int from, double[][] gram) {
        for (int a = 0; a < gram.length; a++) {
            for (int b = 0; b <= a; b++) {
                double sum = 0;
                for (int c = 0; c < rows[from + a].length; c++) {
                    sum += rows[from + a][c] * rows[from + b][c];
                }
                gram[a][b] += sum;
            }
        }
    }

    /** Half log2 det(1 + gram / count), by Cholesky's factors; the lower half of the matrix is used up. */
    private static double bits(double[][] gram, double count) {
        double bits = 0;
        for (int m = 0; m < gram.length; m++) {
            for (int n = 0; n <= m; n++) {
                double s = gram[m][n] / count + (m == n ? 1 : 0);
                for (int i = 0; i < n; i++) {
                    s -= gram[m][i] * gram[n][i];
                }
                gram[m][n] = m == n ? Math.sqrt(s) : s / gram[n][n];
            }
            bits += Math.log(gram[m][m]) / Math.log(2);
        }
        return bits;
    }

    /** Bands turned to axes on which their noise is independent; each over the larger of its noise and the water's level. */
    private static final class Whitened {
        private final Bands bands;
        private final double[][] axis;

        Whitened(Bands bands, int channels) {
            this.bands = bands;
            EigenDecompositionSymmetric noise = Bounds.correlation(bands, channels);
            double level = Bounds.level(noise.getEigenvalues());
            axis = new double[Bands.COUNT][];
            for (int j = 0; j < axis.length; j++) {
                axis[j] = noise.getEigenvector(j)
                        .mapDivide(Math.sqrt(Math.max(level, noise.getEigenvalue(j))))
                        .toArray();
            }
        }

        /** {@code row} is a change of every channel in units of its noise. */
        double[] of(double[] row, BinRecord bin, double[] ratio) {
            double[] change = new double[row.length];
            double[] variance = new double[row.length];
            for (int c = 0; c < row.length; c++) {
                double counts = Math.max(0, bin.counts[c] / 64.0);
                double sd = ratio[c] > 0 ? counts / ratio[c] : 0;
                change[c] = row[c] * sd;
                variance[c] = sd * sd;
            }
            double[] inNoise = new double[Bands.COUNT];
            for (int b = 0; b < inNoise.length; b++) {
                double of = bands.variance(variance, b);
                inNoise[b] = of > 0 ? bands.of(change, b) / Math.sqrt(of) : 0;
            }
            double[] turned = new double[Bands.COUNT];
            for (int j = 0; j < turned.length; j++) {
                for (int b = 0; b < inNoise.length; b++) {
                    turned[j] += axis[j][b] * inNoise[b];
                }
            }
            return turned;
        }
    }
}
