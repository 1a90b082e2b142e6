package sunward.simulator;

/**
 * Addressed randomness: every random number is a function of a seed and of what it is for, never of how many were drawn
 * before. Switching one effect on therefore never changes another's numbers, and dives compared share their sea.
 *
 * <p>The mixing function is the finaliser that Steele, Lea and Flood (2014, "Fast splittable pseudorandom number
 * generators", OOPSLA, figure 17: the 64-bit variant 13 of D. Stafford) give. Stateless and safe on any thread.
 */
final class Noise {
    private static final long GOLDEN = 0x9e3779b97f4a7c15L;

    private Noise() {}

    private static long mix(long z) {
        long x = (z ^ z >>> 30) * 0xbf58476d1ce4e5b9L;
        x = (x ^ x >>> 27) * 0x94d049bb133111ebL;
        return x ^ x >>> 31;
    }

    /** 64 mixed bits of a seed and one address. */
    static long hash(long seed, long address) {
        return mix(mix(seed + GOLDEN) + GOLDEN * (address + 1));
    }

    /** 64 mixed bits of a seed and an address of two parts. */
    static long hash(long seed, long first, long second) {
        return hash(hash(seed, first), second);
    }

    /** 64 mixed bits of a seed and an address of three parts. */
    static long hash(long seed, long first, long second, long third) {
        return hash(hash(hash(seed, first), second), third);
    }

    /** Uniform in the open interval (0, 1), from mixed bits. */
    static double uniform(long bits) {
        return ((bits >>> 12) + 0.5) * 0x1p-52;
    }

    /** Normal deviate of mean 0 and variance 1, from mixed bits. */
    static double gaussian(long bits) {
        return normalQuantile(uniform(bits));
    }

    /**
     * The deviate below which a share {@code p} of the normal distribution lies: Wichura (1988), Applied Statistics 37,
     * 477, algorithm AS 241, the seven-figure form (relative error about 1e-7, enough for noise).
     *
     * @param p share, 0 to 1, both excluded
     */
    static double normalQuantile(double p) {
        double q = p - 0.5;
        if (Math.abs(q) <= 0.425) {
            double r = 0.180625 - q * q;
            return q
                    * (((59.109374720 * r + 159.29113202) * r + 50.434271938) * r + 3.3871327179)
                    / (((67.187563600 * r + 78.757757664) * r + 17.895169469) * r + 1.0);
        }
        double r = Math.sqrt(-Math.log(q < 0 ? p : 1.0 - p));
        double deviate;
        if (r <= 5.0) {
            r -= 1.6;
            deviate = (((0.17023821103 * r + 1.3067284816) * r + 2.7568153900) * r + 1.4234372777)
                    / ((0.12021132975 * r + 0.73700164250) * r + 1.0);
        } else {
            r -= 5.0;
            deviate = (((0.017337203997 * r + 0.42868294337) * r + 3.0812263860) * r + 6.6579051150)
                    / ((0.012258202635 * r + 0.24197894225) * r + 1.0);
        }
        return q < 0 ? -deviate : deviate;
    }
}
