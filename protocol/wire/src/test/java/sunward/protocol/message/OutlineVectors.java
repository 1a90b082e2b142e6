package sunward.protocol.message;

import static org.junit.jupiter.api.Assertions.assertTrue;

import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Outline;
import sunward.protocol.spectra.OutlineBasis;
import sunward.protocol.spectra.OutlineCodec;
import sunward.protocol.spectra.OutlineModel;

/** Vectors of the outline. */
final class OutlineVectors {
    private OutlineVectors() {}

    static void give(VectorSink sink) {
        write(sink, "outline", outline(720, 2));
        Outline three = outline(100, 3);
        for (int j = 0; j < 4; j++) {
            three.misfitTenths[j] *= 40;
        }
        three.head[2] = 3;
        three.novelty[2][0] = 40 * OutlineCodec.NOVELTY_STEP; // and straight on beyond its centre
        three.response[2][0] = -700;
        three.response[2][7] = 31;
        write(sink, "outline-three-heads", three);
        write(sink, "outline-eleven-knots", eleven());
    }

    private static void write(VectorSink sink, String name, Outline outline) {
        BlockHeader header = TestVectorsTest.header(outline.samples);
        MessageWriter writer = new MessageWriter(TestVectorsTest.KEY, 340);
        writer.begin(Kind.DIVE, true, TestVectorsTest.FLOAT, 12, 2, BlockType.OUTLINE.number(), 0);
        int length = new OutlineCodec(new OutlineModel())
                .encode(outline, header, 0.004, 2, writer.buffer(), writer.bodyOffset(), writer.bodyLimit());
        assertTrue(length > 0, name + " fits");
        String given = VectorText.text(outline, outline.wanted).replaceAll("(?m)^outline", "given outline");
        sink.add(name, TestVectorsTest.KEY, given, TestVectorsTest.bytes(writer, length));
    }

    /** Five knots, a feature that the spectra of change do not have. */
    private static Outline outline(int samples, int heads) {
        Outline outline = new Outline();
        outline.samples = samples;
        outline.heads = heads;
        outline.head[1] = 1;
        outline.knots = 5;
        for (int j = 0; j < outline.knots; j++) {
            outline.knotCm[j] = 35 + 400 * j * j;
            outline.exposureCode[j] = j;
            outline.scatter[j] = j < 4 ? 3 + j : 0;
            outline.misfitTenths[j] = j < 4 ? 2 * j : 0;
            outline.misfitBand[j] = j == 0 || j == 4 ? 0 : 11 * j;
            for (int m = 0; m < OutlineBasis.RANK; m++) {
                outline.wanted[j][m] = ((j * 31 + m * 17) % 23 - 11) / 64.0;
            }
        }
        outline.novelty[1][7] = -25 * OutlineCodec.NOVELTY_STEP;
        outline.response[1][2] = 12;
        return outline;
    }

    /**
     * One head, knots of every level, one layer more than three times as thick as the one above; of large misfits the band is told, of
     * one that is not known too.
     */
    private static Outline eleven() {
        int[] misfit = {12, 299, 320, 65_535, 4000, 40, 0, 900, 7, 12, 0};
        Outline outline = new Outline();
        outline.samples = 180;
        outline.heads = 1;
        outline.head[0] = 2;
        outline.knots = 11;
        for (int j = 0; j < outline.knots; j++) {
            outline.knotCm[j] = j == 0 ? 20 : OutlineCodec.nextCm(outline.knotCm[j - 1]) + (j == 6 ? 900 : 13 * j);
            outline.exposureCode[j] = j / 2;
            outline.scatter[j] = j < 10 ? 40 + 5 * j : 0;
            outline.misfitTenths[j] = misfit[j];
            outline.misfitBand[j] = misfit[j] < OutlineCodec.TELLING ? 0 : 44 - 3 * j;
            for (int m = 0; m < OutlineBasis.RANK; m++) {
                outline.wanted[j][m] = ((j * 5 + m * 17) % 23 - 11 + (m == 0 ? -12 * j : 0)) / 64.0;
            }
        }
        outline.response[0][1] = -90;
        return outline;
    }
}
