package sunward.bench;

import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.SplittableRandom;
import sunward.profiles.ResendChoice;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;
import sunward.protocol.repair.Repair;

/**
 * Sessions over a lossy link, on real messages with the real repair and resend: {@code LinkSessions [SESSIONS]}. Shares of
 * complete dives, beside the closed forms where there are any.
 */
public final class LinkSessions {
    private static final int DATA = 52;
    private static final int PARITY = 12;
    private static final double MEAN_BURST = 5;
    private static final int INTERLEAVED = 4;

    private final int sessions;
    private final PrintStream out;
    private final List<Message> withParity = messages(PARITY);
    private final List<Message> plain = messages(0);

    /**
     * A share found and what it should be.
     *
     * @param found share of sessions
     * @param expected closed form
     * @param sessions how many
     */
    record Share(double found, double expected, int sessions) {
        /** Distance in binomial standard errors of the expected share. */
        double standardErrors() {
            return Math.abs(found - expected) / Math.sqrt(expected * (1 - expected) / sessions);
        }
    }

    LinkSessions(int sessions, PrintStream out) {
        this.sessions = sessions;
        this.out = out;
    }

    /** Runs and prints its figures. */
    public static void main(String[] arguments) {
        PrintStream out = new PrintStream(System.out, true, StandardCharsets.UTF_8);
        LinkSessions link = new LinkSessions(arguments.length > 0 ? Integer.parseInt(arguments[0]) : 20_000, out);
        out.println(
                "figure wire.overhead_bytes " + (MessageLayout.HEADER_BYTES + MessageLayout.SEALED_BYTES) + " byte");
        boolean good = true;
        good &= link.told("wire.complete_10_percent_loss", link.parity(0.10));
        good &= link.told("wire.complete_two_rounds", link.rounds(0.04, 2));
        good &= link.told("wire.complete_three_rounds", link.rounds(0.04, 3));
        link.bursts();
        if (!good) {
            System.exit(1);
        }
    }

    private boolean told(String name, Share share) {
        out.println(String.format(Locale.ROOT, "figure %s %.5f 1", name, share.found));
        out.println(String.format(
                Locale.ROOT,
                "  closed form %.5f, %.2f standard errors away, %d sessions",
                share.expected,
                share.standardErrors(),
                share.sessions));
        return share.standardErrors() <= 3;
    }

    private static List<Message> messages(int parity) {
        return MadeUpWire.dive(DATA, parity).stream()
                .map(bytes -> ((Verdict.Accepted) MessageReader.read(bytes, MadeUpWire.KEYS)).message())
                .toList();
    }

    private static boolean complete(List<Message> arrived) {
        long data = arrived.stream().filter(m -> m.position() < DATA).count();
        return data == DATA
                || arrived.size() >= DATA
                        && data + Repair.restore(arrived).messages().size() == DATA;
    }

    /** Independent loss, the plan's parity, no resend. */
    Share parity(double loss) {
        int complete = 0;
        for (int session = 1; session <= sessions; session++) {
            SplittableRandom random = new SplittableRandom(session);
            List<Message> arrived = new ArrayList<>(withParity);
            arrived.removeIf(m -> random.nextDouble() < loss);
            complete += complete(arrived) ? 1 : 0;
        }
        double expected = 0;
        double term = Math.pow(1 - loss, DATA + PARITY);
        for (int lost = 0; lost <= PARITY; lost++) {
            expected += term;
            term *= (double) (DATA + PARITY - lost) / (lost + 1) * loss / (1 - loss);
        }
        return new Share((double) complete / sessions, expected, sessions);
    }

    /** Independent loss of messages and of orders, no parity, so many rounds of an order and what it asks for. */
    Share rounds(double loss, int rounds) {
        int complete = 0;
        for (int session = 1; session <= sessions; session++) {
            SplittableRandom random = new SplittableRandom(session);
            List<Message> arrived = new ArrayList<>(plain);
            arrived.removeIf(m -> random.nextDouble() < loss);
            for (int round = 0; round < rounds; round++) {
                boolean heard = random.nextDouble() >= loss;
                for (int position : heard ? ResendChoice.positions(arrived) : List.<Integer>of()) {
                    if (random.nextDouble() >= loss) {
                        arrived.add(plain.get(position));
                    }
                }
            }
            complete += complete(arrived) ? 1 : 0;
        }
        // Orders heard are binomial; after j of them a message is still missing with chance loss^(j + 1).
        double expected = 0;
        for (int heard = 0; heard <= rounds; heard++) {
            double ways = heard == 0 || heard == rounds ? 1 : rounds; // up to three rounds
            expected += ways
                    * Math.pow(1 - loss, heard)
                    * Math.pow(loss, rounds - heard)
                    * Math.pow(1 - Math.pow(loss, heard + 1), DATA);
        }
        return new Share((double) complete / sessions, expected, sessions);
    }

    /** Loss in bursts (two-state chain, all lost in the bad state, geometric lengths): reported, without a closed form. */
    void bursts() {
        int complete = 0;
        int interleaved = 0;
        int twoRounds = 0;
        for (int session = 1; session <= sessions; session++) {
            complete += complete(kept(withParity, chain(session, 0.10, withParity.size()), 0, 1)) ? 1 : 0;
            boolean[] across = chain(-session, 0.10, INTERLEAVED * withParity.size());
            interleaved += complete(kept(withParity, across, 1, INTERLEAVED)) ? 1 : 0;
            twoRounds += burstRounds(session) ? 1 : 0;
        }
        print("wire.complete_10_percent_loss_bursts", complete);
        print("wire.complete_10_percent_loss_bursts_interleaved_4", interleaved);
        print("wire.complete_two_rounds_bursts", twoRounds);
    }

    private boolean burstRounds(int session) {
        List<Message> arrived = kept(plain, chain(7L * session, 0.04, plain.size()), 0, 1);
        for (int round = 1; round <= 2; round++) {
            List<Integer> wanted = ResendChoice.positions(arrived);
            boolean[] lost = chain(7L * session + round, 0.04, wanted.size() + 1);
            for (int i = 0; i < wanted.size() && !lost[0]; i++) {
                if (!lost[i + 1]) {
                    arrived.add(plain.get(wanted.get(i)));
                }
            }
        }
        return complete(arrived);
    }

    private void print(String name, int complete) {
        out.println(String.format(Locale.ROOT, "figure %s %.5f 1", name, (double) complete / sessions));
    }

    private static List<Message> kept(List<Message> sent, boolean[] lost, int first, int step) {
        List<Message> kept = new ArrayList<>();
        for (int i = 0; i < sent.size(); i++) {
            if (!lost[first + step * i]) {
                kept.add(sent.get(i));
            }
        }
        return kept;
    }

    private static boolean[] chain(long seed, double loss, int length) {
        SplittableRandom random = new SplittableRandom(seed);
        double toGood = 1 / MEAN_BURST;
        double toBad = toGood * loss / (1 - loss);
        boolean[] lost = new boolean[length];
        boolean bad = random.nextDouble() < loss;
        for (int i = 0; i < length; i++) {
            lost[i] = bad;
            bad = bad ? random.nextDouble() >= toGood : random.nextDouble() < toBad;
        }
        return lost;
    }
}
