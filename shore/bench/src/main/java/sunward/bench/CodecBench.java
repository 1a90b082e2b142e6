package sunward.bench;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.Predicate;
import java.util.function.ToDoubleFunction;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.Codecs;

/**
 * The benchmark of the spectral codec: {@code CodecBench CONDITIONS.csv [SEEDS [FAMILY]]}, family {@code first-look} for the first looks of ordinary dives alone. For every dive and tier each coder
 * works at its own cheapest step that meets the tier's target, judged on decoded bytes only. Bytes are bytes on air: with
 * headers, seals and the bins' own fields. A coder that meets a target at no step is shown as failed, not left out.
 */
public final class CodecBench {
    private static final String FIRST_LOOK_ALONE = "first-look";
    private static final int MESSAGE_BODY = OwnCodec.MESSAGE_BYTES - 16;
    private static final int FIRST_CODEC = 1;
    private static final int LAST_CODEC = 15;
    private static final int STEP_CODES = 16;

    /** Steps of the comparison coders: eighths of an octave. */
    private static final int COARSEST = 32;

    private static final int FINEST = -32;
    private static final double NEVER = Double.NaN;

    private enum Tier {
        BINS,
        SAMPLES
    }

    private final PrintStream out;
    private final List<Peer> peers = Peer.all();

    /** Bytes by tier, coder and family, one number a dive. */
    private final Map<Tier, Map<String, Map<String, List<Double>>>> bytes = new TreeMap<>();

    private final List<Double> worstNovel = new ArrayList<>();

    private final List<FirstLookJudgement> firstLooks = new ArrayList<>();

    private CodecBench(PrintStream out) {
        this.out = out;
    }

    /** Runs the conditions of a file. */
    public static void main(String[] arguments) throws IOException {
        PrintStream out = new PrintStream(System.out, true, StandardCharsets.UTF_8);
        if (arguments.length == 0) {
            out.println(
                    "Give a conditions file, and after it the number of seeds of each dive (1) and one family (all).");
            return;
        }
        Path file = Path.of(arguments[0]);
        int seeds = arguments.length > 1 ? Integer.parseInt(arguments[1]) : 1;
        String family = arguments.length > 2 ? arguments[2] : "";
        out.println("conditions " + file.getFileName() + " sha256 " + hash(file));
        CodecBench bench = new CodecBench(out);
        for (CSVRecord row : rows(file)) {
            for (int repeat = 0; repeat < seeds; repeat++) {
                Condition condition = new Condition(row, repeat);
                if (family.equals(FIRST_LOOK_ALONE) && condition.family().equals("ordinary")) {
                    out.println(condition.name());
                    bench.firstLook("ordinary", condition.fly());
                } else if (family.isEmpty() || condition.family().equals(family)) {
                    bench.judge(condition.name(), condition.family(), condition.fly());
                }
            }
        }
        bench.summary();
    }

    static List<CSVRecord> rows(Path file) throws IOException {
        CSVFormat format = CSVFormat.DEFAULT
                .builder()
                .setHeader()
                .setSkipHeaderRecord(true)
                .setCommentMarker('#')
                .get();
        try (CSVParser parser = CSVParser.parse(file, StandardCharsets.UTF_8, format)) {
            return parser.getRecords();
        }
    }

    private static String hash(Path file) throws IOException {
        try {
            return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(Files.readAllBytes(file)));
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException(e);
        }
    }

    private void judge(String name, String family, DiveBins dive) {
        out.println();
        out.println(String.format(
                Locale.ROOT,
                "%s (%s): %d bins, %d samples; noise alone: bins %.0f bytes, samples %.0f",
                name,
                family,
                dive.bins().size(),
                dive.samples(),
                Bounds.binsBytes(dive),
                Bounds.samplesBytes(dive)));
        firstLook(family, dive);
        for (Tier tier : Tier.values()) {
            Map<String, Double> found = new LinkedHashMap<>();
            comparison(tier, dive, found);
            double best = found.values().stream()
                    .filter(b -> !b.isNaN())
                    .mapToDouble(b -> b)
                    .min()
                    .orElse(NEVER);
            found.put("best peer", best);
            double ours = NEVER;
            for (int codec = FIRST_CODEC; codec <= LAST_CODEC; codec++) {
                if (Codecs.ofNumber(codec) != null) {
                    double b = own(tier, dive, codec);
                    found.put("codec " + codec, b);
                    ours = Double.isNaN(ours) ? b : Math.min(ours, Double.isNaN(b) ? ours : b);
                }
            }
            found.put("ours", ours);
            if (!family.equals("ordinary")) {
                worstNovel.add(ours / best);
            }
            found.forEach((coder, b) -> keep(tier, coder, family, b));
        }
    }

    /** The float's own first look; the changes of some families come after the float and do not show in it. */
    private void firstLook(String family, DiveBins dive) {
        FirstLookJudgement look = FirstLookJudgement.of(dive);
        if (look == null || !family.equals("ordinary")) {
            return;
        }
        firstLooks.add(look);
        out.println(String.format(
                Locale.ROOT,
                "  FIRST_LOOK %d bytes  surface p95 %.3f %%  K p95 %.3f %%  bands missing %d  %s",
                look.bytes(),
                look.surfacePercentP95(),
                look.attenuationPercentP95(),
                look.missing(),
                look.meets() ? "" : "failed"));
    }

    private double firstLookMedian(ToDoubleFunction<FirstLookJudgement> of) {
        return Judgement.percentile(firstLooks.stream().mapToDouble(of).toArray(), 0.5);
    }

    private void comparison(Tier tier, DiveBins dive, Map<String, Double> found) {
        int fine = FINEST;
        int coarse = COARSEST;
        Predicate<Judgement> meets = target(tier);
        if (!meets.test(Judgement.of(dive, quantised(dive, step(fine))))) {
            peers.forEach(peer -> found.put(peer.name(), NEVER));
            out.println("  " + tier + ": the comparison coders meet the target at no step");
            return;
        }
        while (coarse - fine > 1) {
            int middle = Math.floorDiv(fine + coarse, 2);
            if (meets.test(Judgement.of(dive, quantised(dive, step(middle))))) {
                fine = middle;
            } else {
                coarse = middle;
            }
        }
        for (Peer peer : peers) {
            int sum = 0;
            for (int head = 0; head < dive.heads(); head++) {
                sum += peer.bytes(Picture.of(dive, head, step(fine)));
            }
            double onAir = sum + 16.0 * Math.ceil(sum / (double) MESSAGE_BODY);
            found.put(peer.name(), onAir);
            line(tier, peer.name(), onAir, step(fine), Judgement.of(dive, quantised(dive, step(fine))));
        }
    }

    private static double step(int eighths) {
        return Math.pow(2, eighths / 8.0);
    }

    private static DiveBins quantised(DiveBins dive, double step) {
        List<BinRecord> bins = new ArrayList<>();
        for (int head = 0; head < dive.heads(); head++) {
            bins.addAll(Picture.of(dive, head, step).bins(dive, head, step));
        }
        return dive.with(bins);
    }

    private static Predicate<Judgement> target(Tier tier) {
        return tier == Tier.BINS ? Judgement::meetsBins : Judgement::meetsSamples;
    }

    /** The cheapest step code that meets the target, in short messages or, where none does, in long ones. */
    private double own(Tier tier, DiveBins dive, int codec) {
        for (int messageBytes : new int[] {OwnCodec.MESSAGE_BYTES, OwnCodec.LONG_MESSAGE_BYTES}) {
            for (int code = STEP_CODES - 1; code >= 0; code--) {
                List<byte[]> messages = OwnCodec.messages(dive, codec, code, messageBytes);
                if (messages == null) {
                    break; // a finer step takes more still
                }
                Judgement judgement = Judgement.of(dive, dive.with(OwnCodec.decode(messages)));
                if (target(tier).test(judgement)) {
                    double onAir = messages.stream().mapToInt(m -> m.length).sum();
                    String what = "codec " + codec + ", " + messages.size() + " x " + messageBytes;
                    line(tier, what, onAir, code, judgement);
                    return onAir;
                }
            }
        }
        out.println("  " + tier + " codec " + codec + ": the target is met at no step");
        return NEVER;
    }

    private void line(Tier tier, String coder, double onAir, double step, Judgement j) {
        out.println(String.format(
                Locale.ROOT,
                "  %-8s %-26s %8.0f bytes  step %6.3f  band p95 %.3f  worst sample %.3f  surface p95 %.4f %% (%.2f of allowed)",
                tier,
                coder,
                onAir,
                step,
                j.bandSigmaP95(),
                j.worstSigma(),
                j.surfacePercentP95(),
                j.surfaceExcessP95()));
    }

    private void keep(Tier tier, String coder, String family, double b) {
        bytes.computeIfAbsent(tier, t -> new LinkedHashMap<>())
                .computeIfAbsent(coder, c -> new TreeMap<>())
                .computeIfAbsent(family, f -> new ArrayList<>())
                .add(b);
    }

    private void summary() {
        out.println();
        out.println("tier     coder            family          dives   median    worst  failed");
        bytes.forEach((tier, coders) -> coders.forEach((coder, families) -> families.forEach((family, all) -> {
            double[] met =
                    all.stream().filter(b -> !b.isNaN()).mapToDouble(b -> b).toArray();
            out.println(String.format(
                    Locale.ROOT,
                    "%-8s %-16s %-15s %5d %8.0f %8.0f %7d",
                    tier,
                    coder,
                    family,
                    all.size(),
                    Judgement.percentile(met, 0.5),
                    Judgement.percentile(met, 1),
                    all.size() - met.length));
        })));
        out.println();
        if (!firstLooks.isEmpty()) {
            figure("codec.first_look_bytes", firstLookMedian(FirstLookJudgement::bytes), "byte");
            figure(
                    "codec.first_look_surface_p95_percent",
                    firstLookMedian(FirstLookJudgement::surfacePercentP95),
                    "percent");
            figure(
                    "codec.first_look_k_p95_percent",
                    firstLookMedian(FirstLookJudgement::attenuationPercentP95),
                    "percent");
            double met = firstLooks.stream().filter(FirstLookJudgement::meets).count();
            figure("codec.first_look_met_share", met / firstLooks.size(), "1");
        }
        for (Tier tier : Tier.values()) {
            String word = tier.name().toLowerCase(Locale.ROOT);
            double ours = median(tier, "ours");
            figure("codec." + word + "_bytes", ours, "byte");
            figure("codec." + word + "_over_best_peer", ours / median(tier, "best peer"), "1");
        }
        double[] ratios =
                worstNovel.stream().filter(r -> !r.isNaN()).mapToDouble(r -> r).toArray();
        if (ratios.length > 0) {
            figure("codec.worst_novel_over_best_peer", Judgement.percentile(ratios, 1), "1");
        }
    }

    private double median(Tier tier, String coder) {
        List<Double> all =
                bytes.getOrDefault(tier, Map.of()).getOrDefault(coder, Map.of()).getOrDefault("ordinary", List.of());
        return all.isEmpty()
                ? NEVER
                : Judgement.percentile(
                        all.stream().filter(b -> !b.isNaN()).mapToDouble(b -> b).toArray(), 0.5);
    }

    private void figure(String name, double value, String unit) {
        if (!Double.isNaN(value)) {
            out.println(String.format(Locale.ROOT, "figure %s %.4g %s", name, value, unit));
        }
    }
}
