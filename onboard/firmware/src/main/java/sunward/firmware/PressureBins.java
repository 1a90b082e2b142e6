package sunward.firmware;

import java.util.Arrays;
import sunward.protocol.spectra.BinRecord;

/**
 * Bins of stored scans: each head and pressure interval in turn, by streaming over the scans that fell into it.
 *
 * <p>Who is in: light scans of the clear class, upright enough and not saturated, whose broadband sum lies within the
 * plan's number of standard deviations of the median of their exposure's scans (the deviation from the median absolute
 * deviation times 1.4826, the factor of a normal distribution, never below the scans' own noise). The limits are alike on
 * both sides, so that symmetric scatter keeps its mean. The efficiency of this skipped mean (Andrews et al. 1972) beside the
 * plain mean of sound normal scans is {@code 2 Phi(c) - 1 - 2 c phi(c)} for limits at c deviations: 1 at six; with seven
 * scans, whose deviation is uncertain, 0.96 (both tested). Fewer than four scans are not judged.
 *
 * <p>Exposures: the most frequent one, the longer of equals, is the bin's. Scans one octave away join in and the bin says
 * so; others are left out. The mean is the sum of dark-corrected counts over the sum of exposures, so a scan weighs by its
 * exposure, and its depth weighs the same in the depth's mean and variance. All sums are integers.
 */
final class PressureBins {
    /** Scans that a bin can hold; more are left out and counted. */
    private static final int MOST_SCANS = 4095;

    private static final int FEWEST_JUDGED = 4;
    private static final double NORMAL = 1.4826;
    private static final int BANDS = BinRecord.SPREAD_BANDS;

    /** Share of the variance of darks that is relied on: twice the standard error of two hundred darks of 720 channels is 0.8 percent. */
    private static final double TOLD_SHARE = 0.99;

    /** Most that a message states, 1/64 count. */
    private static final int MOST_NOISE = 4095 * BinRecord.DARK_NOISE_PER_QUARTER;

    private final FloatPlan plan;
    private final ScanStore scans;
    private final DarkWindow darks;
    private final char[] chosen = new char[MOST_SCANS];
    private final int[] sorted = new int[MOST_SCANS];
    private final int[] atExposure = new int[16];
    private final int[] underFallback = new int[HeadChooser.FALLBACKS];
    private final int[] sumOfCounts;
    private final long[] total;
    private final double[] bandMean = new double[BANDS];
    private final double[] bandSquares = new double[BANDS];
    private final long[] bandDark = new long[BANDS]; // 1/64 count
    private boolean darkMissing;

    // Moments of the bin being made, over scans weighted by exposure.
    private long weight;
    private long time;
    private long pressure;
    private long offset;
    private long depth;
    private long depthSquares;
    private long tilt;
    private long antisun;
    private long firstTimeMs;
    private long firstDepth;
    private int firstAntisun;

    PressureBins(FloatPlan plan, ScanStore scans, int maxChannels) {
        this.plan = plan;
        this.scans = scans;
        darks = new DarkWindow(scans, maxChannels);
        sumOfCounts = new int[maxChannels];
        total = new long[maxChannels];
    }

    int ramBytes() {
        return 2 * chosen.length
                + 4 * (sorted.length + atExposure.length + underFallback.length + sumOfCounts.length)
                + 8 * (total.length + 3 * BANDS)
                + darks.ramBytes();
    }

    /** Must be called when the stored scans have changed. */
    void start() {
        darks.clear();
        darkMissing = false;
    }

    /** True when some bin since {@link #start} lacked darks at its exposure. */
    boolean darkMissing() {
        return darkMissing;
    }

    /**
     * Makes one bin.
     *
     * @param pass 0 of the ascent's scans, 1 of the dwell's
     * @return false when it holds no scan to use
     */
    boolean make(int head, int bin, int pass, BinRecord into) {
        into.clear();
        into.head = head;
        into.bin = bin;
        into.pass = pass;
        Arrays.fill(atExposure, 0);
        int n = 0;
        int rejected = 0;
        int shaded = 0;
        for (int i = 0; i < scans.size(); i++) {
            if (scans.bin(i) != bin || scans.head(i) != head || scans.dark(i) || scans.pass(i) != pass) {
                continue;
            }
            if (scans.unfit(i) || n == MOST_SCANS) {
                rejected++;
            } else if (scans.shaded(i)) {
                shaded++;
            } else {
                chosen[n++] = (char) i;
                atExposure[scans.exposureCode(i)]++;
            }
        }
        if (n == 0) {
            return false;
        }
        int code = 0;
        for (int e = 1; e < atExposure.length; e++) {
            code = atExposure[e] >= atExposure[code] ? e : code;
        }
        startMoments();
        int channels = plan.heads[head].channels;
        int lowest = Math.max(0, code - 1);
        for (int e = lowest; e <= code + 1 && e < atExposure.length; e++) {
            int used = atExposure[e] > 0 ? group(head, e, lowest, code, n, channels, into) : 0;
            into.mixedExposure |= used > 0 && e != code;
            into.used += used;
        }
        into.exposureCode = code;
        into.rejected = Math.min(MOST_SCANS, rejected + n - into.used);
        into.shadedScans = Math.min(MOST_SCANS, shaded);
        if (into.used == 0) {
            return false;
        }
        finish(channels, code - lowest, into);
        return true;
    }

    private void startMoments() {
        weight = 0;
        time = 0;
        pressure = 0;
        offset = 0;
        depth = 0;
        depthSquares = 0;
        tilt = 0;
        antisun = 0;
        Arrays.fill(total, 0);
        Arrays.fill(bandMean, 0);
        Arrays.fill(bandSquares, 0);
        Arrays.fill(underFallback, 0);
    }

    /** Adds the chosen scans of one exposure; returns how many were used. */
    private int group(int head, int e, int lowest, int code, int n, int channels, BinRecord into) {
        int members = 0;
        long temperature = 0;
        int temperatures = 0;
        for (int i = 0; i < n; i++) {
            if (scans.exposureCode(chosen[i]) == e) {
                scans.load(chosen[i], 0);
                sorted[members++] = scans.sum();
                if (scans.temperatureCdeg() != ScanStore.NO_TEMPERATURE) {
                    temperature += scans.temperatureCdeg();
                    temperatures++;
                }
            }
        }
        int middle = chosen[n / 2];
        int darkCount = darks.move(head, e, middle, channels);
        int darkCode = e;
        if (darkCount == 0) {
            darkMissing = true;
            darkCode = nearestDark(head, e, middle, channels);
            if (darkCode < 0) {
                return 0; // without any dark the counts would mean nothing
            }
        }
        int mean = temperatures > 0 ? (int) Math.floorDiv(temperature, temperatures) : ScanStore.NO_TEMPERATURE;
        darks.carryTo(mean, channels);
        Arrays.sort(sorted, 0, members);
        double median = sorted[members / 2];
        double limit = members < FEWEST_JUDGED
                ? Double.MAX_VALUE
                : plan.rejectSigma * deviation(head, members, median, channels);
        Arrays.fill(sumOfCounts, 0, channels, 0);
        Arrays.fill(bandDark, 0);
        long darkSum = 0;
        for (int c = 0; c < channels; c++) {
            int dark = darks.mean(c);
            darkSum += dark;
            bandDark[bandOf(c, channels)] += dark;
        }
        int shift = e - lowest;
        int used = 0;
        for (int i = 0; i < n; i++) {
            if (scans.exposureCode(chosen[i]) == e) {
                scans.load(chosen[i], channels);
                if (Math.abs(scans.sum() - median) <= limit) {
                    addScan(shift, channels, into.used + used);
                    used++;
                }
            }
        }
        for (int c = 0; c < channels; c++) {
            long dark = darks.mean(c);
            total[c] += ((long) sumOfCounts[c] << BinRecord.FRACTION_BITS) - used * dark;
        }
        if (e == code || into.darkScans == 0) {
            into.darkCounts = (int) Math.min(0xffff, (darkSum / channels + 32) >> BinRecord.FRACTION_BITS);
            into.darkScans = darkCode == e ? Math.min(255, darkCount) : 0;
            into.darkNoise = darkNoise(plan.heads[head]);
        }
        return used;
    }

    /**
     * Noise of a scan without light, rounded down: never below the plan's readout, and short by as much as the darks may be
     * wrong, so that a bound in its units holds.
     */
    private int darkNoise(FloatPlan.Head head) {
        double readout = head.readNoiseCounts * head.readNoiseCounts;
        double told = TOLD_SHARE * darks.variance(head.gainElectronsPerCount);
        return (int) Math.min(MOST_NOISE, 64 * Math.sqrt(Math.max(readout, told)));
    }

    /** Moves the dark window to the nearest exposure that has darks (unscaled: the offset rules); -1 when none has. */
    private int nearestDark(int head, int e, int scan, int channels) {
        for (int away = 1; away < atExposure.length; away++) {
            if (e + away < atExposure.length && darks.move(head, e + away, scan, channels) > 0) {
                return e + away;
            }
            if (e - away >= 0 && darks.move(head, e - away, scan, channels) > 0) {
                return e - away;
            }
        }
        return -1;
    }

    /** Robust standard deviation of the sorted sums, never below the shot and read noise of one. */
    private double deviation(int head, int members, double median, int channels) {
        long darkSum = 0;
        for (int c = 0; c < channels; c++) {
            darkSum += darks.mean(c);
        }
        FloatPlan.Head h = plan.heads[head];
        double noise = Math.sqrt(Math.max(0, median - (darkSum >> BinRecord.FRACTION_BITS)) / h.gainElectronsPerCount
                + channels * h.readNoiseCounts * h.readNoiseCounts);
        // The deviations of sorted values shrink from both ends: walking inwards meets them from the largest down.
        int low = 0;
        int high = members - 1;
        double mad = 0;
        for (int k = 0; k < members - members / 2; k++) {
            double below = median - sorted[low];
            double above = sorted[high] - median;
            mad = Math.max(below, above);
            if (below > above) {
                low++;
            } else {
                high--;
            }
        }
        return Math.max(noise, NORMAL * mad);
    }

    /** Adds the scan last loaded to the sums; its weight is {@code 2^shift}. */
    private void addScan(int shift, int channels, int before) {
        long depthNow = scans.pressureE4Dbar() + 10L * scans.offsetMm(); // 0.1 mm, one dbar taken as one metre
        if (before == 0) {
            firstTimeMs = scans.timeMs();
            firstDepth = depthNow;
            firstAntisun = scans.antisunDeg();
        }
        long w = 1L << shift;
        weight += w;
        time += w * (scans.timeMs() - firstTimeMs);
        pressure += w * scans.pressureE4Dbar();
        offset += w * scans.offsetMm();
        depth += w * (depthNow - firstDepth);
        depthSquares += w * (depthNow - firstDepth) * (depthNow - firstDepth);
        tilt += w * scans.tiltCdeg();
        if (firstAntisun == BinRecord.ANTISUN_UNKNOWN || scans.antisunDeg() == BinRecord.ANTISUN_UNKNOWN) {
            firstAntisun = BinRecord.ANTISUN_UNKNOWN;
        } else {
            int turned = scans.antisunDeg() - firstAntisun;
            antisun += w * (Math.floorMod(turned + 180, 360) - 180);
        }
        underFallback[scans.fallback()]++;
        // Welford's update of the bands' mean and squares, each scan brought to the lowest exposure.
        for (int band = 0; band < BANDS; band++) {
            int to = (band + 1) * channels / BANDS;
            long sum = 0;
            for (int c = band * channels / BANDS; c < to; c++) {
                int count = scans.count(c);
                sumOfCounts[c] += count;
                sum += count;
            }
            double x = ((sum << BinRecord.FRACTION_BITS) - bandDark[band]) / (double) w;
            double off = x - bandMean[band];
            bandMean[band] += off / (before + 1);
            bandSquares[band] += off * (x - bandMean[band]);
        }
    }

    /** The band whose channels, {@code band * channels / BANDS} and on, hold this one. */
    private static int bandOf(int channel, int channels) {
        int band = BANDS - 1;
        while (channel < band * channels / BANDS) {
            band--;
        }
        return band;
    }

    private void finish(int channels, int scale, BinRecord into) {
        into.timeS = (firstTimeMs + Math.floorDiv(time, weight) + 500) / 1000;
        into.pressureMdbar = (int) Math.floorDiv(2 * pressure + 10 * weight, 20 * weight);
        into.offsetMm = (int) Math.floorDiv(2 * offset + weight, 2 * weight);
        double mean = depth / (double) weight;
        double variance = Math.max(0, depthSquares / (double) weight - mean * mean);
        into.depthSdMm = (int) (Math.sqrt(variance) / 10 + 0.5);
        into.tiltCdeg = (int) ((2 * tilt + weight) / (2 * weight));
        into.antisunDeg = firstAntisun == BinRecord.ANTISUN_UNKNOWN
                ? firstAntisun
                : Math.floorMod(firstAntisun + (int) Math.floorDiv(2 * antisun + weight, 2 * weight) + 180, 360) - 180;
        for (int f = 1; f < underFallback.length; f++) {
            into.fallback = underFallback[f] > underFallback[into.fallback] ? f : into.fallback;
        }
        for (int band = 0; band < BANDS; band++) {
            double m = bandMean[band];
            boolean known = into.used > 1 && m > 0;
            double relative = known ? Math.sqrt(bandSquares[band] / (into.used - 1)) / m : 0;
            into.spread[band] = known ? (int) Math.min(0xfffe, relative * 1e4 + 0.5) : 0xffff;
        }
        into.samples = channels;
        for (int c = 0; c < channels; c++) {
            long scaled = total[c] << scale;
            into.counts[c] = (int) Math.floorDiv(2 * scaled + weight, 2 * weight);
        }
    }
}
