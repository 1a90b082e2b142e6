package sunward.firmware;

import java.util.Arrays;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Outline;
import sunward.protocol.spectra.OutlineBasis;
import sunward.protocol.spectra.OutlineCodec;
import sunward.protocol.spectra.OutlineModel;
import sunward.protocol.spectra.WavelengthGrid;
import sunward.protocol.spectra.Workspace;
import sunward.protocol.trig.Trig;

/**
 * The smooth profile of a dive from its finished bins: coefficients of the trained spectra at knots in depth, by Gauss-Newton
 * steps on counts per second.
 *
 * <p>A bin's residuals are weighed by noise; the brightness that all samples of a bin share may move by what waves do (a
 * nuisance of known variance, taken out by the rank-one formula of Sherman and Morrison 1950). The equations of neighbouring knots
 * make a block tridiagonal system, eliminated from the surface down while bins stream from flash. Knots start dense and are taken
 * away, one after another, where the straight line between their neighbours costs less chi squared than their bits are worth
 * (in the manner of minimum description length, J. Rissanen 1978).
 */
final class OutlineFit {
    private static final int RANK = OutlineBasis.RANK;
    private static final int KNOTS = Outline.MAX_KNOTS;
    private static final int MOST_BINS = 1024;
    private static final int FEWEST_KNOTS = 3;
    private static final int FIRST_STEPS = 5;
    private static final int LATER_STEPS = 2;

    /** Chi squared that the bits of a knot are worth: some 110 bits, 2 ln 2 each. */
    private static final double WORTH = 150;

    /** Least relative noise that still tells of a sample at the start. */
    private static final double DARK_SIGMAS = 3;

    /** Counts, 1/64, of a bin that sees light: about its noise in one channel of one scan. */
    private static final int LIT = 64 * 16;

    /** What a row of a matrix takes beside its numbers. */
    private static final int ROW_BYTES = 20;

    private static final double LONGEST_STEP = 10;
    private static final double LONGEST_MISFIT = 2;
    private static final double LATER_SHARE = 0.25;

    /** Novelty is told where it is this many of its standard deviations. */
    private static final double SURE = 3;

    private final FloatPlan plan;
    private final BinStore bins;
    private final BinRecord bin;
    private final OutlineModel model;
    private final char[] order = new char[MOST_BINS];
    private final int[] depthMm = new int[MOST_BINS];
    private int count;
    private int lowestLit;

    private final double[] log;
    private final double[] off;
    private final double[] weight;
    private final double[][] offset;
    private final double[] cosine = new double[Outline.COSINES];
    private final double[] vector = new double[RANK];
    private final double[][] square = new double[RANK][RANK];
    private final double[] slope = new double[RANK];
    private final double[][] bandSums = new double[2][Outline.BANDS];
    private final double[] groupSum = new double[2];
    private final double[][] diagonal = new double[RANK][RANK];
    private final double[][] next = new double[RANK][RANK];
    private final double[][] coupling = new double[RANK][RANK];
    private final double[] right = new double[RANK];
    private final double[] nextRight = new double[RANK];
    private final double[] pull = new double[RANK];
    private final double[] at = new double[RANK];

    /** For back substitution: by knot, what the knot below does to it, and its own part. */
    private final float[][] gain = new float[KNOTS][RANK * RANK];

    private final double[][] own = new double[KNOTS][RANK];
    private final double[][] headSquare = new double[Outline.COSINES][Outline.COSINES];
    private final double[] headRight = new double[Outline.COSINES];
    private final double[][] difference = new double[Outline.MAX_HEADS][Outline.COSINES];
    private final double[] scans = new double[KNOTS];

    OutlineFit(FloatPlan plan, BinStore bins, BinRecord bin, OutlineModel model, Workspace work) {
        this.plan = plan;
        this.bins = bins;
        this.bin = bin;
        this.model = model;
        log = work.doubles(OutlineBasis.NODES);
        off = work.doubles(OutlineBasis.NODES);
        weight = work.doubles(OutlineBasis.NODES);
        offset = new double[plan.heads.length][];
        for (int h = 0; h < offset.length; h++) {
            offset[h] = work.doubles(OutlineBasis.NODES);
        }
    }

    int ramBytes() {
        int square = 8 * RANK * RANK;
        return 6 * MOST_BINS
                + 4 * square
                + KNOTS * (square / 2 + 8 * RANK)
                + ROW_BYTES * 4 * RANK
                + 8 * (7 * RANK + KNOTS + Outline.COSINES * (Outline.COSINES + 5) + 2 * Outline.BANDS);
    }

    /**
     * Fits.
     *
     * @param header channels per sample, gain and read noise of the heads
     * @return false when there are too few bins
     */
    boolean fit(BlockHeader header, Outline into) {
        into.clear();
        model.start(header);
        into.samples = header.samples;
        collect(header.channelsPerSample, into);
        if (count < 2 * FEWEST_KNOTS) {
            return false;
        }
        for (int h = 0; h < offset.length; h++) {
            Arrays.fill(difference[h], 0);
            Arrays.fill(offset[h], 0);
        }
        placeKnots(into);
        begin(header.channelsPerSample, into);
        improve(FIRST_STEPS, header.channelsPerSample, into);
        while (into.knots > FEWEST_KNOTS && thin(into)) {
            improve(LATER_STEPS, header.channelsPerSample, into);
        }
        for (int j = 0; j < into.knots; j++) {
            describe(j, into);
        }
        return true;
    }

    /** Usable bins of the upwelling heads that have the first one's channels, from the surface down. */
    private void collect(int group, Outline into) {
        count = 0;
        lowestLit = 0;
        into.heads = 0;
        for (int h = 0; h < plan.heads.length; h++) {
            int samples = BinStore.samples(plan.heads[h].channels, group);
            if (!plan.heads[h].upwelling || samples != into.samples) {
                continue;
            }
            int before = count;
            for (int i = 0; i < bins.size() && count < MOST_BINS; i++) {
                if (bins.head(i) == h) {
                    bins.load(i, WavelengthGrid.MAX_CHANNELS_PER_SAMPLE, bin);
                    int z = bin.pressureMdbar + bin.offsetMm;
                    if (!bin.shaded && bin.samples > 0 && bin.used > 0 && z > 0) {
                        insert(i, z);
                        lowestLit = brightest() >= LIT ? Math.max(lowestLit, z) : lowestLit;
                    }
                }
            }
            if (count > before) {
                into.head[into.heads++] = h;
            }
        }
    }

    private int brightest() {
        int most = 0;
        for (int k = 0; k < bin.samples; k++) {
            most = Math.max(most, bin.counts[k]);
        }
        return most;
    }

    private void insert(int index, int z) {
        int place = count++;
        while (place > 0 && depthMm[place - 1] > z) {
            depthMm[place] = depthMm[place - 1];
            order[place] = order[place - 1];
            place--;
        }
        depthMm[place] = z;
        order[place] = (char) index;
    }

    /** Evenly in the square root of depth as far down as there is light, at least two bins in each layer; the last at the bottom. */
    private void placeKnots(Outline o) {
        double top = depthMm[0] / 1000.0;
        double bottom = Math.max(depthMm[count - 1] / 10_000.0, lowestLit / 1000.0);
        int cm = (int) Math.floor(top * 100);
        o.knots = 0;
        o.knotCm[o.knots++] = cm;
        int from = 0;
        for (int j = 1; j < KNOTS; j++) {
            boolean last = j == KNOTS - 1;
            double share = (double) j / (KNOTS - 2);
            double z = last ? depthMm[count - 1] / 1000.0 : top + (bottom - top) * share * share;
            int here = (int) Math.ceil(100 * z);
            int to = from;
            while (to < count && depthMm[to] < here * 10) {
                to++;
            }
            if (to - from >= 2 && here > cm || last && o.knots < 2) {
                cm = here;
                o.knotCm[o.knots++] = cm;
                from = to;
            } else if (last) {
                o.knotCm[o.knots - 1] = Math.max(here, o.knotCm[o.knots - 2] + 1);
            }
        }
    }

    private double depthM(int i) {
        return depthMm[i] / 1000.0;
    }

    private double exposureS() {
        return plan.shortestMs * (1 << bin.exposureCode) / 1000;
    }

    private int headIndex(Outline o) {
        int h = 0;
        while (h < o.heads - 1 && o.head[h] != bin.head) {
            h++;
        }
        return h;
    }

    /** First guess at each knot: the nearest bin's logarithms where it sees light, else as the knot above. */
    private void begin(int group, Outline o) {
        int i = 0;
        for (int j = 0; j < o.knots; j++) {
            while (i < count - 1 && depthMm[i] < o.knotCm[j] * 10) {
                i++;
            }
            bins.load(order[i], group, bin);
            double t = exposureS();
            double[] before = j == 0 ? at : o.wanted[j - 1];
            if (j == 0) {
                Arrays.fill(at, 0);
            }
            model.spectrum(before, log);
            for (int k = 0; k < o.samples; k++) {
                double y = bin.counts[k] / (64 * t);
                weight[k] = y > 0 ? model.weight(y, bin.used, t) : 0;
                weight[k] = weight[k] > DARK_SIGMAS * DARK_SIGMAS ? weight[k] : 0;
                off[k] = weight[k] > 0 ? Trig.log(y) - log[k] : 0;
            }
            equations(1e-12, o.samples);
            for (int m = 0; m < RANK; m++) {
                double size = (j == 0 ? 1 : LATER_SHARE) * model.size(m);
                square[m][m] += 1 / (size * size);
            }
            OutlineModel.cholesky(square);
            solve(square, slope);
            for (int m = 0; m < RANK; m++) {
                o.wanted[j][m] = before[m] + slope[m];
            }
        }
    }

    private static void clear(double[][] square, double[] row) {
        for (double[] line : square) {
            Arrays.fill(line, 0);
        }
        Arrays.fill(row, 0);
    }

    /** Normal equations of the residuals at hand, the shared brightness taken out; lower half only. */
    private void equations(double brightness, int samples) {
        double sum = 1 / brightness;
        double sumOff = 0;
        clear(square, slope);
        Arrays.fill(pull, 0);
        for (int k = 0; k < samples; k++) {
            sum += weight[k];
            sumOff += weight[k] * off[k];
            model.vectors(k, vector);
            for (int m = 0; m < RANK; m++) {
                double pulled = weight[k] * vector[m];
                pull[m] += pulled;
                slope[m] += pulled * off[k];
                for (int n = 0; n <= m; n++) {
                    square[m][n] += pulled * vector[n];
                }
            }
        }
        for (int m = 0; m < RANK; m++) {
            slope[m] -= pull[m] * sumOff / sum;
            for (int n = 0; n <= m; n++) {
                square[m][n] -= pull[m] * pull[n] / sum;
            }
        }
    }

    /** Steps: the profile and the heads' differences in turn. */
    private void improve(int steps, int group, Outline o) {
        for (int step = 0; step < steps; step++) {
            moveProfile(group, o);
            if (o.heads > 1) {
                moveHeads(group, o);
            }
        }
        moveProfile(group, o);
    }

    /** Weights and residuals of a bin against the model that now holds. */
    private double residuals(int i, int group, Outline o, int layer) {
        bins.load(order[i], group, bin);
        double share = o.share(layer, depthM(i));
        for (int m = 0; m < RANK; m++) {
            at[m] = o.wanted[layer][m] + share * (o.wanted[layer + 1][m] - o.wanted[layer][m]);
        }
        model.spectrum(at, log);
        double t = exposureS();
        double[] more = offset[headIndex(o)];
        for (int k = 0; k < o.samples; k++) {
            double rate = Trig.exp(log[k] + more[k]);
            weight[k] = model.weight(rate, bin.used, t);
            off[k] = Math.max(-1, Math.min(LONGEST_MISFIT, bin.counts[k] / (64 * t * rate) - 1));
        }
        return share;
    }

    private void moveProfile(int group, Outline o) {
        clear(next, nextRight);
        Arrays.fill(scans, 0);
        int i = 0;
        for (int j = 0; j < o.knots; j++) {
            for (int m = 0; m < RANK; m++) {
                System.arraycopy(next[m], 0, diagonal[m], 0, RANK);
                right[m] = nextRight[m];
            }
            clear(next, nextRight);
            for (double[] row : coupling) {
                Arrays.fill(row, 0);
            }
            boolean last = j == o.knots - 1;
            while (!last && i < count && (j == o.knots - 2 || depthMm[i] < o.knotCm[j + 1] * 10)) {
                double share = residuals(i++, group, o, j);
                equations(OutlineModel.waves(o.knotCm[j] / 100.0, bin.used), o.samples);
                spread(share);
                scans[j] += (1 - share) * bin.used;
                scans[j + 1] += share * bin.used;
            }
            eliminate(j, last);
        }
        for (int j = o.knots - 1; j >= 0; j--) {
            for (int m = 0; m < RANK; m++) {
                double x = own[j][m];
                for (int n = 0; n < RANK && j < o.knots - 1; n++) {
                    x -= gain[j][m * RANK + n] * own[j + 1][n];
                }
                own[j][m] = Math.max(-LONGEST_STEP, Math.min(LONGEST_STEP, x));
                o.wanted[j][m] += own[j][m];
            }
        }
    }

    private void spread(double share) {
        for (int m = 0; m < RANK; m++) {
            right[m] += (1 - share) * slope[m];
            nextRight[m] += share * slope[m];
            for (int n = 0; n <= m; n++) {
                double h = square[m][n];
                diagonal[m][n] += (1 - share) * (1 - share) * h;
                next[m][n] += share * share * h;
                coupling[m][n] += share * (1 - share) * h;
                coupling[n][m] = coupling[m][n];
            }
        }
    }

    /** Takes a knot out of the equations of the one below. */
    private void eliminate(int j, boolean last) {
        for (int m = 0; m < RANK; m++) {
            double size = (j == 0 ? 1 : LATER_SHARE) * model.size(m);
            diagonal[m][m] += 1 / (size * size);
        }
        OutlineModel.cholesky(diagonal);
        solve(diagonal, right);
        System.arraycopy(right, 0, own[j], 0, RANK);
        if (last) {
            return;
        }
        for (int n = 0; n < RANK; n++) {
            for (int m = 0; m < RANK; m++) {
                pull[m] = coupling[m][n];
            }
            solve(diagonal, pull);
            for (int m = 0; m < RANK; m++) {
                gain[j][m * RANK + n] = (float) pull[m];
            }
        }
        for (int m = 0; m < RANK; m++) {
            for (int i = 0; i < RANK; i++) {
                nextRight[m] -= coupling[m][i] * own[j][i];
                for (int n = 0; n <= m; n++) {
                    next[m][n] -= coupling[m][i] * gain[j][i * RANK + n];
                }
            }
        }
    }

    /** The other heads' differences from the first, constant with depth. */
    private void moveHeads(int group, Outline o) {
        for (int h = 1; h < o.heads; h++) {
            clear(headSquare, headRight);
            for (int i = 0; i < count; i++) {
                residuals(i, group, o, o.layer(depthM(i)));
                if (headIndex(o) != h) {
                    continue;
                }
                for (int k = 0; k < o.samples; k++) {
                    fillCosines(k);
                    for (int a = 0; a < Outline.COSINES; a++) {
                        double wc = weight[k] * cosine[a];
                        headRight[a] += wc * off[k];
                        for (int b = 0; b <= a; b++) {
                            headSquare[a][b] += wc * cosine[b];
                        }
                    }
                }
            }
            for (int a = 0; a < Outline.COSINES; a++) {
                headSquare[a][a] += 1;
            }
            OutlineModel.cholesky(headSquare);
            solve(headSquare, headRight);
            for (int a = 0; a < Outline.COSINES; a++) {
                difference[h][a] += headRight[a];
            }
            setOffset(h, o);
        }
    }

    private void fillCosines(int k) {
        cosine[0] = 1;
        cosine[1] = model.cosine(k);
        for (int a = 2; a < Outline.COSINES; a++) {
            cosine[a] = 2 * cosine[1] * cosine[a - 1] - cosine[a - 2];
        }
    }

    private void setOffset(int h, Outline o) {
        for (int a = 0; a < Outline.COSINES; a++) {
            o.difference[h][a] = (int) Math.floor(difference[h][a] * Outline.FINE + 0.5);
        }
        for (int k = 0; k < o.samples; k++) {
            offset[h][k] = model.difference(o.difference[h], k);
        }
    }

    /** Takes away the knot that is worth least; false when each is worth its bits. */
    private boolean thin(Outline o) {
        int least = -1;
        double cost = WORTH;
        for (int j = 1; j < o.knots - 1; j++) {
            double share = (o.knotCm[j] - o.knotCm[j - 1]) / (double) (o.knotCm[j + 1] - o.knotCm[j - 1]);
            for (int m = 0; m < RANK; m++) {
                double between = o.wanted[j - 1][m] + share * (o.wanted[j + 1][m] - o.wanted[j - 1][m]);
                at[m] = o.wanted[j][m] - between;
            }
            describe(j, o);
            double t = plan.shortestMs / 1000 * (1 << o.exposureCode[j]);
            model.prepareCost(o.wanted[j], o.knotCm[j] / 100.0, OutlineCodec.scans(o.scansCode[j]), t);
            double here = model.cost(at);
            if (here < cost) {
                cost = here;
                least = j;
            }
        }
        if (least < 0) {
            return false;
        }
        for (int j = least; j < o.knots - 1; j++) {
            o.knotCm[j] = o.knotCm[j + 1];
            System.arraycopy(o.wanted[j + 1], 0, o.wanted[j], 0, RANK);
        }
        o.knots--;
        return true;
    }

    private void describe(int j, Outline o) {
        int nearest = 0;
        for (int i = 1; i < count; i++) {
            boolean nearer = Math.abs(depthMm[i] - o.knotCm[j] * 10) < Math.abs(depthMm[nearest] - o.knotCm[j] * 10);
            nearest = nearer ? i : nearest;
        }
        bins.load(order[nearest], WavelengthGrid.MAX_CHANNELS_PER_SAMPLE, bin);
        o.exposureCode[j] = bin.exposureCode;
        int code = 0;
        while (code < 30 && OutlineCodec.scans(code + 1) <= Math.max(1, scans[j])) {
            code++;
        }
        o.scansCode[j] = code;
    }

    /**
     * What the outline, as a reader gets it, leaves of the bins: novelty, where the trained spectra cannot follow; then scatter
     * and misfit of each layer.
     *
     * @param novel relative, from which novelty is told
     */
    void judge(int group, Outline o, double novel) {
        for (int g = 0; g < Outline.GROUPS; g++) {
            Arrays.fill(o.novelty[g], 0);
            clear(bandSums, groupSum);
            for (int i = 0; i < count; i++) {
                int layer = o.layer(depthM(i));
                if (o.group(layer) == g) {
                    compare(i, group, o);
                }
            }
            for (int b = 0; b < Outline.BANDS; b++) {
                double mean = bandSums[0][b] / Math.max(1e-9, bandSums[1][b]);
                double sure = SURE / Math.sqrt(Math.max(1e-9, bandSums[1][b]));
                boolean tell = Math.abs(mean) > Math.max(novel, sure);
                int steps = (int) Math.floor(mean * Outline.FINE / OutlineCodec.NOVELTY_STEP + 0.5);
                o.novelty[g][b] = tell ? OutlineCodec.NOVELTY_STEP * Math.max(-99, Math.min(99, steps)) : 0;
            }
        }
        for (int j = 0; j < o.knots - 1; j++) {
            clear(bandSums, groupSum);
            for (int i = 0; i < count; i++) {
                if (o.layer(depthM(i)) == j) {
                    compare(i, group, o);
                }
            }
            double worst = 0;
            for (int b = 0; b < Outline.BANDS; b++) {
                double sigmas = Math.abs(bandSums[0][b]) / Math.sqrt(Math.max(1e-9, bandSums[1][b]));
                o.misfitBand[j] = sigmas > worst ? b : o.misfitBand[j];
                worst = Math.max(worst, sigmas);
            }
            o.misfitTenths[j] = (int) Math.min(30_000, Math.floor(worst * 10 + 0.5));
            double rms = Math.sqrt(groupSum[1] / Math.max(1, groupSum[0]));
            o.scatter[j] = (int) Math.min(10_000, Math.floor(rms * 10_000 + 0.5));
        }
    }

    /** Adds a bin's residuals by band, its own brightness taken out, to the sums. */
    private void compare(int i, int group, Outline o) {
        bins.load(order[i], group, bin);
        model.at(o, headIndex(o), depthM(i), log);
        double t = exposureS();
        double sum = 1e-9;
        double bright = 0;
        for (int k = 0; k < o.samples; k++) {
            double rate = Trig.exp(log[k]);
            weight[k] = model.weight(rate, bin.used, t);
            off[k] = Math.max(-1, Math.min(LONGEST_MISFIT, bin.counts[k] / (64 * t * rate) - 1));
            sum += weight[k];
            bright += weight[k] * off[k];
        }
        bright /= sum;
        groupSum[0]++;
        groupSum[1] += bright * bright;
        for (int k = 0; k < o.samples; k++) {
            int band = o.band(k);
            bandSums[0][band] += weight[k] * (off[k] - bright);
            bandSums[1][band] += weight[k];
        }
    }

    private static void solve(double[][] factor, double[] x) {
        int n = x.length;
        for (int m = 0; m < n; m++) {
            for (int i = 0; i < m; i++) {
                x[m] -= factor[m][i] * x[i];
            }
            x[m] /= factor[m][m];
        }
        for (int m = n - 1; m >= 0; m--) {
            for (int i = m + 1; i < n; i++) {
                x[m] -= factor[i][m] * x[i];
            }
            x[m] /= factor[m][m];
        }
    }
}
