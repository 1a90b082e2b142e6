package sunward.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.OutputStream;
import java.io.PrintStream;
import org.junit.jupiter.api.Test;

/** The bounded forms of the two long checks; DEVELOPERS.md has the commands of the whole ones. */
class WireMutantsTest {
    @Test
    void noMutantIsAcceptedThrowsOrReadsTooFar() {
        WireMutants.Tally tally = WireMutants.run(1, 60_000);
        assertEquals(0, tally.accepted());
        assertTrue(tally.resealed() > 0.8 * tally.mutants(), tally.toString());
        assertTrue(tally.read() > 0.4 * tally.mutants(), tally.toString());
    }

    @Test
    void sharesOfCompleteDivesAgreeWithTheClosedForms() {
        LinkSessions link = new LinkSessions(2000, new PrintStream(OutputStream.nullOutputStream()));
        assertTrue(link.parity(0.10).standardErrors() <= 3, link.parity(0.10).toString());
        assertEquals(0.990, link.parity(0.10).expected(), 0.0005, "issue: 99.0 percent, by hand");
        assertTrue(
                link.rounds(0.04, 2).standardErrors() <= 3, link.rounds(0.04, 2).toString());
        assertEquals(0.989, link.rounds(0.04, 2).expected(), 0.0005);
        assertEquals(0.999, link.rounds(0.04, 3).expected(), 0.0005);
    }
}
