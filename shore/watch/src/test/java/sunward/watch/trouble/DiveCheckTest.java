package sunward.watch.trouble;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import sunward.planning.ExpectedDive;
import sunward.profiles.Decoding;
import sunward.profiles.DiveProduct;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.PlanFile;
import sunward.protocol.schema.Scene;
import sunward.simulator.Dive;
import sunward.simulator.Seeds;
import sunward.watch.FlownDive;
import sunward.watch.ShoreWatch;
import sunward.watch.WatchSettings;
import sunward.watch.store.Arrival;

/** Dives with a known fault, made by the simulator, and sound ones that must raise no alarm. Second implementation: our own. */
@Timeout(120)
class DiveCheckTest {
    private static final PlanFile FILE = FlownDive.file();

    @TempDir
    Path folder;

    private static List<byte[]> sent(Plan plan, Scene scene, long seed) {
        return Dive.fly(plan, FILE.getCalibration(), scene, Seeds.all(seed), null, Dive.Progress.NONE)
                .sent();
    }

    private static List<String> findings(Plan plan, Scene scene, long seed) {
        List<Message> messages = new ArrayList<>();
        for (byte[] bytes : sent(plan, scene, seed)) {
            messages.add(((Verdict.Accepted) MessageReader.read(bytes, KeyRing.none())).message());
        }
        DiveProduct got = Decoding.products(messages, FlownDive.inputs()).get(0);
        DiveProduct expected = ExpectedDive.of(
                FILE.getPlan(),
                FILE.getCalibration(),
                FILE.getScene(),
                scene.getLatitudeDeg(),
                scene.getLongitudeDeg(),
                got.ledger().getSurfacedS());
        return DiveCheck.findings(got, expected, FILE.getPlan()).stream()
                .map(Finding::what)
                .toList();
    }

    @Test
    void soundDivesRaiseNoAlarm() {
        for (long seed = 2; seed <= 4; seed++) {
            assertEquals(List.of(), findings(FILE.getPlan(), FILE.getScene(), seed), "seed " + seed);
        }
    }

    @Test
    void everyFaultIsNamed() {
        Scene.Builder dead = FILE.getScene().toBuilder();
        dead.getFailuresBuilder().setFromDbar(200).setDeadHead(2);
        assertTrue(findings(FILE.getPlan(), dead.build(), 1).contains("head B seems dead"));
        Scene.Builder tilted = FILE.getScene().toBuilder();
        tilted.getMotionBuilder().setTiltRmsDeg(9);
        List<String> crooked = findings(FILE.getPlan(), tilted.build(), 1);
        assertTrue(crooked.contains("it hangs crooked"), crooked.toString());
        Scene.Builder green = FILE.getScene().toBuilder();
        green.getWaterBuilder().setSurfaceChlorophyllMgPerM3(15);
        List<String> darker = findings(FILE.getPlan(), green.build(), 1);
        assertTrue(darker.contains("the sea is far darker in the blue than rehearsed"), darker.toString());
        Plan.Builder other = FILE.getPlan().toBuilder();
        other.getPackingBuilder().setDataMessages(12);
        List<String> plan = findings(other.build(), FILE.getScene(), 1);
        assertTrue(plan.contains("it flew another plan"), plan.toString());
        assertTrue(plan.contains("it sends far less than rehearsed"), plan.toString());
        assertTrue(plan.stream().noneMatch(what -> what.startsWith("head")), plan.toString());
    }

    @Test
    void aWatchTellsOfItInItsLogAndFirstOnThePage() throws Exception {
        Scene.Builder dead = FILE.getScene().toBuilder();
        dead.getFailuresBuilder().setFromDbar(200).setDeadHead(2);
        ByteArrayOutputStream log = new ByteArrayOutputStream();
        try (ShoreWatch watch = ShoreWatch.start(
                WatchSettings.loopback(folder, 0, 0)
                        .withInputs(FlownDive.inputs())
                        .withScene(FILE.getScene()),
                Clock.systemUTC(),
                new PrintStream(log, true, StandardCharsets.UTF_8))) {
            for (byte[] bytes : sent(FILE.getPlan(), dead.build(), 1)) {
                long now = Clock.systemUTC().millis() - 946_684_800_000L;
                watch.store().append(new Arrival(bytes, now, "test", "")).get();
            }
            while (!log.toString(StandardCharsets.UTF_8).contains("head B seems dead")) {
                Thread.sleep(50);
            }
            String lines = log.toString(StandardCharsets.UTF_8);
            assertTrue(lines.contains("head B seems dead") && lines.contains("\"float\":1"), lines);
        }
    }
}
