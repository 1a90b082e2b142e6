package sunward.bench;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import sunward.protocol.message.BlockType;
import sunward.protocol.spectra.BasisCodec;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.Codecs;

/**
 * Our own codecs on one dive: each tier at its cheapest step as real messages in files, decoded by another process; only its
 * arrays are judged. First look and outline are the messages that the float made.
 */
final class OwnTrial {
    static final String OURS = "ours";
    private static final int LAST_CODEC = 15;
    private static final int COARSEST = 15;

    /** Steps of the base that samples refine; the cheapest sum counts. */
    private static final int[] BASE_STEPS = {15, 12};

    private final Condition condition;
    private final DiveBins dive;
    private final DiveBins truthOrNull;
    private final DecodedFiles files;
    private final List<Outcome> outcomes = new ArrayList<>();

    private record Found(int codec, int step, List<OwnCodec.Sent> messages) {}

    OwnTrial(Condition condition, DiveBins dive, DiveBins truthOrNull, Path work) {
        this.condition = condition;
        this.dive = dive;
        this.truthOrNull = truthOrNull;
        files = new DecodedFiles(work);
    }

    List<Outcome> run() throws IOException, InterruptedException {
        byte[] look = condition.changesBinsOnly() ? null : dive.message(BlockType.FIRST_LOOK);
        byte[] outline = condition.changesBinsOnly() ? null : dive.message(BlockType.OUTLINE);
        Found bins = bins();
        List<OwnCodec.Sent> samples = samples();
        if (look != null) {
            files.put("first-look", List.of(look));
        }
        if (outline != null) {
            files.put("outline", List.of(outline));
            files.ask(dive.bins());
        }
        if (bins != null) {
            files.put(Tier.BINS.word, OwnCodec.bytes(bins.messages));
        }
        if (samples != null) {
            files.put(Tier.SAMPLES.word, OwnCodec.bytes(samples));
        }
        files.decode();
        if (look != null) {
            firstLook(look.length + OwnCodec.SEAL_BYTES);
        }
        if (outline != null && truthOrNull != null) {
            outline(outline.length + OwnCodec.SEAL_BYTES, look == null ? 0 : look.length + OwnCodec.SEAL_BYTES);
        }
        Outcome ofBins = judged(Tier.BINS, bins == null ? null : bins.messages);
        if (bins != null) {
            ofBins.with("codec", bins.codec).with("step", bins.step);
        }
        judged(Tier.SAMPLES, samples);
        return outcomes;
    }

    /** The cheapest of all codecs and steps, in short messages or, where none does, in long ones. */
    private Found bins() {
        for (int longest : new int[] {OwnCodec.MESSAGE_BYTES, OwnCodec.LONG_MESSAGE_BYTES}) {
            Found best = null;
            for (int codec = LAST_CODEC; codec > 0; codec--) {
                // Codec 1 tells every sample: it is tried where the trained basis may be at a loss.
                if (Codecs.ofNumber(codec) == null
                        || best != null && condition.family().equals("ordinary")) {
                    continue;
                }
                Found found = coarsest(codec, longest);
                if (found != null && (best == null || OwnCodec.onAir(found.messages) < OwnCodec.onAir(best.messages))) {
                    best = found;
                }
            }
            if (best != null) {
                return best;
            }
        }
        return null;
    }

    private Found coarsest(int codec, int longest) {
        Found best = null;
        int fine = -1;
        int coarse = COARSEST + 1;
        while (coarse - fine > 1) {
            int middle = (fine + coarse) / 2;
            List<OwnCodec.Sent> messages = OwnCodec.messages(dive, codec, middle, longest);
            if (messages == null) {
                fine = middle; // a bin does not fit: coarser
            } else if (Tier.BINS.target.test(judge(messages))) {
                best = new Found(codec, middle, messages);
                fine = middle;
            } else {
                coarse = middle;
            }
        }
        return best;
    }

    private Judgement judge(List<OwnCodec.Sent> messages) {
        return Judgement.of(dive, dive.with(OwnCodec.decode(OwnCodec.accepted(OwnCodec.bytes(messages)))));
    }

    /** Base and refinements together, or codec 1 alone where that is less. */
    private List<OwnCodec.Sent> samples() {
        List<OwnCodec.Sent> best = null;
        for (int step : BASE_STEPS) {
            List<OwnCodec.Sent> base = OwnCodec.messages(dive, BasisCodec.NUMBER, step, OwnCodec.MESSAGE_BYTES);
            List<OwnCodec.Sent> more = base == null ? null : OwnCodec.refinements(base, OwnCodec.MESSAGE_BYTES);
            if (more != null) {
                List<OwnCodec.Sent> all = new ArrayList<>(base);
                all.addAll(more);
                best = cheaper(best, all);
            }
        }
        boolean usual = best != null && condition.family().equals("ordinary");
        for (int longest : new int[] {OwnCodec.MESSAGE_BYTES, OwnCodec.LONG_MESSAGE_BYTES}) {
            for (int step = COARSEST; step >= 0 && !usual; step--) {
                List<OwnCodec.Sent> alone = OwnCodec.messages(dive, 1, step, longest);
                if (alone == null) {
                    break;
                }
                if (Tier.SAMPLES.target.test(judge(alone))) {
                    best = cheaper(best, alone);
                    break;
                }
            }
        }
        return best;
    }

    private static List<OwnCodec.Sent> cheaper(List<OwnCodec.Sent> a, List<OwnCodec.Sent> b) {
        return a == null || OwnCodec.onAir(b) < OwnCodec.onAir(a) ? b : a;
    }

    private Outcome judged(Tier tier, List<OwnCodec.Sent> messagesOrNull) throws IOException {
        Outcome outcome = Outcome.of(condition, tier.word, OURS);
        outcomes.add(outcome);
        if (messagesOrNull == null) {
            return outcome;
        }
        List<BinRecord> decoded = files.bins(tier.word);
        Judgement judged = Judgement.of(dive, dive.with(decoded));
        if (tier.target.test(judged)) {
            outcome.with(Outcome.BYTES, OwnCodec.onAir(messagesOrNull));
        }
        outcome.with("messages", messagesOrNull.size()).with(judged);
        if (truthOrNull != null) {
            TruthError told = TruthError.of(
                    dive, truthOrNull, decoded.stream().map(DiveBins::counts).toList(), 0);
            outcome.with("truth_sigma", told.sigma()).with("truth_percent", told.percent());
            TruthError measured = TruthError.of(
                    dive,
                    truthOrNull,
                    dive.bins().stream().map(DiveBins::counts).toList(),
                    0);
            outcome.with("measured_truth_sigma", measured.sigma()).with("measured_truth_percent", measured.percent());
        }
        return outcome;
    }

    /** Bytes against error of the trained basis at some steps, for the picture. */
    static List<Outcome> curve(Condition condition, DiveBins dive) {
        List<Outcome> found = new ArrayList<>();
        OwnTrial trial = new OwnTrial(condition, dive, null, Path.of(""));
        for (int step = 0; step <= COARSEST; step += 3) {
            List<OwnCodec.Sent> messages = OwnCodec.messages(dive, BasisCodec.NUMBER, step, OwnCodec.MESSAGE_BYTES);
            if (messages != null) {
                found.add(Outcome.of(condition, "curve", OURS)
                        .with(Outcome.BYTES, OwnCodec.onAir(messages))
                        .with("step", step)
                        .with(trial.judge(messages)));
            }
        }
        return found;
    }

    private void firstLook(int bytes) throws IOException {
        FirstLookJudgement look = FirstLookJudgement.of(dive, bytes, files.firstLook());
        Outcome outcome = Outcome.of(condition, "first-look", OURS);
        if (look.meets()) {
            outcome.with(Outcome.BYTES, bytes);
        }
        outcomes.add(outcome.with("length", bytes)
                .with("surface_p95_percent", look.surfacePercentP95())
                .with("k_p95_percent", look.attenuationPercentP95())
                .with("bands_missing", look.missing()));
    }

    private void outline(int bytes, int lookBytes) throws IOException {
        DecodedFiles.Profile told = files.outline(dive.bins().size());
        double sampleNm = (dive.channelNm().get(1) - dive.channelNm().get(0)) * told.channelsPerSample();
        // Samples are smoothed once by averaging channels and once by spreading them again.
        double smoothed = 2 * sampleNm * sampleNm / 12;
        TruthError outline = TruthError.of(dive, truthOrNull, counts(told), smoothed);
        TruthError measured = TruthError.of(
                dive, truthOrNull, dive.bins().stream().map(DiveBins::counts).toList(), 0);
        Outcome outcome = Outcome.of(condition, "outline", OURS);
        if (outline.sigma() <= measured.sigma()) {
            outcome.with(Outcome.BYTES, bytes + lookBytes);
        }
        outcomes.add(outcome.with("length", bytes + lookBytes)
                .with("alone", bytes)
                .with("truth_sigma", outline.sigma())
                .with("truth_percent", outline.percent())
                .with("measured_truth_sigma", measured.sigma())
                .with("measured_truth_percent", measured.percent()));
    }

    private List<double[]> counts(DecodedFiles.Profile told) {
        List<double[]> all = new ArrayList<>();
        for (int i = 0; i < told.log().length; i++) {
            BinRecord bin = dive.bins().get(i);
            double[] rate = OutlineJudgement.spread(told.log()[i], told.channelsPerSample(), bin.samples);
            double t = dive.exposureS(bin);
            for (int c = 0; c < rate.length; c++) {
                rate[c] *= t;
            }
            all.add(rate);
        }
        return all;
    }
}
