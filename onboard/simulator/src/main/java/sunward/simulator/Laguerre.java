package sunward.simulator;

import java.util.function.DoubleUnaryOperator;

/**
 * What a sensor of first order with a time constant makes of a signal: the mean of the signal's past, weighted by exp(-age / time
 * constant), by Gauss and Laguerre's rule with four nodes (Abramowitz and Stegun 1964, table 25.9), which is exact for
 * signals up to the seventh power of time. A function of the moment alone, whatever was read before.
 */
final class Laguerre {
    private static final double[] NODE = {0.322547689619, 1.745761101158, 4.536620296921, 9.395070912301};
    private static final double[] WEIGHT = {0.603154104342, 0.357418692438, 0.0388879085150, 0.000539294705561};

    private Laguerre() {}

    /** The lagging value at a time; the signal's own where the time constant is 0. */
    static double lagging(DoubleUnaryOperator signal, double timeS, double timeConstantS) {
        if (timeConstantS == 0) {
            return signal.applyAsDouble(timeS);
        }
        double sum = 0;
        for (int i = 0; i < NODE.length; i++) {
            sum += WEIGHT[i] * signal.applyAsDouble(timeS - timeConstantS * NODE[i]);
        }
        return sum;
    }
}
