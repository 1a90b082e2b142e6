package sunward.planning;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import sunward.protocol.message.Kind;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.Dive;
import sunward.simulator.Seeds;

/** Orders to send again, through the very link that loses messages, into the float and back. */
class ResendOrdersTest {
    private static final byte[] KEY = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16};

    private static PlanFile file(double lossPercent, int parity) {
        PlanFile.Builder file = ThinDive.file().toBuilder();
        file.getPlanBuilder().getPackingBuilder().setParityMessages(parity);
        file.getSceneBuilder().getLinkBuilder().setLossPercent(lossPercent);
        return file.build();
    }

    private static RehearsedDive fly(PlanFile file, long seed, int rounds) {
        return RehearsedDive.of(file, Seeds.all(seed), KEY, rounds, Dive.Progress.NONE);
    }

    private static long missing(RehearsedDive dive) {
        return dive.log().entries().stream()
                .filter(e -> e.message().kind() == Kind.DIVE && e.accepted() == 0 && !e.repaired())
                .mapToLong(e -> e.message().bytes().length)
                .sum();
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3})
    void whatIsMissingIsSentAgainAndHardlyMore(long seed) {
        PlanFile file = file(12, 0);
        RehearsedDive silent = fly(file, seed, 0);
        RehearsedDive once = fly(file, seed, 1);
        RehearsedDive thrice = fly(file, seed, 3);
        long missing = missing(silent);
        assertTrue(missing > 0, "seed " + seed);
        assertEquals(0, silent.log().sentAgain());
        assertTrue(once.log().bytesSentAgain() <= 1.1 * missing, "seed " + seed);
        assertTrue(missing(once) <= missing, "seed " + seed);
        assertEquals(0, missing(thrice), "seed " + seed);
        assertEquals(thrice.product().messagesPlanned(), thrice.product().messages(), "seed " + seed);
        // The first sending fares the same whatever follows: randomness is addressed.
        List<byte[]> sent = silent.result().sent();
        for (int i = 0; i < sent.size(); i++) {
            assertTrue(java.util.Arrays.equals(sent.get(i), once.result().sent().get(i)), "seed " + seed);
        }
        assertTrue(silent.log().whole() <= once.log().whole(), "seed " + seed);
    }

    @Test
    void aWholeDiveIsNotAskedFor() {
        RehearsedDive dive = fly(file(0, 2), 4, 2);
        assertEquals(0, dive.orders());
        assertEquals(0, dive.log().sentAgain());
        assertEquals(0, dive.log().ordersAnswered());
    }

    @Test
    void aSilentLinkInBothDirectionsEndsWell() {
        RehearsedDive dive = fly(file(100, 2), 4, 3);
        assertEquals(0, dive.orders(), "shore cannot miss what it never heard of");
        assertEquals(0, dive.log().whole());
    }
}
