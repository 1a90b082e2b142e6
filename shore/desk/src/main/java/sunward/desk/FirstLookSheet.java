package sunward.desk;

import java.util.ArrayList;
import java.util.List;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.FirstLook;
import sunward.protocol.spectra.FirstLookCodec;

/** A first look: surface spectra and attenuation as the float fitted them, in words and units. */
final class FirstLookSheet {
    private static final int MOST_SAMPLES = 1024;
    private static final double PERCENT = 1e-2;

    private FirstLookSheet() {}

    /** Adds a first look's body to a sheet. */
    static void describe(byte[] body, Sheet sheet) {
        BlockHeader header = new BlockHeader();
        FirstLook look = new FirstLook(FirstLook.MAX_HEADS, MOST_SAMPLES);
        if (!new FirstLookCodec(MOST_SAMPLES).decode(body, 0, body.length, header, look)) {
            MessageSheet.problem(sheet, "the first look cannot be read, though the message is whole; report it");
            return;
        }
        sheet.heading("First look: the dive's surface spectra as the float fitted them")
                .put("surfaced", "surfaced", MessageSheet.time(look.surfacedS));
        if (look.placeKnown) {
            sheet.put("latitude_deg", "latitude", look.latitudeCdeg / 100.0, 2, "degree")
                    .put("longitude_deg", "longitude", look.longitudeCdeg / 100.0, 2, "degree");
        }
        if (look.tareKnown) {
            sheet.put("tare_before_dbar", "pressure in air before the dive", look.tareMdbar / 1000.0, 3, "dbar");
        }
        sheet.put("messages_planned", "data messages of the dive", look.messagesPlanned, "")
                .put("repair_messages", "repair messages of the dive", look.repairMessages, "");
        sheet.put("channels_per_sample", "channels in a sample", header.channelsPerSample, "");
        for (int h = 0; h < look.heads; h++) {
            head(look.head(h), sheet);
        }
    }

    private static void head(FirstLook.Head head, Sheet sheet) {
        String key = "head_" + head.number;
        sheet.heading("Head " + head.number)
                .put(key + "_bins", "bins in the fit", head.bins, "")
                .put(key + "_top_m", "from raw depth", head.topCm / 100.0, 2, "m")
                .put(key + "_bottom_m", "to raw depth", head.bottomCm / 100.0, 2, "m");
        List<Sheet.Row> rows = new ArrayList<>();
        for (int i = 0; i < head.samples; i++) {
            int region = head.region(i);
            Sheet.Row row = new Sheet.Row().put("sample", i);
            if (head.lit[i]) {
                row.put("surface_counts_per_s", Math.exp(head.logSurface[i] / (double) FirstLook.LOG_ONE), 1)
                        .put("attenuation_per_m", Math.exp(head.logAttenuation[i] / (double) FirstLook.LOG_ONE), 4);
            } else {
                row.put("surface_counts_per_s", "too dark").put("attenuation_per_m", "-");
            }
            row.put("surface_sd_percent", head.surfaceSd[region] * PERCENT, 2)
                    .put("scatter_percent", head.scatter[region] * PERCENT, 2)
                    .put("misfit", head.misfitPercent[region] * PERCENT, 2)
                    .put("effective_bins", head.effectiveBins[region]);
            rows.add(row);
        }
        sheet.table(
                key + "_spectrum",
                List.of(
                        "sample",
                        "surface counts/s",
                        "K 1/m",
                        "sd % (region)",
                        "scatter % (region)",
                        "misfit over expected",
                        "effective bins"),
                rows);
    }
}
