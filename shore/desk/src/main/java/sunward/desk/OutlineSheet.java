package sunward.desk;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Outline;
import sunward.protocol.spectra.OutlineCodec;
import sunward.protocol.spectra.OutlineModel;

/** An outline: the float's smooth profile, knot by knot, in words and units. */
final class OutlineSheet {
    private OutlineSheet() {}

    /** Adds an outline's body to a sheet. */
    static void describe(byte[] body, Sheet sheet) {
        BlockHeader header = new BlockHeader();
        Outline outline = new Outline();
        OutlineModel model = new OutlineModel();
        if (!new OutlineCodec(model).decode(body, 0, body.length, header, outline)) {
            MessageSheet.problem(sheet, "the outline cannot be read, though the message is whole; report it");
            return;
        }
        int novel = 0;
        for (int[] row : outline.novelty) {
            novel += (int) Arrays.stream(row).filter(v -> v != 0).count();
        }
        sheet.heading("Outline: the smooth profile that the float made of its bins")
                .put("heads", "heads in it", outline.heads, "")
                .put("channels_per_sample", "channels in a sample", header.channelsPerSample, "")
                .put(
                        "novel_bands",
                        "bands told beside the trained spectra",
                        novel,
                        "of " + Outline.GROUPS * Outline.BANDS);
        List<Sheet.Row> rows = new ArrayList<>();
        double[] log = new double[header.samples];
        for (int j = 0; j < outline.knots; j++) {
            model.at(outline, 0, outline.knotCm[j] / 100.0, log);
            int brightest = 0;
            for (int k = 0; k < log.length; k++) {
                brightest = log[k] > log[brightest] ? k : brightest;
            }
            Sheet.Row row = new Sheet.Row()
                    .put("raw_depth_m", outline.knotCm[j] / 100.0, 2)
                    .put("brightest_sample", brightest)
                    .put("counts_per_s", Math.exp(log[brightest]), 1);
            boolean last = j == outline.knots - 1;
            rows.add(
                    last
                            ? row.put("scatter_percent", "-").put("misfit", "-").put("misfit_band", "-")
                            : row.put("scatter_percent", outline.scatter[j] / 100.0, 2)
                                    .put("misfit", outline.misfitTenths[j] / 10.0, 1)
                                    .put("misfit_band", outline.misfitBand[j]));
        }
        sheet.table(
                "knots",
                List.of(
                        "raw depth m",
                        "brightest sample",
                        "counts/s there",
                        "scatter % below",
                        "worst misfit, sigma",
                        "in band"),
                rows);
    }
}
