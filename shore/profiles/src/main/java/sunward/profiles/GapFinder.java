package sunward.profiles;

import java.util.ArrayList;
import java.util.List;
import sunward.protocol.schema.HeadCounts;
import sunward.protocol.schema.Ledger;
import sunward.protocol.schema.Plan;

/**
 * Finds the bins of the plan that a profile lacks, and what shore can know of the cause. Also says how likely an absent
 * bin is one that the float sent.
 */
final class GapFinder {
    private final Plan plan;
    private final AssembledDive dive;
    private final BinLayout layout;
    private final boolean[][] held;
    private final int[] records;

    GapFinder(Plan plan, AssembledDive dive, List<ProfileBin> bins) {
        this.plan = plan;
        this.dive = dive;
        this.layout = new BinLayout(plan.getBins());
        this.held = new boolean[plan.getHeadsCount()][layout.count()];
        this.records = new int[plan.getHeadsCount()];
        for (ProfileBin bin : bins) {
            if (bin.head() < held.length && bin.bin() < layout.count()) {
                held[bin.head()][bin.bin()] = true;
                records[bin.head()]++;
            }
        }
    }

    List<Gap> gaps() {
        double[] chance = chance();
        List<Gap> gaps = new ArrayList<>();
        for (int head = 0; head < held.length; head++) {
            int deepest = -1;
            for (int bin = 0; bin < layout.count(); bin++) {
                deepest = held[head][bin] ? bin : deepest;
            }
            int bin = firstPossible();
            while (bin < layout.count()
                    && layout.fromDbar(bin) < plan.getAscent().getStartDbar()) {
                if (held[head][bin]) {
                    bin++;
                    continue;
                }
                int first = bin;
                while (bin < layout.count()
                        && !held[head][bin]
                        && layout.fromDbar(bin) < plan.getAscent().getStartDbar()
                        && (bin <= deepest) == (first <= deepest)) {
                    bin++;
                }
                gaps.add(new Gap(
                        head,
                        first,
                        bin - 1,
                        layout.fromDbar(first),
                        layout.toDbar(bin - 1),
                        cause(chance[head], first > deepest)));
            }
        }
        return List.copyOf(gaps);
    }

    private Gap.Cause cause(double chance, boolean belowAll) {
        if (belowAll && dive.ledger() != null && dive.ledger().getUnsentReason() != 0) {
            return Gap.Cause.NOT_SENT;
        }
        if (chance <= 0) {
            return Gap.Cause.NO_SCANS;
        }
        if (!dive.conflicts().isEmpty()
                && dive.missingMessages() <= dive.conflicts().size()) {
            return Gap.Cause.CONFLICT;
        }
        return chance >= 1 ? Gap.Cause.NOT_RECEIVED : Gap.Cause.NOT_RECEIVED_OR_NO_SCANS;
    }

    /** The heads never come above this bin: the ascent ends when the hull's top meets the surface. */
    private int firstPossible() {
        int bin = 0;
        while (bin < layout.count() && layout.toDbar(bin) <= plan.getHull().getTopAboveHeadsM()) {
            bin++;
        }
        return bin;
    }

    /** Chance, 0 to 1, that an absent bin of a head was sent and did not arrive, from what the ledger says was sent. */
    private double[] chance() {
        Ledger ledger = dive.ledger();
        boolean all = dive.missingMessages() == 0
                && dive.unreadable().isEmpty()
                && dive.conflicts().isEmpty();
        double[] chance = new double[held.length];
        for (int head = 0; head < held.length; head++) {
            int absent = 0;
            for (int bin = firstPossible();
                    bin < layout.count()
                            && layout.fromDbar(bin) < plan.getAscent().getStartDbar();
                    bin++) {
                absent += held[head][bin] ? 0 : 1;
            }
            chance[head] = 1;
            if (ledger != null) {
                for (HeadCounts counts : ledger.getHeadsList()) {
                    if (counts.getHead() == head && absent > 0) {
                        double unseen = (counts.getBinsSent() - records[head]) / (double) absent;
                        chance[head] = Math.max(0, Math.min(1, unseen));
                    }
                }
                chance[head] = all ? 0 : chance[head];
            }
        }
        return chance;
    }

    /** An absent bin that may have been lost. */
    record Absent(int head, int bin, double centreDbar, double chance) {}

    /** Absent bins down to a depth that may have been sent. */
    List<Absent> lost(double deepestDbar) {
        double[] chance = chance();
        List<Absent> lost = new ArrayList<>();
        for (int head = 0; head < held.length; head++) {
            for (int bin = firstPossible(); bin < layout.count() && layout.centreDbar(bin) <= deepestDbar; bin++) {
                if (!held[head][bin] && chance[head] > 0) {
                    lost.add(new Absent(head, bin, layout.centreDbar(bin), chance[head]));
                }
            }
        }
        return lost;
    }
}
