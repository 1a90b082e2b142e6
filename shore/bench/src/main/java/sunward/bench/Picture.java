package sunward.bench;

import java.util.ArrayList;
import java.util.List;
import sunward.protocol.spectra.BinRecord;

/**
 * What every comparison coder gets of a head: counts in noise units, rounded to whole steps, a row a bin; and the bins'
 * other fields as whole numbers.
 *
 * @param rows quantised spectra
 * @param fields pressure, depth, time and the rest, a row a bin
 */
@SuppressWarnings("ArrayRecordComponent") // internal to the benchmark and never compared
record Picture(int[][] rows, int[][] fields) {
    /** Quantises a head of a dive; {@code step} in standard deviations of a sample. */
    static Picture of(DiveBins dive, int head, double step) {
        List<BinRecord> bins = dive.ofHead(head);
        int[][] rows = new int[bins.size()][];
        int[][] fields = new int[bins.size()][];
        for (int i = 0; i < rows.length; i++) {
            BinRecord bin = bins.get(i);
            NoiseUnits units = dive.units(bin);
            double scale = Math.sqrt(Math.max(1, bin.used)) / step;
            rows[i] = new int[bin.samples];
            for (int c = 0; c < bin.samples; c++) {
                rows[i][c] = (int) Math.rint(units.of(bin.counts[c] / 64.0) * scale);
            }
            fields[i] = fields(bin);
        }
        return new Picture(rows, fields);
    }

    private static int[] fields(BinRecord bin) {
        return new int[] {
            bin.bin,
            bin.exposureCode,
            bin.mixedExposure ? 1 : 0,
            bin.used,
            bin.rejected,
            bin.shadedScans,
            (int) bin.timeS,
            bin.pressureMdbar,
            bin.offsetMm,
            bin.depthSdMm,
            bin.tiltCdeg,
            bin.antisunDeg,
            bin.fallback,
            bin.darkCounts,
            bin.darkScans,
            bin.spread[0],
            bin.spread[1],
            bin.spread[2]
        };
    }

    /** The same spectra before rounding, in standard deviations of a sample. */
    static double[][] inNoise(DiveBins dive, int head) {
        return dive.ofHead(head).stream()
                .map(bin -> {
                    NoiseUnits units = dive.units(bin);
                    double[] row = new double[bin.samples];
                    for (int c = 0; c < bin.samples; c++) {
                        row[c] = units.of(bin.counts[c] / 64.0) * Math.sqrt(Math.max(1, bin.used));
                    }
                    return row;
                })
                .toArray(double[][]::new);
    }

    /** Bins as a decoder of this picture gives them; only what the judge looks at is filled. */
    List<BinRecord> bins(DiveBins dive, int head, double step) {
        double[][] inNoise = new double[rows.length][];
        for (int i = 0; i < rows.length; i++) {
            inNoise[i] = new double[rows[i].length];
            for (int c = 0; c < rows[i].length; c++) {
                inNoise[i][c] = rows[i][c] * step;
            }
        }
        return bins(dive, head, inNoise);
    }

    /** The same from spectra in standard deviations of a sample. */
    List<BinRecord> bins(DiveBins dive, int head, double[][] inNoise) {
        List<BinRecord> bins = new ArrayList<>();
        for (int i = 0; i < inNoise.length; i++) {
            BinRecord bin = new BinRecord(inNoise[i].length);
            bin.head = head;
            bin.bin = fields[i][0];
            bin.exposureCode = fields[i][1];
            bin.used = fields[i][3];
            bin.pressureMdbar = fields[i][7];
            bin.offsetMm = fields[i][8];
            bin.darkCounts = fields[i][13];
            bin.samples = inNoise[i].length;
            NoiseUnits units = dive.units(bin);
            double scale = 1 / Math.sqrt(Math.max(1, bin.used));
            for (int c = 0; c < bin.samples; c++) {
                bin.counts[c] = (int) Math.rint(units.counts(inNoise[i][c] * scale) * 64);
            }
            bins.add(bin);
        }
        return bins;
    }
}
