package sunward.profiles;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.function.IntFunction;
import sunward.protocol.schema.Plan;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.FirstLook;

/**
 * What a first look says of the bins that did not come, as two points in depth for each head and wavelength.
 *
 * <p>The float fits exp(a - K z) to all its bins with weights w (WIRE.md, first look), so the weighted sums of its residuals, plain
 * and times z, are zero. What the bins in hand contribute to these sums is known; the others contribute the opposite.
 * Through the others goes one straight line of residuals with these sums. It is told at the two nodes of the Gauss quadrature
 * of their weights (C. F. Gauss 1814): there a straight fit meets any parabola, so the curve of the light's logarithm does no
 * harm; the two values are independent; and their information is the two weights of the quadrature. Without any bin in
 * hand that is the first look itself.
 */
final class FirstLookPoints {
    /** Waves as the float expects them, and its rounding of converters. */
    private static final double ROUNDING = 1.0 / 12;

    /** Brightest channel over full scale at the exposure that a float is likely to have used (assumed; within an octave). */
    private static final double FILLED = 0.6;

    /** Points less sure than this, relative, say nothing. */
    private static final double LARGEST_SD = 0.3;

    /** The float may have found its bins to scatter more than it expected, by at most so much. */
    private static final double MOST_EXCESS = 25;

    /** Distance over which residuals go together, nm (assumed). */
    private static final double ALIKE_NM = 20;

    /** Bins nearest in depth that tell how a sample of the first look divides among its channels. */
    private static final int NEIGHBOURS = 6;

    /**
     * Two points of a head, along the wavelengths of the surface.
     *
     * @param depthM not-a-number where there is nothing to tell
     * @param counts counts per second
     * @param variance relative variance: noise and waves of the bins behind it
     * @param rounding relative variance of the wire
     */
    @SuppressWarnings("ArrayRecordComponent") // internal to the package and built once per dive
    record Point(int head, double[] depthM, double[] counts, double[] variance, double[] rounding) {
        static Point empty(int head, int n) {
            Point point = new Point(head, new double[n], new double[n], new double[n], new double[n]);
            Arrays.fill(point.depthM, Double.NaN);
            return point;
        }
    }

    /** A bin that the float fitted, in hand ({@code bin}) or not. */
    private record Site(ProfileBin bin, double z, double used, double exposureS, double share) {}

    private final Plan plan;
    private final BlockHeader header;
    private final FirstLook look;
    private final HeadDepth depth;
    private final IntFunction<double[]> nmOf;

    /**
     * Points of a first look.
     *
     * @param nmOf wavelengths of its samples by head, nm
     */
    FirstLookPoints(Plan plan, ReadFirstLook first, HeadDepth depth, IntFunction<double[]> nmOf) {
        this.nmOf = nmOf;
        this.plan = plan;
        this.header = first.header();
        this.look = first.look();
        this.depth = depth;
    }

    /**
     * The points of all heads; none of a head whose bins are all in hand.
     *
     * @param bins those in hand on the grid of the surface
     * @param samples of that grid
     * @param channelsPerSample of that grid
     */
    List<Point> of(List<ProfileBin> bins, int samples, int channelsPerSample) {
        List<Point> points = new ArrayList<>();
        for (int i = 0; i < look.heads; i++) {
            FirstLook.Head head = look.head(i);
            List<Site> sites = sites(head, bins);
            if (sites.stream().noneMatch(site -> site.bin == null)) {
                continue;
            }
            Point upper = Point.empty(head.number, samples);
            Point lower = Point.empty(head.number, samples);
            double[][] found = new double[head.samples][];
            for (int s = 0; s < found.length; s++) {
                found[s] = head.lit[s] ? solve(head, s, sites, channelsPerSample) : null;
            }
            double[] nm = nmOf.apply(head.number);
            for (int k = 0; k < samples; k++) {
                int s = (int) ((k + 0.5) * channelsPerSample / header.channelsPerSample);
                if (s < head.samples && found[s] != null) {
                    double[] smooth = smooth(found, s, nm);
                    tell(upper, k, smooth, 0, sites, s, channelsPerSample);
                    tell(lower, k, smooth, 1, sites, s, channelsPerSample);
                }
            }
            points.add(upper);
            points.add(lower);
        }
        return points;
    }

    /** Bins in hand that the float fitted, and those of the plan's bins between its uppermost and lowest that are not. */
    private List<Site> sites(FirstLook.Head head, List<ProfileBin> bins) {
        double top = head.topCm / 100.0 - 0.005;
        double bottom = head.bottomCm / 100.0 + 0.005;
        List<Site> sites = new ArrayList<>();
        BinLayout layout = new BinLayout(plan.getBins());
        boolean[] held = new boolean[layout.count()];
        for (ProfileBin bin : bins) {
            double z = bin.portPressureDbar() + bin.offsetM();
            if (bin.head() == head.number && bin.bin() < held.length && z >= top && z <= bottom) {
                held[bin.bin()] = true;
                sites.add(new Site(bin, z, bin.used(), bin.exposureS(), 1));
            }
        }
        int missing = head.bins - sites.size();
        List<Integer> absent = new ArrayList<>();
        for (int b = 0; b < held.length; b++) {
            boolean within =
                    layout.toDbar(b) + depth.tareDbar() > top && layout.fromDbar(b) + depth.tareDbar() < bottom;
            if (!held[b] && within) {
                absent.add(b);
            }
        }
        if (absent.size() > missing) {
            keepLikely(absent, head, bins);
        }
        double share = Math.min(1, missing / (double) Math.max(1, absent.size()));
        int inHand = sites.size();
        for (int b : absent) {
            if (share > 0) {
                double z = Math.max(top, Math.min(bottom, layout.centreDbar(b) + depth.tareDbar()));
                double width = layout.toDbar(b) - layout.fromDbar(b);
                sites.add(missing(head, z, width / speed(z), sites.subList(0, inHand), share));
            }
        }
        return sites;
    }

    /** All heads are read at the same moments: where the others have no bin either, there were no scans, rather than a loss. */
    private static void keepLikely(List<Integer> absent, FirstLook.Head head, List<ProfileBin> bins) {
        Set<Integer> elsewhere = new HashSet<>();
        for (ProfileBin bin : bins) {
            if (bin.head() != head.number) {
                elsewhere.add(bin.bin());
            }
        }
        List<Integer> likely = absent.stream().filter(elsewhere::contains).toList();
        if (!likely.isEmpty()) {
            absent.retainAll(likely);
        }
    }

    private double speed(double z) {
        return z < plan.getAscent().getSlowAboveDbar()
                ? plan.getAscent().getSlowSpeedMPerS()
                : plan.getAscent().getSpeedMPerS();
    }

    /** A bin not in hand is like the nearest of its head that is; without any, as the plan lets expect. */
    private Site missing(FirstLook.Head head, double z, double seconds, List<Site> inHand, double share) {
        Site like = null;
        for (Site site : inHand) {
            like = like == null || Math.abs(site.z - z) < Math.abs(like.z - z) ? site : like;
        }
        double interval = plan.getExposure().getScanIntervalS();
        double used =
                Math.max(1, seconds / interval * (1 - 1.0 / plan.getExposure().getDarkEvery()));
        if (like != null) {
            return new Site(null, z, used, like.exposureS, share);
        }
        double brightest = 1;
        for (int s = 0; s < head.samples; s++) {
            brightest = head.lit[s] ? Math.max(brightest, model(head, s, z)) : brightest;
        }
        double wanted = FILLED * plan.getHeads(head.number).getFullScaleCounts() / brightest;
        double exposure = plan.getExposure().getShortestMs() / 1000;
        for (int octave = 1; octave <= plan.getExposure().getOctaves() && 2 * exposure <= wanted; octave++) {
            exposure *= 2;
        }
        return new Site(null, z, used, exposure, share);
    }

    private static double model(FirstLook.Head head, int s, double z) {
        return Math.exp(head.logSurface[s] / (double) FirstLook.LOG_ONE - attenuation(head, s) * z);
    }

    private static double attenuation(FirstLook.Head head, int s) {
        return Math.exp(head.logAttenuation[s] / (double) FirstLook.LOG_ONE);
    }

    /** The float's own weight of a sample of a bin. */
    private double weight(FirstLook.Head head, int s, Site site) {
        double gain = header.gainSixteenths / 16.0;
        double read = header.readNoiseQuarters / 4.0;
        double averaged = site.used * header.channelsPerSample;
        double fixed = (read * read + ROUNDING) / (averaged * site.exposureS * site.exposureS);
        double model = model(head, s, site.z);
        double waves = 0.02 * Math.exp(-site.z / 8) + 0.002;
        double left = 0.01 * (Math.exp(2 * Math.min(20, attenuation(head, s) * site.z)) - 1);
        return site.share
                / ((fixed / model + 1 / (averaged * gain * site.exposureS)) / model
                        + waves * waves / Math.max(1, site.used / 3)
                        + left * left);
    }

    /** Sums over bins of w z^n, n from 0 to 3. */
    private static void addMoments(double[] moments, double w, double z) {
        double power = w;
        for (int n = 0; n < moments.length; n++) {
            moments[n] += power;
            power *= z;
        }
    }

    /** For both nodes: raw depth, residual, relative variance of the bins behind it, and of the wire. */
    private double[] solve(FirstLook.Head head, int s, List<Site> sites, int channelsPerSample) {
        double[] here = new double[4];
        double[] gone = new double[4];
        double b0 = 0;
        double b1 = 0;
        double coded = 0;
        for (Site site : sites) {
            double w = weight(head, s, site);
            if (site.bin == null) {
                addMoments(gone, w, site.z);
            } else {
                double rate = mean(site.bin, s, channelsPerSample);
                double off = rate / model(head, s, site.z) - 1;
                addMoments(here, w, site.z);
                b0 += w * off;
                b1 += w * site.z * off;
                double rounding = site.bin.noise().roundingVariance(rate) / header.channelsPerSample / (rate * rate);
                coded += Double.isFinite(rounding) ? w * w * rounding : 0;
            }
        }
        double mean = gone[1] / gone[0];
        double variance = gone[2] / gone[0] - mean * mean;
        if (!(variance > 0)) {
            return null;
        }
        double third = gone[3] / gone[0] - 3 * mean * variance - mean * mean * mean;
        double skew = third / (2 * variance);
        double half = Math.sqrt(variance + skew * skew);
        double one = FirstLook.LOG_ONE * Math.sqrt(12);
        double excess = excess(head, s, here, gone);
        double[] result = new double[8];
        for (int j = 0; j < 2; j++) {
            double from = skew + (j == 0 ? -half : half);
            double other = skew - (j == 0 ? -half : half);
            double z = mean + from;
            double tilt = from / (gone[0] * variance);
            double share = gone[0] * other / (other - from);
            double level = head.surfaceStep(s) / one * (1 + here[0] / gone[0] + tilt * (here[1] - mean * here[0]));
            double slope = head.attenuationStep(s)
                    / one
                    * attenuation(head, s)
                    * (z + here[1] / gone[0] + tilt * (here[2] - mean * here[1]));
            result[4 * j] = z;
            result[4 * j + 1] = -b0 / gone[0] - tilt * (b1 - mean * b0);
            result[4 * j + 2] = excess / share;
            result[4 * j + 3] =
                    level * level + slope * slope + coded / (gone[0] * gone[0]) * (1 + from * from / variance);
        }
        return result;
    }

    /**
     * The residuals' mean over neighbours on both sides, as many on each: waves and depths move neighbours alike, rounding does
     * not.
     */
    private static double[] smooth(double[][] found, int s, double[] nm) {
        double[] smooth = found[s].clone();
        int n = 1;
        for (int away = 1; s - away >= 0 && s + away < found.length; away++) {
            double[] below = found[s - away];
            double[] above = found[s + away];
            if (below == null || above == null || nm[s + away] - nm[s - away] > 2 * ALIKE_NM) {
                break;
            }
            for (int i = 1; i < smooth.length; i += 2) {
                smooth[i] += below[i] + above[i];
            }
            n += 2;
        }
        for (int node = 0; node < 2; node++) {
            smooth[4 * node + 1] /= n;
            smooth[4 * node + 3] /= (double) n * n;
        }
        return smooth;
    }

    /** How much less sure the float was than its expectation: the standard deviation that it states, over that of the weights. */
    private static double excess(FirstLook.Head head, int s, double[] here, double[] gone) {
        double s0 = here[0] + gone[0];
        double s1 = here[1] + gone[1];
        double s2 = here[2] + gone[2];
        double stated = head.surfaceSd[head.region(s)] * 1e-4;
        return Math.max(1, Math.min(MOST_EXCESS, stated * stated * (s0 * s2 - s1 * s1) / s2));
    }

    /** Mean of a bin's counts per second over the channels of a sample of the first look. */
    private double mean(ProfileBin bin, int s, int channelsPerSample) {
        double from = (double) s * header.channelsPerSample / channelsPerSample;
        double to = Math.min(bin.counts().size(), from + (double) header.channelsPerSample / channelsPerSample);
        double sum = 0;
        for (int k = (int) from; k < to; k++) {
            sum += bin.counts().at(k) * (Math.min(to, k + 1) - Math.max(from, k));
        }
        return sum / (to - from);
    }

    private void tell(Point point, int k, double[] found, int node, List<Site> sites, int s, int channelsPerSample) {
        double z = found[4 * node];
        double off = found[4 * node + 1];
        double sure = found[4 * node + 2] + found[4 * node + 3];
        double port = plan.getHull().getPortAboveHeadsM();
        if (!(z > 0) || !(sure < LARGEST_SD * LARGEST_SD) || Math.abs(off) > LARGEST_SD) {
            return;
        }
        FirstLook.Head head = headOf(point.head);
        point.depthM[k] = depth.depthM(z - port, port);
        point.counts[k] = model(head, s, z) * (1 + off) * division(sites, z, k, s, channelsPerSample);
        point.variance[k] = found[4 * node + 2];
        point.rounding[k] = found[4 * node + 3];
    }

    private FirstLook.Head headOf(int number) {
        int i = 0;
        while (look.head(i).number != number) {
            i++;
        }
        return look.head(i);
    }

    /** What a sample of the surface's grid has over the mean of its sample of the first look, by the bins nearest in depth. */
    private double division(List<Site> sites, double z, int k, int s, int channelsPerSample) {
        List<Site> near = sites.stream()
                .filter(site -> site.bin != null)
                .sorted((a, b) -> Double.compare(Math.abs(a.z - z), Math.abs(b.z - z)))
                .limit(NEIGHBOURS)
                .toList();
        double own = 0;
        double mean = 0;
        for (Site site : near) {
            own += site.bin.counts().at(k);
            mean += mean(site.bin, s, channelsPerSample);
        }
        return near.isEmpty() || !(own > 0) || !(mean > 0) ? 1 : own / mean;
    }
}
