package sunward.firmware;

import java.util.Arrays;
import sunward.protocol.bits.BodyWriter;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.trig.Trig;

/**
 * How the brightness of successive scans hangs together, in three bands of the spectrum and in the layers of
 * {@link AttitudeLog}, all heads taken together: what shore needs to say how many scans of a bin are worth one.
 *
 * <p>From differences {@code d} of the logarithm of brightness over a lag, and the steps {@code p} of pressure over it, the
 * part that goes with depth is taken away: {@code sum(d d) - sum(d p)^2 / sum(p p)}. Half the mean of what is left is the
 * semivariance at that lag (Matheron 1963). The correlation one scan on is one less the semivariance there over that at
 * {@link #FAR_FROM} to {@link #FAR} scans, which waves of some seconds have forgotten. Differences need no mean, so bins
 * of few scans do not pull the correlation down, as residuals from their own means would.
 *
 * <p>Only scans of the clear class count, and only pairs at one exposure; darks are the latest of the head.
 */
final class BrightnessLog {
    /** Bands: thirds of the channels, as the spread of a bin. */
    static final int BANDS = BinRecord.SPREAD_BANDS;

    /** Longest lag, instants. */
    private static final int FAR = 8;

    private static final int FAR_FROM = 5;

    /** Fewer pairs say nothing of a layer. */
    private static final int FEWEST_PAIRS = 8;

    private static final int LAYERS = AttitudeLog.LAYERS;
    private static final int SUMS = 2 + 2 * BANDS; // pairs, p p, then d d and d p of each band
    private static final int NEVER = -2 * FAR;
    private static final int FIRST_FIELD = 14;

    private final double[] near = new double[LAYERS * SUMS];
    private final double[] far = new double[LAYERS * SUMS];
    private final double[] logs;
    private final double[] ports;
    private final int[] instants;
    private final byte[] codes;
    private final double[] darks;
    private final double[] now = new double[BANDS];

    BrightnessLog(int heads) {
        logs = new double[heads * FAR * BANDS];
        ports = new double[heads * FAR];
        instants = new int[heads * FAR];
        codes = new byte[heads * FAR];
        darks = new double[heads * BANDS];
    }

    int ramBytes() {
        return 8 * (near.length + far.length + logs.length + ports.length + darks.length + now.length)
                + 4 * instants.length
                + codes.length;
    }

    void clear() {
        Arrays.fill(near, 0);
        Arrays.fill(far, 0);
        Arrays.fill(instants, NEVER);
        Arrays.fill(darks, 0);
    }

    /** A dark of a head: the sums of the bands' counts. */
    void dark(int head, long[] sums) {
        for (int band = 0; band < BANDS; band++) {
            darks[head * BANDS + band] = sums[band];
        }
    }

    /**
     * A clear light scan that may be used.
     *
     * @param instant number of the moment in the dive, one on from scan to scan
     * @param portDbar port pressure above that of the air
     * @param sums sums of the bands' raw counts
     */
    void light(int head, int instant, int exposureCode, double portDbar, long[] sums) {
        for (int band = 0; band < BANDS; band++) {
            now[band] = Trig.log(Math.max(1, sums[band] - darks[head * BANDS + band]));
        }
        int layer = AttitudeLog.layerOf(portDbar) * SUMS;
        for (int lag = 1; lag <= FAR; lag++) {
            int other = head * FAR + Math.floorMod(instant - lag, FAR);
            if (instants[other] == instant - lag && codes[other] == exposureCode) {
                if (lag == 1) {
                    add(near, layer, other, portDbar);
                } else if (lag >= FAR_FROM) {
                    add(far, layer, other, portDbar);
                }
            }
        }
        int at = head * FAR + instant % FAR;
        System.arraycopy(now, 0, logs, at * BANDS, BANDS);
        ports[at] = portDbar;
        instants[at] = instant;
        codes[at] = (byte) exposureCode;
    }

    private void add(double[] sums, int layer, int other, double portDbar) {
        double p = portDbar - ports[other];
        sums[layer]++;
        sums[layer + 1] += p * p;
        for (int band = 0; band < BANDS; band++) {
            double d = now[band] - logs[other * BANDS + band];
            sums[layer + 2 + 2 * band] += d * d;
            sums[layer + 3 + 2 * band] += d * p;
        }
    }

    /** Writes the columns of every so manieth layer that is known. */
    void write(BodyWriter writer, int part, int parts) {
        boolean any = false;
        for (int i = part; i < LAYERS; i += parts) {
            any |= known(i);
        }
        for (int column = 0; any && column < 2 + BANDS; column++) {
            int mark = writer.open(FIRST_FIELD + column);
            for (int i = part; i < LAYERS; i += parts) {
                if (known(i) && column < 2) {
                    writer.packedVarint(column == 0 ? i : (int) near[i * SUMS]);
                } else if (known(i)) {
                    writer.packedSint((int) Math.floor(100 * correlation(i, column - 2) + 0.5));
                }
            }
            writer.close(mark);
        }
    }

    private boolean known(int layer) {
        return near[layer * SUMS] >= FEWEST_PAIRS && far[layer * SUMS] >= FEWEST_PAIRS;
    }

    /** Correlation of a layer's successive scans, -1 to 1; 0 where brightness does not change at all. */
    private double correlation(int layer, int band) {
        double sill = semivariance(far, layer * SUMS, band);
        return sill > 0 ? Math.max(-1, 1 - semivariance(near, layer * SUMS, band) / sill) : 0;
    }

    private static double semivariance(double[] sums, int layer, int band) {
        double withDepth = sums[layer + 3 + 2 * band];
        double steps = sums[layer + 1];
        double explained = steps > 0 ? withDepth * withDepth / steps : 0;
        return Math.max(0, sums[layer + 2 + 2 * band] - explained) / (2 * sums[layer]);
    }
}
