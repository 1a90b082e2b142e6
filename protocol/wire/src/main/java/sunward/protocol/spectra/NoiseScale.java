package sunward.protocol.spectra;

/**
 * Counts on a scale in which noise is the same everywhere (variance stabilisation: F. J. Anscombe 1948, here with read
 * noise as a parameter). All integer, so that both ends agree to the bit.
 *
 * <p>One scan of one channel has the variance {@code v(c) = c / gain + read^2 + 1/12} counts^2 (shot noise, read noise,
 * rounding of the converter). The <em>level</em> {@code u(c) = 2 gain sqrt(v(c))} then has unit noise; below c = 0 it
 * goes on as a straight line, so that negative counts survive. Levels are in 2^-12, counts in 1/4096 ("fine counts").
 * In integers, with G = gain in sixteenths and R = read noise in quarters of a count:
 *
 * <pre>
 *   zero level squared   Z = G^2 (3 R^2 + 4) 2^14 / 3,   u0 = floor(sqrt(Z))
 *   c &gt;= 0:  u = floor(sqrt(Z + G c 2^10))                c = (u^2 - Z) / (G 2^10)
 *   c &lt; 0:   u = u0 + c G 2^9 / u0                        c = (u - u0) u0 / (G 2^9)
 * </pre>
 */
final class NoiseScale {
    /** Fine counts per 1/64 count. */
    static final int FINE_PER_UNIT = 64;

    /** Least and largest count that the codec carries, fine counts: -65536 and just below 262144 counts. */
    static final int MIN_FINE = -(1 << 28);

    /** See {@link #MIN_FINE}. */
    static final int MAX_FINE = (1 << 30) - FINE_PER_UNIT;

    /** Largest product of gain (sixteenths) and read noise (quarters). */
    static final int MAX_GAIN_READ = 1 << 23;

    /** A level so far below that of the dark is {@link #MIN_FINE} for every head; its product with a level fits a long. */
    private static final long FAR_BELOW = -(1L << 32);

    private long gain = 1;
    private long zeroSquared;
    private long zeroLevel = 1;

    /** Takes gain and read noise of a head; their product is at most {@link #MAX_GAIN_READ}. */
    void set(int gainSixteenths, int readNoiseQuarters) {
        setFine(gainSixteenths, readNoiseQuarters * BinRecord.DARK_NOISE_PER_QUARTER);
    }

    /** The same with the noise in 1/64 count. */
    void setFine(int gainSixteenths, int noise) {
        gain = gainSixteenths;
        zeroSquared = (gain * gain * (3L * noise * noise + 1024) << 6) / 3;
        zeroLevel = root(zeroSquared);
    }

    /** Level of some fine counts. */
    long level(int fine) {
        return fine >= 0 ? root(zeroSquared + (gain * fine << 10)) : zeroLevel + gain * fine * 512 / zeroLevel;
    }

    /** Fine counts of a level, held to {@link #MIN_FINE} .. {@link #MAX_FINE}. */
    int fine(long level) {
        if (level > 1L << 31) {
            return MAX_FINE;
        }
        long fine = level >= zeroLevel
                ? (level * level - zeroSquared) / (gain << 10)
                : Math.max(level - zeroLevel, FAR_BELOW) * zeroLevel / (gain << 9);
        return hold(fine);
    }

    /** Holds fine counts to what the codec carries. */
    static int hold(long fine) {
        return (int) Math.max(MIN_FINE, Math.min(MAX_FINE, fine));
    }

    /** Change of the level, 1/64, when positive counts grow by their own amount; 0 for others. */
    long sensitivity(int fine, long level) {
        return fine > 0 ? 8 * gain * fine / level : 0;
    }

    /** Change of the level, 2^-12 noise in 2^-6, when counts of a level, at least that of the dark, grow by one. */
    long perCount(long level) {
        return (gain << 21) / Math.max(zeroLevel, level);
    }

    /**
     * Step of the quantiser in level, for the mean of so many scans and channels: {@code 2^(code/2 - 2)} standard
     * deviations of that mean, rounded down.
     */
    static long step(int stepCode, int averaged) {
        return Math.max(1, root((1L << (20 + stepCode)) / averaged));
    }

    /** floor(sqrt(x)), x from 0 up to 2^62. */
    static long root(long x) {
        long r = (long) Math.sqrt((double) x);
        while (r * r > x) {
            r--;
        }
        while ((r + 1) * (r + 1) <= x) {
            r++;
        }
        return r;
    }
}
