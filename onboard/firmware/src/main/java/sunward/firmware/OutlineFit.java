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
 * The smooth profile of a dive from its finished bins: coefficients of the trained spectra at knots in depth.
 *
 * <p>At a knot each channel's light about it is followed by a parabola in depth, on the logarithm, by Gauss-Newton steps on
 * counts per second (local regression: W. S. Cleveland 1979); bins weigh by their noise and by what waves do to their
 * brightness, so that many bins average it. The channels' values then give the coefficients, each by its noise, from the
 * surface down: where there is no light, the knots above say what to expect. The heads' responses and the profile are found in
 * turn. Working memory holds some channels at a time; bins stream from flash.
 */
final class OutlineFit {
    private static final int RANK = OutlineBasis.RANK;
    private static final int MOST_BINS = 1024;
    private static final int FEWEST_BINS = 6;
    private static final int ROUNDS = 2;
    private static final int FIRST_STEPS = 3;
    private static final int LATER_STEPS = 2;

    /** Channels worked on at a time: as many as the first look has samples, whose memory is shared. */
    private static final int CHUNK = 150;

    /** A knot's bins reach beyond the neighbouring knots by this factor. */
    private static final double REACH = 1.3;

    /** The last knot lies deeper than the lowest light only where that is deeper by this factor. */
    private static final double DEEPER = 1.15;

    /** Light is expected to go on as between the knots above for so many times their distance. */
    private static final double FARTHEST = 4;

    /** Variance of a bin's light, relative, beside noise and waves. */
    private static final double LEAST_VARIANCE = 1e-7;

    /** What trained spectra leave in a channel, relative. */
    private static final double FLOOR = 0.0007;

    /** Information on slope and bend over a knot's reach that is taken as given (assumed: about nothing). */
    private static final double STIFF = 1;

    /** Counts, 1/64, of a bin that sees light: about its noise in one channel of one scan. */
    private static final int LIT = 64 * 16;

    /** What a row of a matrix takes beside its numbers. */
    private static final int ROW_BYTES = 20;

    /** Information on a response that is taken as given: it is usually below a twentieth. */
    private static final double RESPONSE_STIFF = 400;

    private static final double LONGEST_MISFIT = 2;
    private static final double WAVES_LEAST = 0.0003;
    private static final double SCANS_A_WAVE = 3;

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

    /** Sums over bins, by channel: weight times powers of depth, the same with what is off, and information without waves. */
    private final double[][] sums = new double[9][];

    private final double[] log;
    private final double[] tilt;
    private final double[] offset;
    private final double[] at = new double[RANK];
    private final double[] slope = new double[RANK];
    private final double[] expected = new double[RANK];
    private final double[] right = new double[RANK];
    private final double[] slopeRight = new double[RANK];
    private final double[] vector = new double[RANK];
    private final double[] cosine = new double[Outline.COSINES];
    private final double[] found = new double[Outline.COSINES];
    private final double[][] response = new double[Outline.MAX_HEADS][Outline.COSINES];
    private final double[][] bandSums = new double[2][Outline.BANDS];
    private final double[] own = new double[Outline.BANDS];
    private final double[] groupSum = new double[2];

    OutlineFit(FloatPlan plan, BinStore bins, BinRecord bin, OutlineModel model, Workspace work) {
        this.plan = plan;
        this.bins = bins;
        this.bin = bin;
        this.model = model;
        for (int i = 0; i < sums.length; i++) {
            sums[i] = work.doubles(CHUNK);
        }
        log = work.doubles(CHUNK);
        tilt = work.doubles(CHUNK);
        offset = work.doubles(CHUNK);
    }

    int ramBytes() {
        return 6 * MOST_BINS
                + ROW_BYTES * Outline.MAX_HEADS
                + 8 * (6 * RANK + Outline.COSINES * (Outline.MAX_HEADS + 2) + 3 * Outline.BANDS);
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
        if (count < FEWEST_BINS) {
            return false;
        }
        for (double[] row : response) {
            Arrays.fill(row, 0);
        }
        placeKnots(into);
        for (int round = 0; round < ROUNDS; round++) {
            Arrays.fill(slope, 0);
            for (int j = 0; j < into.knots; j++) {
                fitKnot(j, header.channelsPerSample, into);
            }
            for (int h = 0; h < into.heads; h++) {
                respond(h, header.channelsPerSample, into);
            }
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

    /** On the codec's grid as far down as there is light; the last at the bottom. */
    private void placeKnots(Outline o) {
        int bottom = Math.max(depthMm[0] / 10 + 2, (depthMm[count - 1] + 9) / 10);
        int lit = Math.max(depthMm[0] / 10 + 2, (lowestLit + 9) / 10);
        boolean deeper = bottom > DEEPER * lit;
        int end = deeper ? lit : bottom;
        int most = Outline.MAX_KNOTS - (deeper ? 2 : 1);
        int cm = depthMm[0] / 10;
        o.knots = 0;
        while (o.knots < most && (cm + OutlineCodec.nextCm(cm)) / 2 < end || o.knots == 0) {
            o.knotCm[o.knots++] = cm;
            cm = OutlineCodec.nextCm(cm);
        }
        o.knotCm[o.knots++] = end;
        if (deeper) {
            o.knotCm[o.knots++] = bottom;
        }
        int nearest = 0;
        for (int j = 0; j < o.knots; j++) {
            while (nearest < count - 1 && depthMm[nearest] < o.knotCm[j] * 10) {
                nearest++;
            }
            bins.load(order[nearest], WavelengthGrid.MAX_CHANNELS_PER_SAMPLE, bin);
            o.exposureCode[j] = bin.exposureCode;
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

    /** Variance of the brightness of some scans, from waves (assumed: 2 % for one wave at the surface). */
    private static double waves(double depthM, double scans) {
        double waves = 0.02 * Trig.exp(-depthM / 8) + WAVES_LEAST;
        return waves * waves / Math.max(1, scans / SCANS_A_WAVE);
    }

    private void fitKnot(int j, int group, Outline o) {
        double z = o.knotCm[j] / 100.0;
        double above = REACH * (j > 0 ? z - o.knotCm[j - 1] / 100.0 : o.knotCm[1] / 100.0 - z);
        double below = REACH * (j < o.knots - 1 ? o.knotCm[j + 1] / 100.0 - z : z - o.knotCm[j - 1] / 100.0);
        int from = 0;
        while (from < count && depthM(from) <= z - above) {
            from++;
        }
        int to = from;
        while (to < count && depthM(to) < z + below) {
            to++;
        }
        double thick = j > 0 ? (o.knotCm[j] - o.knotCm[j - 1]) / 100.0 : 0;
        double before = j > 1 ? (o.knotCm[j - 1] - o.knotCm[j - 2]) / 100.0 : thick;
        thick = Math.min(thick, FARTHEST * before);
        double ahead = j < 2 ? 0 : thick / before;
        for (int m = 0; m < RANK; m++) {
            double last = j == 0 ? 0 : o.wanted[j - 1][m];
            expected[m] = j < 2 ? last : last + ahead * (last - o.wanted[j - 2][m]);
            at[m] = last + thick * slope[m];
        }
        for (int step = 0; step < (j == 0 ? FIRST_STEPS : LATER_STEPS); step++) {
            double[][] information = model.startInformation();
            Arrays.fill(right, 0);
            Arrays.fill(slopeRight, 0);
            for (int first = 0; first < o.samples; first += CHUNK) {
                int n = Math.min(CHUNK, o.samples - first);
                gather(first, n, from, to, z, above, below, group, j == 0 && step == 0, o);
                project(first, n, above + below);
            }
            OutlineModel.cholesky(information);
            solve(information, right);
            solve(information, slopeRight);
            for (int m = 0; m < RANK; m++) {
                at[m] = expected[m] + right[m];
                slope[m] = slopeRight[m];
            }
        }
        System.arraycopy(at, 0, o.wanted[j], 0, RANK);
    }

    /** Sums of a knot's bins over some channels, against the spectrum and slope at hand. */
    private void gather(
            int first,
            int n,
            int from,
            int to,
            double z,
            double above,
            double below,
            int group,
            boolean afresh,
            Outline o) {
        for (double[] row : sums) {
            Arrays.fill(row, 0, n, 0);
        }
        for (int k = 0; k < n; k++) {
            model.vectors(first + k, vector);
            log[k] = model.log(at, first + k);
            tilt[k] = dot(slope, vector);
        }
        int shown = -1;
        for (int i = from; i < to; i++) {
            bins.load(order[i], group, bin);
            int h = headIndex(o);
            if (h != shown) {
                show(h, first, n);
                shown = h;
            }
            double t = exposureS();
            double off = depthM(i) - z;
            double far = off < 0 ? off / above : off / below;
            double kernel = Math.max(0, 1 - far * far);
            double waves = waves(depthM(i), bin.used) + LEAST_VARIANCE;
            double x = off / (above + below);
            for (int k = 0; k < n; k++) {
                double y = bin.counts[first + k] / (64 * t);
                double l = log[k] + tilt[k] * off + offset[k];
                double rate = afresh ? Math.max(1, y) : Trig.exp(Math.max(-25, Math.min(25, l)));
                double r = afresh ? Trig.log(rate) - l : Math.max(-1, Math.min(LONGEST_MISFIT, y / rate - 1));
                double noise = model.noise(rate, bin.used, t);
                double w = kernel / (noise + waves);
                double wx = w * x;
                double wxx = wx * x;
                sums[0][k] += w;
                sums[1][k] += wx;
                sums[2][k] += wxx;
                sums[3][k] += wxx * x;
                sums[4][k] += wxx * x * x;
                sums[5][k] += w * r;
                sums[6][k] += wx * r;
                sums[7][k] += wxx * r;
                sums[8][k] += kernel / noise;
            }
        }
    }

    /** The parabola's value and slope of each channel at the knot, and what they tell of the coefficients. */
    private void project(int first, int n, double reach) {
        for (int k = 0; k < n; k++) {
            if (sums[8][k] <= 0) {
                continue;
            }
            double a = sums[0][k] * (1 + 1e-6) + 1e-30;
            double b = sums[1][k] / a;
            double c = sums[2][k] / a;
            double d = sums[2][k] + 1e-6 * sums[0][k] + STIFF - b * sums[1][k];
            double e = sums[3][k] - b * sums[2][k];
            double f = sums[4][k] + 1e-6 * sums[0][k] + STIFF - c * sums[2][k] - e * e / d;
            double rise = sums[6][k] - b * sums[5][k];
            double bend = (sums[7][k] - c * sums[5][k] - e / d * rise) / f;
            double steep = (rise - e * bend) / d;
            double level = sums[5][k] / a - b * steep - c * bend;
            double sure = 1 / (1 / sums[8][k] + FLOOR * FLOOR);
            model.inform(first + k, sure, vector);
            double base = log[k] - model.log(expected, first + k);
            double off = sure * (base + Math.max(-2, Math.min(LONGEST_MISFIT, level)));
            double more = sure * (tilt[k] + Math.max(-1, Math.min(1, steep / reach)));
            for (int m = 0; m < RANK; m++) {
                right[m] += off * vector[m];
                slopeRight[m] += more * vector[m];
            }
        }
    }

    private static double dot(double[] a, double[] b) {
        double sum = 0;
        for (int m = 0; m < a.length; m++) {
            sum += a[m] * b[m];
        }
        return sum;
    }

    /** The response of a head over some channels. */
    private void show(int h, int first, int n) {
        for (int k = 0; k < n; k++) {
            fillCosines(first + k);
            offset[k] = dot(response[h], cosine);
        }
    }

    private void fillCosines(int k) {
        cosine[0] = 1;
        cosine[1] = model.cosine(k);
        for (int a = 2; a < Outline.COSINES; a++) {
            cosine[a] = 2 * cosine[1] * cosine[a - 1] - cosine[a - 2];
        }
    }

    /** What a head's bins of all depths have over the profile. */
    private void respond(int h, int group, Outline o) {
        double[][] square = model.startInformation(); // its first rows and columns are enough
        for (int a = 0; a < Outline.COSINES; a++) {
            Arrays.fill(square[a], 0);
        }
        Arrays.fill(found, 0);
        for (int first = 0; first < o.samples; first += CHUNK) {
            int n = Math.min(CHUNK, o.samples - first);
            show(h, first, n);
            Arrays.fill(sums[0], 0, n, 0);
            Arrays.fill(sums[1], 0, n, 0);
            for (int i = 0; i < count; i++) {
                bins.load(order[i], group, bin);
                if (headIndex(o) != h) {
                    continue;
                }
                OutlineModel.mix(o, o.wanted, depthM(i), at);
                double[] ceilingOrNull = OutlineModel.ceilingOrNull(o, o.wanted, depthM(i));
                double t = exposureS();
                double waves = waves(depthM(i), bin.used) + LEAST_VARIANCE;
                for (int k = 0; k < n; k++) {
                    double rate = Trig.exp(model.log(at, ceilingOrNull, first + k) + offset[k]);
                    double r = Math.max(-1, Math.min(1, bin.counts[first + k] / (64 * t * rate) - 1));
                    double w = 1 / (model.noise(rate, bin.used, t) + waves);
                    sums[0][k] += w;
                    sums[1][k] += w * r;
                }
            }
            for (int k = 0; k < n; k++) {
                fillCosines(first + k);
                for (int a = 0; a < Outline.COSINES; a++) {
                    found[a] += cosine[a] * sums[1][k];
                    for (int b = 0; b <= a; b++) {
                        square[a][b] += sums[0][k] * cosine[a] * cosine[b];
                    }
                }
            }
        }
        for (int a = 0; a < Outline.COSINES; a++) {
            square[a][a] += RESPONSE_STIFF;
        }
        OutlineModel.cholesky(square);
        solve(square, found);
        for (int a = 0; a < Outline.COSINES; a++) {
            response[h][a] += found[a];
            o.response[h][a] = (int) Math.floor(Math.max(-8, Math.min(8, response[h][a])) * Outline.FINER + 0.5);
        }
    }

    /**
     * What the outline, as a reader gets it, leaves of the bins: novelty, where the trained spectra cannot follow; then scatter
     * and misfit of each layer.
     *
     * @param novel relative, from which novelty is told
     * @param step of the coefficients, in a usual bin's noise: novelty less than that is theirs
     */
    void judge(int group, Outline o, double novel, double step) {
        for (int g = 0; g < Outline.GROUPS; g++) {
            Arrays.fill(o.novelty[g], 0);
            clearSums();
            for (int i = 0; i < count; i++) {
                int layer = o.layer(depthM(i));
                if (o.group(layer) == g) {
                    compare(i, group, o);
                }
            }
            for (int b = 0; b < Outline.BANDS; b++) {
                double mean = bandSums[0][b] / Math.max(1e-9, bandSums[1][b]);
                double sure = SURE / Math.sqrt(Math.max(1e-9, bandSums[1][b]));
                double usual = Math.sqrt(groupSum[0] / Math.max(1e-9, bandSums[1][b]));
                boolean tell = Math.abs(mean) > Math.max(novel, Math.max(sure, step * usual));
                int steps = (int) Math.floor(mean * Outline.FINE / OutlineCodec.NOVELTY_STEP + 0.5);
                o.novelty[g][b] = tell ? OutlineCodec.NOVELTY_STEP * Math.max(-99, Math.min(99, steps)) : 0;
            }
        }
        for (int j = 0; j < o.knots - 1; j++) {
            clearSums();
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

    private void clearSums() {
        Arrays.fill(bandSums[0], 0);
        Arrays.fill(bandSums[1], 0);
        Arrays.fill(groupSum, 0);
    }

    /** Adds a bin's residuals by band, its own brightness taken out, to the sums. */
    private void compare(int i, int group, Outline o) {
        bins.load(order[i], group, bin);
        Arrays.fill(own, 0);
        double t = exposureS();
        double sum = 1e-9;
        double bright = 0;
        for (int first = 0; first < o.samples; first += CHUNK) {
            int n = Math.min(CHUNK, o.samples - first);
            model.at(o, headIndex(o), depthM(i), first, n, log);
            for (int k = 0; k < n; k++) {
                double rate = Trig.exp(log[k]);
                double w = model.weight(rate, bin.used, t);
                double off = bin.counts[first + k] / (64 * t * rate) - 1;
                double pulled = w * Math.max(-1, Math.min(LONGEST_MISFIT, off));
                int band = o.band(first + k);
                own[band] += w;
                bandSums[0][band] += pulled;
                sum += w;
                bright += pulled;
            }
        }
        bright /= sum;
        groupSum[0]++;
        groupSum[1] += bright * bright;
        for (int band = 0; band < Outline.BANDS; band++) {
            bandSums[0][band] -= bright * own[band];
            bandSums[1][band] += own[band];
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
