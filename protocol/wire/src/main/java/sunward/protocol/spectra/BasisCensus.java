package sunward.protocol.spectra;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import sunward.protocol.bits.AdaptiveIntegers;
import sunward.protocol.bits.BitCounter;
import sunward.protocol.bits.BitModels;

/** Counts what codec 2 writes for given bodies: where its tables of usual sizes and of starts come from. Not for a float. */
public final class BasisCensus {
    private static final int CLASSES = 16;
    private static final int FEWEST = 3;
    private static final int LEAST = 4;
    private static final int MOST = 250;
    private static final long LARGEST_SIZE = 30 * 64;

    private final BasisCoder coder = new BasisCoder(new Workspace());
    private final BinFields fields = coder.fields();
    private final BitModels models = new BitModels(BinFields.MODELS + coder.models());
    private final BitCounter first = new BitCounter(models.size());
    private final BitCounter later = new BitCounter(models.size());
    private final double[][] size = new double[2][BasisTable.BANDS];
    private final int[] spectra = new int[2];

    /** Counts the bins of one body. */
    public void add(List<BinRecord> body, BlockHeader header, int stepCode) {
        fields.reset(models, (int) body.get(0).timeS);
        coder.reset(models, BinFields.MODELS, header);
        boolean isFirst = true;
        for (BinRecord bin : body) {
            BitCounter counter = isFirst ? first : later;
            fields.take(bin, stepCode);
            fields.code(counter, models);
            if (bin.samples > 0) {
                coder.code(counter, models, BinFields.MODELS, fields, bin.counts, bin.misfit, false);
                int of = isFirst ? 0 : 1;
                for (int k = 0; k < BasisTable.BANDS; k++) {
                    size[of][k] += Math.min(LARGEST_SIZE, coder.size(k));
                }
                spectra[of]++;
                coder.advance(fields);
            }
            fields.advance(models, isFirst);
            isFirst = false;
        }
    }

    /** Mean size of the patterns' amounts, 1/64 of a bin's noise: first spectra of a body, or later ones. */
    public double[] sizes(boolean ofFirst) {
        int of = ofFirst ? 0 : 1;
        return Arrays.stream(size[of]).map(s -> s / Math.max(1, spectra[of])).toArray();
    }

    /** The lines of {@code basis-start.txt}. */
    public List<int[]> starts() {
        List<int[]> lines = new ArrayList<>();
        for (int i = 0; i < BasisCoder.CONTEXTS; i++) {
            lines.add(line(BinFields.MODELS, i, first, later));
        }
        for (int i = 0; i < LightModes.COUNT; i++) {
            lines.add(line(BinFields.MODELS, BasisCoder.MODE + i, later));
        }
        for (int i = BasisCoder.NOVEL_COUNT; i <= BasisCoder.TRIM; i++) {
            lines.add(line(BinFields.MODELS, i, first, later));
        }
        for (BitCounter counter : List.of(first, later)) {
            for (int field = 0; field < BinFields.FIELDS; field++) {
                lines.add(line(0, field, counter));
            }
        }
        return lines;
    }

    private static int[] line(int base, int source, BitCounter... counters) {
        int[] chances = new int[CLASSES];
        int known = 0;
        while (known < CLASSES) {
            int index = base + source * AdaptiveIntegers.MODELS + known;
            double stops = 0;
            double goes = 0;
            for (BitCounter counter : counters) {
                stops += counter.seen(index, 0);
                goes += counter.seen(index, 1);
            }
            if (stops + goes < FEWEST) {
                break;
            }
            long chance = Math.round(256 * (stops + 0.3) / (stops + goes + 0.6));
            chances[known++] = (int) Math.max(LEAST, Math.min(MOST, chance));
        }
        return known == 0 ? new int[] {128} : Arrays.copyOf(chances, known);
    }
}
