package sunward.protocol.spectra;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;

/**
 * Bins of an invented dive, with what makes spectra hard to pack: absorption lines in the sunlight, attenuation that
 * differs by wavelength, waves, exposure in octaves, shot and read noise. Figures are round and invented; only the
 * attenuation follows pure water roughly (from memory).
 */
final class SyntheticDive {
    static final double GAIN = 3.8;
    static final double READ = 8;
    private static final double FIRST_NM = 320;
    private static final double STEP_NM = 0.75;
    private static final double SHORTEST_S = 0.004;

    private final Random random;
    private final int channels;
    private final int group;
    private final double[] surface;
    private final double[] attenuation;

    /** A dive of heads with this many channels (of the range 320 to 860 nm), averaged in groups. */
    SyntheticDive(long seed, int channels, int group) {
        random = new Random(seed);
        this.channels = channels;
        this.group = group;
        surface = new double[channels];
        attenuation = new double[channels];
        double step = STEP_NM * 720 / channels;
        for (int i = 0; i < channels; i++) {
            double nm = FIRST_NM + step * i;
            double water = 0.018 + 0.3 * Math.exp((nm - 640) / 30) / (1 + 0.25 * Math.exp((nm - 640) / 30));
            attenuation[i] = water + 0.05 * Math.exp(-(nm - 320) / 90) + (nm > 720 ? 1.5 : 0);
            double colour = Math.exp(-0.5 * Math.pow((nm - 470) / 75, 2)) + 0.02;
            surface[i] = 9e5 * colour * Math.exp(-0.5 * Math.pow((nm - 560) / 200, 2));
        }
        Random lines = new Random(4711);
        for (int line = 0; line < 220; line++) {
            double nm = FIRST_NM + 540 * Math.pow(lines.nextDouble(), 1.6);
            double depth = 0.22 * Math.pow(lines.nextDouble(), 2) * (nm < 460 ? 1.5 : 0.5);
            for (int i = 0; i < channels; i++) {
                surface[i] *= 1 - depth * Math.exp(-0.5 * Math.pow((FIRST_NM + step * i - nm) / 1.4, 2));
            }
        }
    }

    int samples() {
        return WavelengthGrid.samples(channels, group);
    }

    BlockHeader header() {
        BlockHeader header = new BlockHeader();
        header.codec = DeltaCodec.NUMBER;
        header.samples = samples();
        header.channelsPerSample = group;
        header.gainSixteenths = (int) Math.round(16 * GAIN);
        header.readNoiseQuarters = (int) Math.round(4 * READ);
        header.calibrationTag = 0x01020304;
        header.planTag = 0x05060708;
        return header;
    }

    /** All bins of one head, surface first: 0.2 dbar to 10, 1 dbar to 100, 2 dbar to 250. */
    List<BinRecord> bins() {
        List<BinRecord> bins = new ArrayList<>();
        double edge = 0;
        double time = 8.5e8;
        double antisun = 20;
        for (int number = 0; edge < 250; number++) {
            double width = edge < 9.99 ? 0.2 : edge < 99.99 ? 1 : 2;
            double rate = edge < 20 ? 0.03 : 0.1;
            time -= width / rate;
            antisun += 0.3 * width / rate;
            if (edge + width > 0.35) {
                bins.add(bin(number, edge, width, rate, time, antisun));
            }
            edge += width;
        }
        return bins;
    }

    private BinRecord bin(int number, double edge, double width, double rate, double time, double antisun) {
        double depth = edge + width * (0.5 + 0.06 * random.nextGaussian());
        double wave = 0.06 * Math.exp(-depth / 8) * random.nextGaussian() + 0.004 * random.nextGaussian();
        double tint = 0.3 * wave * random.nextGaussian();
        double brightest = 0;
        double[] rateAt = new double[channels];
        for (int i = 0; i < channels; i++) {
            double colour = wave + tint * (i - channels / 2.0) / channels;
            rateAt[i] = surface[i] * Math.exp(-attenuation[i] * depth + colour);
            brightest = Math.max(brightest, rateAt[i]);
        }
        int exposure = 0;
        while (exposure < 9 && brightest * SHORTEST_S * (2 << exposure) < 45_000) {
            exposure++;
        }
        double seconds = SHORTEST_S * (1 << exposure);
        int used = (int) Math.max(1, width / rate / (seconds > 0.5 ? 2.5 : 1) + 0.5);
        BinRecord bin = new BinRecord(samples());
        fill(bin, number, depth, time, antisun, exposure, used);
        for (int s = 0; s < samples(); s++) {
            double sum = 0;
            int end = Math.min(channels, (s + 1) * group);
            for (int i = s * group; i < end; i++) {
                double mean = rateAt[i] * seconds;
                sum += mean + random.nextGaussian() * Math.sqrt((mean / GAIN + READ * READ) / used);
            }
            bin.counts[s] = (int) Math.round(64 * sum / (end - s * group));
        }
        bin.samples = samples();
        return bin;
    }

    private void fill(BinRecord bin, int number, double depth, double time, double antisun, int exposure, int used) {
        bin.bin = number;
        bin.exposureCode = exposure;
        bin.used = used;
        bin.rejected = random.nextInt(20) == 0 ? 1 : 0;
        bin.timeS = Math.round(time + 0.5 * random.nextGaussian());
        bin.pressureMdbar = (int) Math.round(1000 * depth + 130);
        bin.offsetMm = (int) Math.round(250 + 8 * random.nextGaussian());
        bin.depthSdMm = (int) Math.round(60 + 8 * random.nextGaussian());
        bin.tiltCdeg = (int) Math.round(150 + 60 * random.nextGaussian());
        bin.antisunDeg = Math.floorMod((int) Math.round(antisun + 3 * random.nextGaussian()) + 180, 360) - 180;
        bin.darkCounts = 500 + exposure;
        bin.darkScans = 4;
        for (int band = 0; band < BinRecord.SPREAD_BANDS; band++) {
            bin.spread[band] = (int) Math.round(300 * Math.exp(0.2 * random.nextGaussian()));
        }
    }
}
