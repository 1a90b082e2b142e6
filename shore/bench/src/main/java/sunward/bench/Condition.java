package sunward.bench;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.SplittableRandom;
import org.apache.commons.csv.CSVRecord;
import sunward.protocol.plan.FlownChannels;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.PlanFile;
import sunward.protocol.schema.Scene;
import sunward.protocol.spectra.BinRecord;
import sunward.simulator.Dive;
import sunward.simulator.Seeds;

/**
 * One dive to be judged: a row of a conditions file. Columns name, family, seed, the scene's fields that differ from the
 * default, scene (may be absent): further fields of the scene as in a plan file, and change: what is done to the bins
 * afterwards, so that spectra come that no model of ours made.
 */
final class Condition {
    /** Channel count of the reference heads is the most there is. */
    private static final int MOST_CHANNELS = 1024;

    private final CSVRecord row;
    private final long seed;

    /** A row for one of its seeds: the row's own plus {@code repeat}. */
    Condition(CSVRecord row, int repeat) {
        this.row = row;
        this.seed = Long.parseLong(row.get("seed")) + repeat;
    }

    String name() {
        return row.get("name") + "/" + seed;
    }

    String family() {
        return row.get("family");
    }

    /** True when the float's own messages do not know of the change: they are not to be judged then. */
    boolean changesBinsOnly() {
        return !row.get("change").equals("none");
    }

    /** Flies the dive and bins it, every channel. */
    DiveBins fly() {
        return changed(fly(planFile()));
    }

    /**
     * The same dive without noise, waves and changes: what the float's bins would be, were they true. Neither the flicker of
     * the light nor the water that the waves heap above a head is in it.
     */
    DiveBins truth() {
        PlanFile.Builder file = planFile().toBuilder();
        file.getSceneBuilder().getInstrumentBuilder().setNoise(false);
        file.getSceneBuilder().getWavesBuilder().setRadianceSdPercent(0).setSignificantHeightM(0);
        return fly(file.build());
    }

    /** The same dive without noise, with its waves. */
    DiveBins noiseless() {
        PlanFile.Builder file = planFile().toBuilder();
        file.getSceneBuilder().getInstrumentBuilder().setNoise(false);
        return fly(file.build());
    }

    /** The dive's plan file with the packing of the default plan. */
    PlanFile asPlanned() {
        PlanFile.Builder file = planFile().toBuilder();
        file.getPlanBuilder().setPacking(PlanReader.defaults().getPlan().getPacking());
        return file.build();
    }

    /** Every message of the dive as the default plan packs it. */
    List<byte[]> messagesAsPlanned() {
        PlanFile file = asPlanned();
        return Dive.pack(file.getPlan(), file.getCalibration(), file.getScene(), Seeds.all(seed), MOST_CHANNELS)
                .messages();
    }

    private DiveBins fly(PlanFile file) {
        Plan plan = file.getPlan();
        Dive.Packed packed = Dive.pack(plan, file.getCalibration(), file.getScene(), Seeds.all(seed), MOST_CHANNELS);
        List<Double> nm = new ArrayList<>();
        for (double w : FlownChannels.of(plan, file.getCalibration(), 0).wavelengthsNm()) {
            nm.add(w);
        }
        return new DiveBins(
                packed.bins(),
                packed.messages(),
                List.copyOf(nm),
                plan.getHeads(0).getGainElectronsPerCount(),
                plan.getHeads(0).getReadNoiseCounts(),
                file.getScene().getInstrument().getDarkOffsetCounts(),
                plan.getExposure().getShortestMs() / 1000);
    }

    private PlanFile planFile() {
        String more = row.isMapped("scene") ? row.get("scene") : "";
        PlanFile.Builder file =
                (more.isEmpty() ? PlanReader.defaults() : PlanReader.read("scene: " + more, name())).toBuilder();
        // The bins do not depend on packing: the coarsest saves time.
        file.getPlanBuilder().getPackingBuilder().setChannelsPerSample(16);
        Scene.Builder scene = file.getSceneBuilder();
        scene.setSurfacingUtc(row.get("surfacing_utc")).setLatitudeDeg(number("latitude_deg"));
        scene.getWaterBuilder()
                .setSurfaceChlorophyllMgPerM3(number("surface_chlorophyll_mg_per_m3"))
                .setMaximumChlorophyllMgPerM3(number("maximum_chlorophyll_mg_per_m3"))
                .setMaximumDepthM(number("maximum_depth_m"))
                .setMaximumWidthM(number("maximum_width_m"))
                .setDissolvedShare(number("dissolved_share"));
        scene.getAtmosphereBuilder().setVisibilityKm(number("visibility_km"));
        return file.build();
    }

    private double number(String column) {
        return Double.parseDouble(row.get(column));
    }

    private DiveBins changed(DiveBins dive) {
        String[] change = row.get("change").split(":", -1);
        List<BinRecord> bins = new ArrayList<>(dive.bins());
        switch (change[0].toLowerCase(Locale.ROOT)) {
            case "none" -> {}
            case "missing-head" -> bins.removeIf(bin -> bin.head == 1);
            case "line" ->
                bins.forEach(bin -> line(
                        bin,
                        dive,
                        Double.parseDouble(change[1]),
                        Double.parseDouble(change[2]),
                        Double.parseDouble(change[3])));
            case "shift" -> bins.forEach(bin -> shift(bin, dive, Double.parseDouble(change[1])));
            case "pattern" -> bins.forEach(bin -> pattern(bin, Double.parseDouble(change[1])));
            case "constant" -> bins.forEach(bin -> java.util.Arrays.fill(bin.counts, 0, bin.samples, 500 * 64));
            case "noise" -> bins.forEach(this::noise);
            case "saturated" -> bins.forEach(Condition::saturate);
            default ->
                throw new IllegalArgumentException("the change " + change[0] + " of " + name() + " is not known");
        }
        return dive.with(List.copyOf(bins));
    }

    /** An absorption (negative) or emission line: centre and width nm, share at 10 m and below, less above. */
    private static void line(BinRecord bin, DiveBins dive, double centreNm, double widthNm, double share) {
        double depth = Math.min(1, Math.max(0, DiveBins.depthM(bin)) / 10);
        for (int c = 0; c < bin.samples; c++) {
            double off = (dive.channelNm().get(c) - centreNm) / widthNm;
            bin.counts[c] = (int) Math.rint(bin.counts[c] * (1 + share * depth * Math.exp(-0.5 * off * off)));
        }
    }

    /** Wavelengths off by so much, nm: a channel sees what lies there, by a cubic through its four neighbours. */
    private static void shift(BinRecord bin, DiveBins dive, double nm) {
        int[] was = bin.counts.clone();
        double channels = nm / (dive.channelNm().get(1) - dive.channelNm().get(0));
        for (int c = 0; c < bin.samples; c++) {
            double place = Math.max(0, Math.min(bin.samples - 1, c + channels));
            int first = Math.max(0, Math.min(bin.samples - 4, (int) place - 1));
            double sum = 0;
            for (int i = first; i < first + 4; i++) {
                double weight = 1;
                for (int j = first; j < first + 4; j++) {
                    weight *= j == i ? 1 : (place - j) / (i - j);
                }
                sum += weight * was[i];
            }
            bin.counts[c] = (int) Math.rint(sum);
        }
    }

    private void pattern(BinRecord bin, double percent) {
        SplittableRandom random = new SplittableRandom(seed * 31 + bin.head);
        for (int c = 0; c < bin.samples; c++) {
            bin.counts[c] = (int) Math.rint(bin.counts[c] * (1 + percent / 100 * random.nextGaussian()));
        }
    }

    private void noise(BinRecord bin) {
        SplittableRandom random = new SplittableRandom(seed * 1_000_003 + bin.head * 5000L + bin.bin);
        for (int c = 0; c < bin.samples; c++) {
            bin.counts[c] = (int) Math.rint(64 * 8 * random.nextGaussian() / Math.sqrt(bin.used));
        }
    }

    private static void saturate(BinRecord bin) {
        int most = 20_000 * 64;
        for (int c = 0; c < bin.samples; c++) {
            bin.counts[c] = Math.min(most, bin.counts[c]);
        }
    }
}
