package sunward.simulator;

import sunward.firmware.RawScan;

/**
 * Reads a head: light to counts with shot and read noise, rounded and cut off at full scale. Shot noise is taken as
 * normal: below some hundred electrons, where it is not, the read noise of the reference heads is the larger part. Every
 * number is addressed by (dive seed, head, time, channel of the full grid). One a head and thread.
 */
final class Radiometer {
    private final TrueInstrument instrument;
    private final int head;
    private final boolean noise;
    private final double electronsPerCount;
    private final double readVariance;
    private final long address;
    private final double[] signals;

    Radiometer(TrueInstrument instrument, int head, boolean noise, long diveSeed) {
        this.instrument = instrument;
        this.head = head;
        this.noise = noise;
        electronsPerCount = instrument.head().getGainElectronsPerCount();
        readVariance =
                instrument.head().getReadNoiseCounts() * instrument.head().getReadNoiseCounts();
        signals = new double[instrument.channels()];
        address = Noise.hash(diveSeed, Part.READING, head);
    }

    /** True when a reading depends on the light. */
    boolean seesLight(boolean shutterClosed) {
        return !shutterClosed || instrument.leak() > 0;
    }

    /** How much warmer a head of a temperature is than the water that it was made for. */
    double warmerDegC(double temperatureDegC) {
        return instrument.warmerDegC(temperatureDegC);
    }

    /** What light of this degree of polarisation, in a plane at this angle to the head, is multiplied by. */
    double polarised(double degree, double angleRad) {
        return instrument.polarised(degree, angleRad);
    }

    /**
     * Fills in the counts of one exposure.
     *
     * @param light radiance, W m-2 nm-1 sr-1 (irradiance, W m-2 nm-1), at the window in each flown channel; not read when
     *     the shutter is closed and tight
     * @param exposureS exposure, s
     * @param temperatureDegC of the head
     * @param litShare share of the exposure during which the float's own emitters are lit
     * @param tickMs time of the reading, ms from the surfacing: part of the noise's address
     * @param into its shutter is read, its head and counts are filled in
     */
    void read(double[] light, double exposureS, double temperatureDegC, double litShare, long tickMs, RawScan into) {
        into.head = head;
        into.channels = instrument.channels();
        into.temperatureCdeg = (int) Math.rint(temperatureDegC * 100);
        int fullScale = instrument.head().getFullScaleCounts();
        long scan = Noise.hash(address, tickMs);
        double share = (into.shutterClosed ? instrument.leak() : 1) * instrument.warming(temperatureDegC) * exposureS;
        for (int k = 0; k < into.channels; k++) {
            double radiance = light[k] + litShare * instrument.emitted(k);
            signals[k] = share == 0 ? 0 : radiance * instrument.countsPerSecond(k) * share;
        }
        if (share != 0) {
            instrument.stray(signals);
        }
        double warming = instrument.darkWarming(temperatureDegC);
        for (int k = 0; k < into.channels; k++) {
            double signal = signals[k];
            double thermal = instrument.darkRate(k) * warming * exposureS;
            double level = instrument.darkOffset(k, temperatureDegC) + thermal + instrument.nonLinear(signal);
            if (noise) {
                double variance = (signal + thermal) / electronsPerCount + readVariance;
                level += Math.sqrt(variance) * Noise.gaussian(Noise.hash(scan, instrument.channel(k)));
            }
            into.counts[k] = (char) Math.max(0, Math.min(fullScale, Math.rint(level)));
        }
    }
}
