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

    Radiometer(TrueInstrument instrument, int head, boolean noise, long diveSeed) {
        this.instrument = instrument;
        this.head = head;
        this.noise = noise;
        electronsPerCount = instrument.head().getGainElectronsPerCount();
        readVariance =
                instrument.head().getReadNoiseCounts() * instrument.head().getReadNoiseCounts();
        address = Noise.hash(diveSeed, Part.READING, head);
    }

    /**
     * Fills in the counts of one exposure.
     *
     * @param light radiance, W m-2 nm-1 sr-1 (irradiance, W m-2 nm-1), at the window in each flown channel; not read when
     *     the shutter is closed
     * @param exposureS exposure, s
     * @param temperatureDegC of the head
     * @param tickMs time of the reading, ms from the surfacing: part of the noise's address
     * @param into its shutter is read, its head and counts are filled in
     */
    void read(double[] light, double exposureS, double temperatureDegC, long tickMs, RawScan into) {
        into.head = head;
        into.channels = instrument.channels();
        into.temperatureCdeg = (int) Math.rint(temperatureDegC * 100);
        int fullScale = instrument.head().getFullScaleCounts();
        long scan = Noise.hash(address, tickMs);
        double warming = instrument.darkWarming(temperatureDegC);
        for (int k = 0; k < into.channels; k++) {
            double signal = into.shutterClosed ? 0 : light[k] * instrument.countsPerSecond(k) * exposureS;
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
