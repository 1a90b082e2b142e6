package sunward.bench;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import sunward.protocol.message.BlockType;

/** Everything that the benchmark does with one dive and seed. */
final class DiveTrial {
    /** One ordinary dive in so many is in the picture of rate against error, and loses messages. */
    static final int IN_PICTURE = 5;

    private DiveTrial() {}

    /**
     * Runs.
     *
     * @param firstSeed the slow coders run, and one dive in some is drawn and loses messages
     * @param number of the row in the conditions
     * @param work an empty directory
     */
    static List<Outcome> run(Condition condition, boolean firstSeed, int number, Path work)
            throws IOException, InterruptedException {
        DiveBins dive = condition.fly();
        DiveBins truthOrNull = condition.changesBinsOnly() ? null : condition.truth();
        List<Outcome> all = new ArrayList<>();
        all.add(Outcome.of(condition, "bins", "noise bound")
                .with(Outcome.BYTES, Bounds.binsBytes(dive))
                .with("bins", dive.bins().size())
                .with("samples", (double) dive.samples()));
        all.add(Outcome.of(condition, "samples", "noise bound").with(Outcome.BYTES, Bounds.samplesBytes(dive)));
        all.addAll(new OwnTrial(condition, dive, truthOrNull, work).run());
        PeerTrial peers = new PeerTrial(condition, dive, firstSeed);
        for (Tier tier : Tier.values()) {
            all.addAll(peers.run(tier));
        }
        byte[] outline = dive.message(BlockType.OUTLINE);
        if (outline != null && truthOrNull != null) {
            all.addAll(new OutlinePeers(condition, dive, truthOrNull, outline).run(firstSeed));
        }
        if (firstSeed && condition.family().equals("ordinary") && number % IN_PICTURE == 0) {
            all.addAll(peers.curve());
            all.addAll(OwnTrial.curve(condition, dive));
            all.addAll(new LossTrial(condition).run());
        }
        return all;
    }
}
