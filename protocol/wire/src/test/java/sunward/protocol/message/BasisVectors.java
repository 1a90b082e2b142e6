package sunward.protocol.message;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.stream.IntStream;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Codecs;

/** Vectors of codec 2: bins of every channel. */
final class BasisVectors {
    private static final int LONGEST = 1960;

    private BasisVectors() {}

    static void give(VectorSink sink) {
        write(sink, "bins-basis", lined(), 6, LONGEST);
        write(sink, "bins-basis-followed", followed(), 7, LONGEST);
        write(sink, "bins-basis-deep", deep(), 8, LONGEST);
        List<BinRecord> ragged = List.of(ragged());
        int needed = write((name, key, given, bytes) -> {}, "", ragged, 6, LONGEST);
        write(sink, "bins-basis-ragged", ragged, 6, needed - 1);
    }

    static BlockHeader everyChannel() {
        BlockHeader header = TestVectorsTest.header(720);
        header.codec = 2;
        header.channelsPerSample = 1;
        return header;
    }

    /** Returns the length of the message. */
    private static int write(VectorSink sink, String name, List<BinRecord> bins, int stepCode, int longest) {
        BlockHeader header = everyChannel();
        MessageWriter writer = new MessageWriter(TestVectorsTest.KEY, longest);
        writer.begin(Kind.DIVE, true, TestVectorsTest.FLOAT, 12, 3, BlockType.BINS.number(), 2);
        BlockCodec.Encoder encoder = Codecs.ofNumber(header.codec).encoder(header.samples);
        encoder.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit(), header);
        StringBuilder given = new StringBuilder(VectorText.header(header));
        for (int n = 0; n < bins.size(); n++) {
            given.append("given bin ").append(n).append(" = ").append(VectorText.text(bins.get(n), stepCode));
            assertTrue(encoder.add(bins.get(n), stepCode), name + ": bin " + n + " fits");
        }
        byte[] bytes = TestVectorsTest.bytes(writer, encoder.finish());
        sink.add(name, TestVectorsTest.KEY, given.toString(), bytes);
        return bytes.length;
    }

    private static BinRecord bin(int n, boolean withSpectrum) {
        return TestVectorsTest.bin(everyChannel(), n, withSpectrum ? 720 : 0);
    }

    /** A smooth spectrum with one narrow line in the second. */
    private static List<BinRecord> lined() {
        return IntStream.range(0, 3)
                .mapToObj(n -> {
                    BinRecord bin = bin(n, true);
                    for (int i = 0; i < bin.samples; i++) {
                        long peak = 2_400_000L - 10_000L * Math.abs(i - 200);
                        bin.counts[i] = (int) (Math.max(peak, 20_000) * (100 - 3L * n) / 100) + i * 977 % 401 - 200;
                    }
                    bin.counts[500] += n == 1 ? 90_000 : 0;
                    return bin;
                })
                .toList();
    }

    /**
     * Seven faint spectra that the basis follows, the exposure doubled after the third; a bright cell in the third, a fainter one,
     * to be stated and not coded, in the sixth; one bin without a spectrum.
     */
    static List<BinRecord> followed() {
        return IntStream.range(0, 8)
                .mapToObj(n -> {
                    BinRecord bin = bin(n, n != 3);
                    bin.exposureCode = n < 4 ? 5 : 6;
                    for (int i = 0; i < bin.samples; i++) {
                        boolean marked = n == 2 && i / 6 == 60 || n == 5 && i / 6 == 100;
                        bin.counts[i] = hill(i, 220) * (n < 4 ? 1 : 2) * (100 - 4 * n) / 100
                                + i * 977 % 401
                                - 200
                                + (marked ? n == 2 ? 6000 : 1200 : 0);
                    }
                    return bin;
                })
                .toList();
    }

    private static int hill(int channel, int top) {
        return 40_000 - Math.min(40_000, (channel - top) * (channel - top) / 2);
    }

    /**
     * From 121 dbar up, past the depths where quanta change, in steps of one bin and more: the exposure falls, the head turns
     * past the sun's side and, for a while, nobody knows where to; scatter changes and is not known at first. Five bins have spectra.
     */
    private static List<BinRecord> deep() {
        int[] number = {151, 150, 148, 141, 140, 139, 120, 52, 51, 50, 49, 46};
        int[] exposure = {9, 9, 9, 8, 8, 8, 7, 6, 5, 5, 4, 4};
        int[] antisun = {158, 166, 173, 179, -174, -165, 255, 255, -150, -158, -175, 170};
        int[] spread = {65535, 900, 700, 1400, 90, 65535, 150, 300, 320, 40, 3, 0};
        return IntStream.range(0, number.length)
                .mapToObj(n -> {
                    BinRecord bin = bin(n, n == 0 || n == 1 || n == 4 || n == 8 || n == 11);
                    int b = number[n];
                    bin.bin = b;
                    bin.pressureMdbar = (b <= 50 ? 200 * b - 100 : b <= 140 ? 1000 * b - 40_500 : 2000 * b - 181_000)
                            + 37 * (n % 5 - 2);
                    bin.timeS = 850_690_300L + (121_000 - bin.pressureMdbar) / 90 + 11L * n;
                    bin.offsetMm = 240 + 7 * n * (n % 3 - 1);
                    bin.exposureCode = exposure[n];
                    bin.antisunDeg = antisun[n];
                    bin.spread[0] = spread[n];
                    bin.spread[1] = spread[(n + 5) % spread.length];
                    bin.spread[2] = 250 + 60 * n;
                    for (int i = 0; i < bin.samples; i++) {
                        int light = hill(i, 190 + 3 * n) / (n == 0 ? 3 : n == 1 ? 2 : 1);
                        boolean marked = n == 4 && i / 6 == 30;
                        bin.counts[i] = light + i * 977 % 401 - 200 + (marked ? 1500 : 0);
                    }
                    return bin;
                })
                .toList();
    }

    /** As no light is: coded channel by channel, and in a message one byte too short for the usual steps in twice as wide ones. */
    private static BinRecord ragged() {
        BinRecord bin = bin(0, true);
        for (int i = 0; i < bin.samples; i++) {
            bin.counts[i] = 200_000 + i * i * 3571 % 40_009;
        }
        return bin;
    }
}
