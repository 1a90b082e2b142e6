package sunward.simulator;

/**
 * A smooth random function of one variable (time, wavelength), mean 0 and variance 1 over seeds at every argument: a sum
 * of sinusoids with addressed frequencies and phases. Immutable.
 */
final class SmoothRandom {
    private final double[] rate;
    private final double[] phase;
    private final double amplitude;

    private SmoothRandom(double[] rate, double[] phase) {
        this.rate = rate;
        this.phase = phase;
        this.amplitude = Math.sqrt(2.0 / rate.length);
    }

    /**
     * A function whose frequencies lie between two limits, evenly in logarithm.
     *
     * @param address mixed bits that name the function
     * @param terms sinusoids, the more the more nearly normal
     * @param lowest lowest frequency, cycles per unit of the argument
     * @param highest highest frequency
     */
    static SmoothRandom band(long address, int terms, double lowest, double highest) {
        double[] rate = new double[terms];
        for (int i = 0; i < terms; i++) {
            double place = (i + Noise.uniform(Noise.hash(address, i, 0))) / terms;
            rate[i] = 2 * Math.PI * lowest * StrictMath.pow(highest / lowest, place);
        }
        return new SmoothRandom(rate, phases(address, terms));
    }

    /**
     * A function whose correlation over a distance d is exp(-d^2 / 2 L^2): its angular frequencies are normal with
     * standard deviation 1/L (the correlation function is the spectrum's Fourier transform).
     *
     * @param address mixed bits that name the function
     * @param terms sinusoids
     * @param correlationLength L, in units of the argument
     */
    static SmoothRandom correlated(long address, int terms, double correlationLength) {
        double[] rate = new double[terms];
        for (int i = 0; i < terms; i++) {
            rate[i] = Noise.gaussian(Noise.hash(address, i, 0)) / correlationLength;
        }
        return new SmoothRandom(rate, phases(address, terms));
    }

    private static double[] phases(long address, int terms) {
        double[] phase = new double[terms];
        for (int i = 0; i < terms; i++) {
            phase[i] = 2 * Math.PI * Noise.uniform(Noise.hash(address, i, 1));
        }
        return phase;
    }

    /** The function's value. */
    double at(double x) {
        double sum = 0;
        for (int i = 0; i < rate.length; i++) {
            sum += Math.cos(rate[i] * x + phase[i]);
        }
        return amplitude * sum;
    }

    /** An antiderivative of the function, itself bounded: zero-mean in its argument. */
    double integralAt(double x) {
        double sum = 0;
        for (int i = 0; i < rate.length; i++) {
            sum += Math.sin(rate[i] * x + phase[i]) / rate[i];
        }
        return amplitude * sum;
    }
}
