package sunward.profiles;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.message.Verdict;
import sunward.protocol.plan.Digests;
import sunward.protocol.plan.FlownChannels;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.AncillaryProfile;
import sunward.protocol.schema.Fix;
import sunward.protocol.schema.HeadCounts;
import sunward.protocol.schema.Ledger;
import sunward.protocol.schema.PlanFile;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Codecs;

/**
 * A dive of the reference float made up for tests, without simulator or firmware: an invented sea of two exponentials per
 * wavelength, seen by both heads down to 20 dbar, packed with the wire's own writers.
 */
final class TestDive {
    static final int DIVE = 7;
    static final double TARE_DBAR = 0.05;

    /** 2026-12-15T02:27:00Z. */
    static final int SURFACED_S = 850_616_820;

    private static final double PORT_ABOVE_M = 0.25;

    final PlanFile file;
    final ShoreInputs inputs;
    final List<byte[]> bytes = new ArrayList<>();
    final double[] nm;
    private final long seed;
    private final boolean noisy;
    private int deepestBin = 60;

    private TestDive(long seed, boolean noisy, double... wavelengths) {
        this.seed = seed;
        this.noisy = noisy;
        PlanFile defaults = PlanReader.defaults();
        PlanFile.Builder builder = defaults.toBuilder();
        for (double wavelength : wavelengths) {
            builder.getPlanBuilder().addFlyWavelengthsNm(wavelength);
        }
        file = builder.build();
        inputs = new ShoreInputs(file.getPlan(), file.getCalibration(), Ancillary.climatology());
        nm = FlownChannels.of(file.getPlan(), file.getCalibration(), 0).wavelengthsNm();
    }

    /** A dive at these wavelengths, or at all when none is given. */
    static TestDive of(long seed, boolean noisy, double... wavelengths) {
        TestDive dive = new TestDive(seed, noisy, wavelengths);
        dive.pack(Digests.of(dive.file.getCalibration()), Codecs.ofNumber(1).number());
        return dive;
    }

    /** Messages that name another calibration. */
    static TestDive ofOtherCalibration(double... wavelengths) {
        TestDive dive = new TestDive(1, false, wavelengths);
        dive.pack(new byte[32], 1);
        return dive;
    }

    static double[] few() {
        double[] nm = new double[24];
        for (int i = 0; i < nm.length; i++) {
            nm[i] = 380 + i * 14;
        }
        return nm;
    }

    /** Upwelling radiance of the invented sea. */
    static double radiance(double nm, double depthM) {
        return lu0(nm) * ((1 - share(nm)) * Math.exp(-k(nm) * depthM) + share(nm) * Math.exp(-0.055 * depthM));
    }

    static double lu0(double nm) {
        return 0.018 * Math.exp(-(nm - 430) * (nm - 430) / (2 * 75.0 * 75.0)) + 1e-5;
    }

    private static double k(double nm) {
        return nm < 500 ? 0.03 : 0.03 + 0.47 * (nm - 500) / 170;
    }

    private static double share(double nm) {
        return nm < 550 ? 0.04 : 0.10;
    }

    List<Message> messages() {
        return bytes.stream().map(TestDive::accepted).toList();
    }

    static Message accepted(byte[] bytes) {
        return ((Verdict.Accepted) MessageReader.read(bytes, KeyRing.none())).message();
    }

    private void pack(byte[] calibrationDigest, int codec) {
        List<byte[]> bodies = new ArrayList<>();
        List<BlockType> blocks = new ArrayList<>();
        AncillaryProfile cast = AncillaryProfile.newBuilder()
                .addAllPressureCdbar(List.of(105, 900, 4000))
                .addAllTemperatureMdegc(List.of(27960, 0, -100))
                .addAllSalinityMpsu(List.of(34300, 30, 40))
                .build();
        bodies.add(cast.toByteArray());
        blocks.add(BlockType.ANCILLARY);
        int[] sent = new int[2];
        for (int head = 0; head < 2; head++) {
            for (int phase = 0; phase < 3; phase++) {
                List<BinRecord> bins = new ArrayList<>();
                for (int bin = 2 + phase; bin < deepestBin; bin += 3) {
                    bins.add(bin(head, bin));
                }
                sent[head] += bins.size();
                for (byte[] body : bodies(head, bins, calibrationDigest, codec)) {
                    bodies.add(body);
                    blocks.add(BlockType.BINS);
                }
            }
        }
        Ledger ledger = ledger(calibrationDigest, sent, bodies.size() + 2);
        bodies.add(0, ledger.toByteArray());
        blocks.add(0, BlockType.LEDGER);
        bodies.add(ledger.toByteArray());
        blocks.add(BlockType.LEDGER);
        int[] parts = new int[16];
        for (int position = 0; position < bodies.size(); position++) {
            int block = blocks.get(position).number();
            bytes.add(message(position, block, parts[block]++, bodies.get(position)));
        }
    }

    static byte[] message(int position, int block, int part, byte[] body) {
        MessageWriter writer = new MessageWriter(null, body.length + 16);
        writer.begin(Kind.DIVE, true, 1, DIVE, position, block, part);
        System.arraycopy(body, 0, writer.buffer(), writer.bodyOffset(), body.length);
        return Arrays.copyOf(writer.buffer(), writer.finish(body.length));
    }

    private Ledger ledger(byte[] calibrationDigest, int[] sent, int planned) {
        Ledger.Builder ledger = Ledger.newBuilder()
                .setProfileStartS(SURFACED_S - 3000)
                .setSurfacedS(SURFACED_S)
                .addFixes(Fix.newBuilder()
                        .setTimeS(SURFACED_S)
                        .setLatitudeE5(1_100_000)
                        .setLongitudeE5(14_200_000))
                .setTareBeforeMdbar(45)
                .setTareAfterMdbar((int) Math.round(1000 * TARE_DBAR))
                .setMessagesPlanned(planned)
                .setCalibrationDigest(com.google.protobuf.ByteString.copyFrom(calibrationDigest, 0, 8));
        for (int head = 0; head < 2; head++) {
            ledger.addHeads(HeadCounts.newBuilder()
                    .setHead(head)
                    .setBinsMade(sent[head])
                    .setBinsSent(sent[head]));
        }
        return ledger.build();
    }

    private List<byte[]> bodies(int head, List<BinRecord> bins, byte[] calibrationDigest, int codec) {
        BlockHeader header = new BlockHeader();
        header.codec = codec;
        header.head = head;
        header.samples = nm.length;
        header.channelsPerSample = 1;
        header.gainSixteenths = (int) Math.round(3.8 * 16);
        header.readNoiseQuarters = 32;
        header.calibrationTag = tag(calibrationDigest);
        header.planTag = tag(Digests.of(file.getPlan()));
        BlockCodec.Encoder encoder = Codecs.ofNumber(codec).encoder(nm.length);
        List<byte[]> bodies = new ArrayList<>();
        byte[] room = new byte[20_000];
        int i = 0;
        while (i < bins.size()) {
            int last = Math.min(bins.size(), i + 7);
            encoder.begin(room, 0, room.length, header);
            while (i < last) {
                encoder.add(bins.get(i++), 4);
            }
            bodies.add(Arrays.copyOf(room, encoder.finish()));
        }
        return bodies;
    }

    private static int tag(byte[] digest) {
        return java.nio.ByteBuffer.wrap(digest).getInt();
    }

    private BinRecord bin(int head, int number) {
        SplittableRandom random = new SplittableRandom(seed * 1_000_003 + head * 1009L + number);
        BinRecord bin = new BinRecord(nm.length);
        double width = number < 50 ? 0.2 : 1;
        double centre = number < 50 ? 0.2 * number + 0.1 : 10 + (number - 50) + 0.5;
        bin.head = head;
        bin.bin = number;
        bin.exposureCode = 6;
        bin.used = number < 50 ? 6 : 30;
        bin.timeS = SURFACED_S - Math.round(centre / 0.03);
        bin.offsetMm = (int) (1000 * PORT_ABOVE_M) + (head == 0 ? 20 : -20);
        bin.pressureMdbar = (int) Math.round(1000 * (centre / 1.0054 - bin.offsetMm / 1000.0 + TARE_DBAR));
        bin.depthSdMm = (int) Math.round(1000 * width / Math.sqrt(12));
        bin.tiltCdeg = 150;
        bin.antisunDeg = head == 0 ? 120 : -60;
        bin.darkCounts = 900;
        bin.darkScans = 40;
        Arrays.fill(bin.spread, 150);
        double depth = Seawater.depthM(bin.pressureMdbar / 1000.0 - TARE_DBAR, 11) + bin.offsetMm / 1000.0;
        SurfaceWater water = new SurfaceWater(27.96, 34.3, 0, 0, true);
        HeadResponse response =
                new HeadResponse(FlownChannels.headCalibration(file.getPlan(), file.getCalibration(), head), nm, water);
        double wave = noisy ? 1 + 0.01 * Math.exp(-depth / 8) * random.nextGaussian() : 1;
        bin.samples = nm.length;
        for (int k = 0; k < nm.length; k++) {
            double sd = bin.depthSdMm / 1000.0;
            double mean = radiance(nm[k], depth) * (1 + k(nm[k]) * k(nm[k]) * sd * sd / 2);
            double counts = mean * wave / response.perCount(k) * 0.256;
            double noise = noisy ? Math.sqrt((counts / 3.8 + 64) / bin.used) * random.nextGaussian() : 0;
            bin.counts[k] = (int) Math.round(64 * (counts + noise));
        }
        return bin;
    }
}
