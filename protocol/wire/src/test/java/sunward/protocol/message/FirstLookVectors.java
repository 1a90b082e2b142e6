package sunward.protocol.message;

import sunward.protocol.spectra.FirstLook;
import sunward.protocol.spectra.FirstLookCodec;

/** Vectors of the first look. */
final class FirstLookVectors {
    private FirstLookVectors() {}

    static void give(VectorSink sink) {
        write(sink, "first-look", even(), 1);
        write(sink, "first-look-uneven", uneven(), 4);
    }

    private static void write(VectorSink sink, String name, FirstLook look, int fineness) {
        MessageWriter writer = new MessageWriter(TestVectorsTest.KEY, 340);
        writer.begin(Kind.DIVE, true, TestVectorsTest.FLOAT, 12, 0, BlockType.FIRST_LOOK.number(), 0);
        int length = new FirstLookCodec(64)
                .encode(
                        look,
                        TestVectorsTest.header(24),
                        fineness,
                        writer.buffer(),
                        writer.bodyOffset(),
                        writer.bodyLimit());
        String given = VectorText.text(look).replaceAll("(?m)^first", "given first");
        sink.add(name, TestVectorsTest.KEY, given, TestVectorsTest.bytes(writer, length));
    }

    /** Two heads of 24 samples, the last three of them dark, one head with fewer. */
    private static FirstLook even() {
        FirstLook look = new FirstLook(FirstLook.MAX_HEADS, 64);
        look.surfacedS = 850_693_200;
        look.placeKnown = true;
        look.latitudeCdeg = 1100;
        look.longitudeCdeg = 14_200;
        look.tareKnown = true;
        look.tareMdbar = -12;
        look.messagesPlanned = 48;
        look.repairMessages = 12;
        look.heads = 2;
        for (int h = 0; h < look.heads; h++) {
            FirstLook.Head head = look.head(h);
            head.number = h;
            head.samples = 24 - 2 * h;
            head.bins = 90 + h;
            head.topCm = 52;
            head.bottomCm = 1984 - 6 * h;
            for (int r = 0; r < FirstLook.REGIONS; r++) {
                head.effectiveBins[r] = 80 - 12 * r;
                head.scatter[r] = 120 + 24 * r;
                head.misfitPercent[r] = 88;
                head.surfaceSd[r] = 20 + 12 * r * r;
                head.attenuationSd[r] = 60 + 40 * r * r;
            }
            for (int i = 0; i < head.samples; i++) {
                head.lit[i] = i < head.samples - 3;
                head.logSurface[i] = head.lit[i] ? 850_000 - 900 * i * i + 4000 * (i % 5) + 300 * h : 0;
                head.logAttenuation[i] = head.lit[i] ? -220_000 + 700 * i * i - 250 * (i % 3) * h : 0;
            }
        }
        return look;
    }

    /**
     * Place and tare not known; the later heads lit where the first is dark, before its first lit sample too, and one longer than it;
     * scatter not known in places.
     */
    private static FirstLook uneven() {
        FirstLook look = even();
        look.placeKnown = false;
        look.tareKnown = false;
        look.heads = 3;
        int[] samples = {24, 30, 20};
        for (int h = 0; h < look.heads; h++) {
            FirstLook.Head head = look.head(h);
            head.number = 3 - h;
            head.samples = samples[h];
            for (int i = 0; i < head.samples; i++) {
                head.lit[i] = h == 0 ? i > 2 && i != 9 && i < 21 : i > 0 && i != 14 && i < 26;
                head.logSurface[i] = head.lit[i] ? 700_000 - 700 * i * i + 5000 * (i % 4) + 9000 * h : 0;
                head.logAttenuation[i] = head.lit[i] ? -150_000 + 500 * i * i - 900 * (i % 3) * h : 0;
            }
            for (int r = 0; r < FirstLook.REGIONS; r++) {
                head.surfaceSd[r] = r == 3 + h % 2 ? 65_535 : 400 * r;
                head.attenuationSd[r] = r == 5 ? 65_535 : 30 + 90 * r * h;
                head.scatter[r] = r == 1 ? 65_535 : 70;
            }
        }
        return look;
    }
}
