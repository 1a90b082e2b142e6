package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.PlanFile;

class CardReplayTest {
    private static final PlanFile FILE = PlanReader.defaults();
    private static final Plan PLAN = plan();
    private static final DiveResult DIVE =
            Dive.fly(PLAN, FILE.getCalibration(), FILE.getScene(), Seeds.all(1), null, Dive.Progress.NONE);

    private static Plan plan() {
        Plan.Builder plan = FILE.getPlan().toBuilder();
        for (double nm = 350; nm < 750; nm += 50) {
            plan.addFlyWavelengthsNm(nm);
        }
        plan.getAscentBuilder().setStartDbar(30);
        return plan.build();
    }

    private static Message read(byte[] bytes) {
        return ((Verdict.Accepted) MessageReader.read(bytes, KeyRing.none())).message();
    }

    @Test
    void theCardOfTheFirstDiveGivesTheVeryMessages() {
        CardReplay.Made made = CardReplay.of(PLAN, FILE.getCalibration(), DIVE.recording(), null, true, 1);
        assertEquals(0, made.otherExposures());
        assertEquals(DIVE.recording().scans(), made.scans());
        List<byte[]> sent = DIVE.sent().stream()
                .filter(m -> read(m).kind() == Kind.DIVE || read(m).kind() == Kind.REPAIR)
                .toList();
        assertEquals(sent.size(), made.messages().size());
        for (int i = 0; i < sent.size(); i++) {
            assertArrayEquals(sent.get(i), made.messages().get(i), "message " + i);
        }
    }

    /** As dive 37 and from the sea: the marks and the number change, the bodies do not. */
    @Test
    void aLaterDiveOfAFloatAtSeaDiffersInItsHeadersOnly() {
        CardReplay.Made made = CardReplay.of(PLAN, FILE.getCalibration(), DIVE.recording(), null, false, 37);
        for (int i = 0; i < made.messages().size(); i++) {
            Message later = read(made.messages().get(i));
            assertEquals(37, later.dive());
            assertFalse(later.simulated());
            if (later.kind() == Kind.DIVE) {
                assertArrayEquals(read(DIVE.sent().get(i)).body(), later.body(), "message " + i);
            }
        }
    }

    @Test
    void aFirmwareThatWouldExposeOtherwiseIsNoticed() {
        Plan.Builder other = PLAN.toBuilder();
        other.getExposureBuilder().setDarkEvery(7);
        CardReplay.Made made = CardReplay.of(other.build(), FILE.getCalibration(), DIVE.recording(), null, true, 1);
        assertTrue(made.otherExposures() > 50, made.otherExposures() + " scans");
    }
}
