package sunward.bench;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.function.Predicate;
import sunward.profiles.Ancillary;
import sunward.profiles.ProcessingChain;
import sunward.profiles.ShoreInputs;
import sunward.profiles.SurfaceRadiance;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.schema.PlanFile;

/**
 * What lost messages do to shore's product: water-leaving radiance and attenuation of one dive as the default plan packs it,
 * without its repair messages, when messages of bins are left out, against the product of all of them.
 */
final class LossTrial {
    static final String TIER = "loss";
    private static final double FIRST_NM = 412;
    private static final double LAST_NM = 620;
    private static final int DRAWS = 4;
    private static final int[] SHARES_PERCENT = {5, 10, 20};

    private final Condition condition;
    private final ShoreInputs inputs;
    private final List<Message> data;

    LossTrial(Condition condition) {
        this.condition = condition;
        PlanFile file = condition.asPlanned();
        inputs = new ShoreInputs(file.getPlan(), file.getCalibration(), Ancillary.climatology());
        data = OwnCodec.accepted(condition.messagesAsPlanned()).stream()
                .filter(m -> m.kind() == Kind.DIVE)
                .toList();
    }

    List<Outcome> run() {
        List<Outcome> found = new ArrayList<>();
        found.add(lossOf("with first look", data));
        found.add(lossOf(
                "without first look",
                data.stream().filter(m -> !isOf(m, BlockType.FIRST_LOOK)).toList()));
        return found;
    }

    private static boolean isOf(Message message, BlockType block) {
        return message.block() == block.number();
    }

    private Outcome lossOf(String what, List<Message> all) {
        SurfaceRadiance whole = surface(all, m -> true);
        if (whole == null) {
            return Outcome.of(condition, TIER, what).with("messages", all.size());
        }
        List<Message> bins = all.stream().filter(m -> isOf(m, BlockType.BINS)).toList();
        Changes one = new Changes();
        for (Message lost : bins) {
            one.add(whole, surface(all, m -> m != lost));
        }
        Outcome outcome =
                Outcome.of(condition, TIER, what).with("messages", all.size()).with("of_bins", bins.size());
        one.tell("one", outcome);
        for (int share : SHARES_PERCENT) {
            Changes some = new Changes();
            for (int draw = 0; draw < DRAWS; draw++) {
                SplittableRandom random = new SplittableRandom(1000L * share + draw);
                List<Message> kept = all.stream()
                        .filter(m -> !isOf(m, BlockType.BINS) || random.nextInt(100) >= share)
                        .toList();
                some.add(whole, surface(kept, m -> true));
            }
            some.tell("share_" + share, outcome);
        }
        return outcome;
    }

    private SurfaceRadiance surface(List<Message> all, Predicate<Message> arrived) {
        return ProcessingChain.process(all.stream().filter(arrived).toList(), inputs)
                .surface();
    }

    /** Relative changes of a product, percent, over wavelengths and losses. */
    private static final class Changes {
        private final List<Double> radiance = new ArrayList<>();
        private final List<Double> attenuation = new ArrayList<>();
        private int gone;

        void add(SurfaceRadiance whole, SurfaceRadiance left) {
            double[] nm = whole.wavelengthNm().toArray();
            for (int k = 0; k < nm.length; k++) {
                if (nm[k] < FIRST_NM
                        || nm[k] > LAST_NM
                        || Double.isNaN(whole.lw().at(k))) {
                    continue;
                }
                int same = left == null ? -1 : index(left.wavelengthNm().toArray(), nm[k]);
                if (same < 0 || Double.isNaN(left.lw().at(same))) {
                    gone++;
                    continue;
                }
                radiance.add(percent(left.lw().at(same), whole.lw().at(k)));
                attenuation.add(
                        percent(left.attenuation().at(same), whole.attenuation().at(k)));
            }
        }

        private static int index(double[] nm, double wanted) {
            int at = Arrays.binarySearch(nm, wanted - 1e-6);
            int next = at < 0 ? -at - 1 : at;
            return next < nm.length && Math.abs(nm[next] - wanted) < 1e-5 ? next : -1;
        }

        private static double percent(double is, double was) {
            return 100 * Math.abs(is / was - 1);
        }

        void tell(String name, Outcome into) {
            into.with(name + "_lw_p95_percent", p95(radiance))
                    .with(name + "_k_p95_percent", p95(attenuation))
                    .with(name + "_values_gone", gone);
        }

        private static double p95(List<Double> values) {
            return Judgement.percentile(values.stream().mapToDouble(v -> v).toArray(), 0.95);
        }
    }
}
