package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;

class OutboxTest {
    private static final int LENGTH = 100;
    private static final int PER_DIVE = 5;
    private static final int DIVES = 16;
    private static final int BANK = 4096;

    /** Journal and outbox on one flash, and what the network took of them. */
    private static final class Flown {
        final TestFlash flash = new TestFlash(2 * 4096 + 2 * BANK);
        final List<String> acknowledged = new ArrayList<>();
        final Set<String> appended = new HashSet<>();
        Journal journal;
        Outbox outbox;
        int dive;

        void boot() {
            journal = new Journal(new Region(flash, 0, 2 * 4096));
            outbox = new Outbox(new Region(flash, 2 * 4096, BANK), new Region(flash, 2 * 4096 + BANK, BANK), journal);
            journal.boot();
            outbox.boot();
        }

        void dive() {
            dive = journal.nextDive();
            outbox.open(PER_DIVE, LENGTH);
            for (int p = 0; p < PER_DIVE; p++) {
                byte[] message = message(dive, p);
                assertTrue(outbox.append(p, message, LENGTH));
                appended.add(Arrays.toString(message));
            }
        }

        boolean send() {
            byte[] into = new byte[LENGTH];
            int length = outbox.peek(into);
            if (length == 0) {
                return false;
            }
            assertEquals(LENGTH, length);
            acknowledged.add(Arrays.toString(into));
            outbox.handedOver();
            return true;
        }
    }

    private static byte[] message(int dive, int position) {
        byte[] message = new byte[LENGTH];
        for (int i = 0; i < LENGTH; i++) {
            message[i] = (byte) (dive * 31 + position * 7 + i);
        }
        message[0] = (byte) dive;
        message[1] = (byte) position;
        return message;
    }

    @Test
    void messagesComeOutInOrderAndOnlyOnce() {
        Flown f = new Flown();
        f.boot();
        f.dive();
        f.dive();
        byte[] into = new byte[LENGTH];
        for (int dive = 1; dive <= 2; dive++) {
            for (int p = 0; p < PER_DIVE; p++) {
                assertEquals(LENGTH, f.outbox.peek(into));
                assertArrayEquals(message(dive, p), into);
                f.outbox.handedOver();
            }
        }
        assertEquals(0, f.outbox.peek(into));
        f.boot();
        assertEquals(0, f.outbox.peek(into));
        assertEquals(0, f.outbox.waiting());
    }

    @Test
    void waitingMessagesSurviveAReboot() {
        Flown f = new Flown();
        f.boot();
        f.dive();
        f.send();
        f.send();
        f.boot();
        assertEquals(PER_DIVE - 2, f.outbox.waiting());
        byte[] into = new byte[LENGTH];
        assertEquals(LENGTH, f.outbox.peek(into));
        assertArrayEquals(message(1, 2), into);
    }

    @Test
    void monthsWithoutLinkKeepTheNewestDives() {
        Flown f = new Flown();
        f.boot();
        for (int i = 0; i < 60; i++) {
            f.dive();
        }
        byte[] into = new byte[LENGTH];
        int last = 0;
        int got = 0;
        while (f.outbox.peek(into) > 0) {
            last = into[0];
            got++;
            f.outbox.handedOver();
        }
        assertEquals(60, last);
        assertTrue(got >= BANK / Outbox.recordBytes(LENGTH) - 1, "kept " + got);
        assertEquals(60 * PER_DIVE - got, f.outbox.givenUp());
    }

    /** Power fails at every step of a life of dives and sends; each time the float boots and goes on to the end. */
    @Test
    void powerCutsAtEveryStepLoseAndRepeatNothing() {
        Flown whole = new Flown();
        whole.boot();
        live(whole, DIVES);
        long steps = whole.flash.steps();
        assertTrue(steps > 4000, "steps " + steps);
        int tried = 0;
        for (long cut = 0; cut < steps; cut++) {
            Flown f = new Flown();
            Set<Integer> divesSeen = new HashSet<>();
            f.flash.cutAfter(cut);
            try {
                f.boot();
                live(f, DIVES);
            } catch (TestFlash.PowerCut gone) {
                tried++;
            }
            int before = f.dive;
            Set<String> mayRepeat = new HashSet<>();
            if (!f.acknowledged.isEmpty()) {
                mayRepeat.add(f.acknowledged.get(f.acknowledged.size() - 1)); // taken, the mark may be missing
            }
            f.flash.restore();
            f.boot();
            f.dive();
            String where = "cut after " + cut + " steps";
            assertTrue(f.dive > before, where + ": dive number reused");
            assertTrue(divesSeen.add(f.dive));
            while (f.send()) {
                // until the outbox is empty
            }
            check(f, mayRepeat, where);
        }
        assertTrue(tried > 4000, "cut points tried: " + tried);
    }

    private static void live(Flown f, int dives) {
        for (int i = 0; i < dives; i++) {
            f.dive();
            for (int k = 0; k < PER_DIVE - (i % 3 == 0 ? 1 : 0); k++) {
                f.send();
            }
        }
        while (f.send()) {
            // until the outbox is empty
        }
    }

    private static void check(Flown f, Set<String> mayRepeat, String where) {
        Set<String> seen = new HashSet<>();
        for (String message : f.acknowledged) {
            boolean again = !seen.add(message);
            assertFalse(again && !mayRepeat.contains(message), where + ": sent again " + message);
        }
        for (String message : f.appended) {
            assertTrue(seen.contains(message), where + ": lost " + message);
        }
    }
}
