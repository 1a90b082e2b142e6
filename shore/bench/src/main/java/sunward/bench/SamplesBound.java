package sunward.bench;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.SplittableRandom;
import org.apache.commons.csv.CSVRecord;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.SamplesDecoder;
import sunward.protocol.spectra.SamplesEncoder;

/**
 * The bound of the samples tier, sample by sample: {@code SamplesBound SAMPLES STATE [CONDITIONS.csv]}. Every sample is written,
 * read from the bytes alone and held against one standard deviation of its bin, in counts, by {@link NoiseUnits} and not by
 * the codec's own scale. First the flown dives of the conditions, if given, over bases by codec 2 at every second step code; then blocks of
 * made-up bins: smooth, dark, saturated, constant, pure noise, a hot pixel, a line that the base lacks, over bases that are
 * off by anything from nothing to thousands of deviations. After each block the state goes to a file, and a run that was
 * stopped goes on from there. Prints figures; ends with a fault at the first sample beyond the bound.
 */
public final class SamplesBound {
    private static final int CHANNELS = 720;
    private static final int BINS = 24;
    private static final int BODY = 340 - MessageLayout.HEADER_BYTES - MessageLayout.SEALED_BYTES;
    private static final long BLOCK = 200L * BINS * CHANNELS;
    private static final int FAMILIES = 7;
    private static final int FULL_SCALE = 65_000;

    private final SamplesEncoder encoder = new SamplesEncoder(BINS, BINS * CHANNELS);
    private final SamplesDecoder decoder = new SamplesDecoder(BINS);
    private final BinRecord[] own = new BinRecord[BINS];
    private final BinRecord[] told = new BinRecord[BINS];
    private final NoiseUnits[] judges = new NoiseUnits[BINS];
    private final int[][] refined = new int[BINS][CHANNELS];
    private final byte[] body = new byte[BODY];
    private final BlockHeader header = new BlockHeader();
    private long checked;
    private double worst;
    private long bytes;

    SamplesBound() {
        for (int i = 0; i < BINS; i++) {
            own[i] = new BinRecord(CHANNELS);
            told[i] = new BinRecord(CHANNELS);
        }
        header.codec = 2;
        header.samples = CHANNELS;
        header.channelsPerSample = 1;
    }

    long checked() {
        return checked;
    }

    double worst() {
        return worst;
    }

    /** Runs. */
    public static void main(String[] arguments) throws IOException {
        PrintStream out = new PrintStream(System.out, true, StandardCharsets.UTF_8);
        if (arguments.length < 2 || arguments.length > 3) {
            out.println("Give how many samples, a file that keeps the state, and perhaps a conditions file.");
            return;
        }
        long wanted = (long) Double.parseDouble(arguments[0]);
        Path state = Path.of(arguments[1]);
        SamplesBound bound = new SamplesBound();
        long done = bound.resume(state, arguments);
        long started = System.nanoTime();
        long before = bound.checked;
        if (arguments.length == 3) {
            List<CSVRecord> rows = CodecBench.rows(Path.of(arguments[2]));
            for (; done < rows.size(); done++) {
                bound.flown(new Condition(rows.get((int) done), 0).fly());
                bound.keep(state, done + 1, arguments);
            }
        }
        for (; bound.checked < wanted; done++) {
            bound.madeUp(done, BLOCK);
            bound.keep(state, done + 1, arguments);
            if (onTerminal() && done % 10 == 0) {
                double rate = (bound.checked - before) / ((System.nanoTime() - started) * 1e-9);
                System.err.printf(
                        Locale.ROOT,
                        "\r%.1f %%, %.0f s to go  ",
                        100.0 * bound.checked / wanted,
                        (wanted - bound.checked) / rate);
            }
        }
        double seconds = (System.nanoTime() - started) * 1e-9;
        out.printf(Locale.ROOT, "figure codec.samples_checked %d 1%n", bound.checked);
        out.printf(Locale.ROOT, "figure codec.samples_worst_error %.5f sigma%n", bound.worst);
        out.printf(
                Locale.ROOT, "figure codec.samples_bytes_per_sample %.4f byte%n", bound.bytes / (double) bound.checked);
        out.printf(Locale.ROOT, "figure codec.samples_checked_per_s %.0f 1/s%n", (bound.checked - before) / seconds);
    }

    @SuppressWarnings("SystemConsoleNull") // since JDK 22 always: progress then goes to a file of errors, too
    private static boolean onTerminal() {
        return System.console() != null;
    }

    private long resume(Path state, String[] arguments) throws IOException {
        if (!Files.exists(state)) {
            return 0;
        }
        String[] kept = Files.readString(state, StandardCharsets.UTF_8).strip().split(" ", -1);
        if (kept.length != 5 || !kept[4].equals(conditions(arguments))) {
            throw new IOException(
                    state + " does not hold the state of such a run; name another file, or remove it to begin anew.");
        }
        checked = Long.parseLong(kept[1]);
        worst = Double.parseDouble(kept[2]);
        bytes = Long.parseLong(kept[3]);
        return Long.parseLong(kept[0]);
    }

    private static String conditions(String[] arguments) {
        return arguments.length == 3 ? Path.of(arguments[2]).getFileName().toString() : "none";
    }

    private void keep(Path state, long done, String[] arguments) throws IOException {
        Path next = state.resolveSibling(state.getFileName() + ".next");
        Files.writeString(
                next,
                done + " " + checked + " " + worst + " " + bytes + " " + conditions(arguments) + "\n",
                StandardCharsets.UTF_8);
        Files.move(next, state, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
    }

    /** A dive's bins over bases of several steps. */
    private void flown(DiveBins dive) {
        header.gainSixteenths = (int) Math.rint(dive.gain() * 16);
        for (int step = 1; step < 16; step += 2) {
            List<OwnCodec.Sent> messages = OwnCodec.messages(dive, 2, step, OwnCodec.LONG_MESSAGE_BYTES);
            if (messages == null) {
                continue; // a spectrum too strange for a message of the bins tier
            }
            List<BinRecord> decoded = OwnCodec.decode(OwnCodec.accepted(OwnCodec.bytes(messages)));
            for (int from = 0; from < decoded.size(); from += BINS) {
                int n = 0;
                header.readNoiseQuarters = Integer.MAX_VALUE;
                for (int i = from; i < Math.min(decoded.size(), from + BINS); i++) {
                    if (decoded.get(i).samples == CHANNELS && dive.bins().get(i).samples == CHANNELS) {
                        own[n].copyFrom(dive.bins().get(i));
                        judges[n] = dive.units(own[n]);
                        told[n++].copyFrom(decoded.get(i));
                        header.readNoiseQuarters = Math.min(
                                header.readNoiseQuarters, decoded.get(i).darkNoise / BinRecord.DARK_NOISE_PER_QUARTER);
                    }
                }
                check(n, "a flown dive, step " + step);
            }
        }
    }

    /** A block of made-up bins. */
    void madeUp(long seed, long samples) {
        SplittableRandom seeds = new SplittableRandom(seed);
        for (long made = 0; made < samples; made += (long) BINS * CHANNELS) {
            long own = seeds.nextLong();
            makeUp(new Random(own));
            check(BINS, "seed " + seed + ", bins of " + own);
        }
    }

    private void makeUp(Random random) {
        header.gainSixteenths = 32 + random.nextInt(100);
        header.readNoiseQuarters = 12 + random.nextInt(60);
        int darkNoise = header.readNoiseQuarters * BinRecord.DARK_NOISE_PER_QUARTER + random.nextInt(16);
        NoiseUnits units = new NoiseUnits(header.gainSixteenths / 16.0, darkNoise / 64.0);
        Arrays.fill(judges, units);
        double off = random.nextInt(3) == 0 ? 0 : Math.pow(10, 3 * random.nextDouble() - 1);
        double[] pixel = new double[CHANNELS];
        Arrays.setAll(pixel, c -> 1 + 0.004 * random.nextGaussian());
        for (int i = 0; i < BINS; i++) {
            int family = random.nextInt(FAMILIES);
            own[i].clear();
            own[i].used = 1 + (random.nextInt(4) == 0 ? random.nextInt(400) : random.nextInt(12));
            own[i].exposureCode = 3 + i / 9;
            own[i].darkNoise = darkNoise;
            own[i].samples = CHANNELS;
            double peak = Math.pow(10, 4.8 * random.nextDouble());
            double centre = 720 * random.nextDouble();
            double noise = family == 3 ? 0 : 1;
            for (int c = 0; c < CHANNELS; c++) {
                double off2 = (c - centre) * (c - centre);
                double mean = family == 1 || family == 4 ? 0 : peak * Math.exp(-off2 / 90_000) * pixel[c];
                mean = family == 3 ? peak : family == 2 ? Math.min(20_000, 4 * mean) : mean;
                double counts = mean + noise * random.nextGaussian() * Math.sqrt(units.variance(mean) / own[i].used);
                own[i].counts[c] = (int) Math.rint(64 * Math.min(FULL_SCALE, counts));
            }
            told[i].copyFrom(own[i]);
            for (int c = 0; c < CHANNELS; c++) {
                double sigma = Math.sqrt(units.variance(own[i].counts[c] / 64.0) / own[i].used);
                told[i].counts[c] +=
                        (int) Math.rint(64 * sigma * (off * random.nextGaussian() + random.nextGaussian()));
            }
            if (family >= 5) {
                int at = random.nextInt(CHANNELS - 6);
                for (int c = at; c < at + (family == 5 ? 1 : 6); c++) {
                    own[i].counts[c] = (int) Math.rint(64 * FULL_SCALE * random.nextDouble());
                }
            }
        }
    }

    private void check(int n, String what) {
        if (n == 0) {
            return;
        }
        encoder.begin(
                header,
                n,
                0,
                Arrays.stream(own, 0, n).mapToInt(bin -> bin.darkNoise).min().orElse(0));
        for (int i = 0; i < n; i++) {
            if (!encoder.add(own[i], told[i])) {
                throw new IllegalStateException(what + ": bin " + i + " cannot be refined");
            }
        }
        BinRecord[] base = Arrays.copyOf(told, n);
        while (!encoder.done()) {
            int length = encoder.write(body, 0, BODY, 1);
            if (length == 0 || !decoder.read(body, 0, length, header, base, refined)) {
                throw new IllegalStateException(what + ": what was written cannot be read");
            }
            bytes += length;
        }
        for (int i = 0; i < n; i++) {
            for (int c = 0; c < CHANNELS; c++) {
                double counts = own[i].counts[c] / 64.0;
                double off = Math.abs(refined[i][c] - own[i].counts[c]) / 64.0;
                double error = off / Math.sqrt(judges[i].variance(counts) / Math.max(1, own[i].used));
                worst = Math.max(worst, error);
                if (error > 1) {
                    throw new IllegalStateException(
                            what + ": bin " + i + ", channel " + c + " is off by " + error + " standard deviations");
                }
            }
        }
        checked += (long) n * CHANNELS;
    }
}
