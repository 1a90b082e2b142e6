package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.function.Consumer;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.PlanFile;
import sunward.protocol.schema.Scene;

class DiveTest {
    private static final PlanFile FILE = PlanReader.defaults();
    private static final Plan THIN = thin();
    private static final DiveResult DIVE = fly(1, scene -> {}, null);

    private static Plan thin() {
        Plan.Builder plan = FILE.getPlan().toBuilder();
        for (double nm = 320; nm < 850; nm += 22.5) {
            plan.addFlyWavelengthsNm(nm);
        }
        return plan.build();
    }

    private static DiveResult fly(long seed, Consumer<Scene.Builder> change, byte[] key) {
        Scene.Builder scene = FILE.getScene().toBuilder();
        change.accept(scene);
        return Dive.fly(THIN, FILE.getCalibration(), scene.build(), Seeds.all(seed), key, Dive.Progress.NONE);
    }

    private static void assertSame(List<byte[]> expected, List<byte[]> found) {
        assertEquals(expected.size(), found.size());
        for (int i = 0; i < expected.size(); i++) {
            assertArrayEquals(expected.get(i), found.get(i), "message " + i);
        }
    }

    private static Message accepted(byte[] bytes, KeyRing keys) {
        return assertInstanceOf(Verdict.Accepted.class, MessageReader.read(bytes, keys))
                .message();
    }

    /**
     * The whole dive goes through the float's own phases: fix and tare at the surface, hours on the way down and at the
     * parking depth, where the tilt is noted every ten minutes, and a profile that starts and ends on time.
     */
    @Test
    void aDiveSinksParksAndRisesInTime() {
        List<Long> trims = new ArrayList<>();
        List<Long> ends = new ArrayList<>();
        DIVE.recording().play(new MemoryRecording() {
            @Override
            public void battery(int percent) {
                // not looked at
            }

            @Override
            public void trim(long timeMs, int pitch1Cdeg, int roll1Cdeg, int pitch2Cdeg, int roll2Cdeg) {
                trims.add(timeMs);
            }

            @Override
            public void startProfile(long timeMs) {
                ends.add(timeMs);
            }

            @Override
            public void endProfile(long timeMs) {
                ends.add(timeMs);
            }
        });
        long surfacingMs = DIVE.truth().surfacingMs();
        double parkedS = (trims.get(trims.size() - 1) - trims.get(0)) / 1000.0;
        // By hand: twelve hours less 1000 m down at 0.1 m/s, 750 m up to the start, and 2963 s of profile.
        assertEquals(43_200 - 10_000 - 7_500 - 2_963, parkedS, 700);
        assertEquals(2, ends.size());
        assertEquals(2963, (surfacingMs - ends.get(0)) / 1000.0, 10);
        assertEquals(0, (ends.get(1) - surfacingMs) / 1000.0, 25);
    }

    @Test
    void everyMessageOfAThinnedDiveIsAcceptedAndWithinThePlan() {
        int data = (int) DIVE.sent().stream()
                .filter(bytes -> accepted(bytes, KeyRing.none()).kind() == Kind.DIVE)
                .count();
        assertTrue(data >= 3 && data <= THIN.getPacking().getDataMessages());
        int repairs = DIVE.sent().size() - data;
        assertTrue(repairs >= 1 && repairs <= THIN.getPacking().getParityMessages());
        for (int i = 0; i < DIVE.sent().size(); i++) {
            byte[] bytes = DIVE.sent().get(i);
            assertTrue(bytes.length <= THIN.getLink().getMessageBytes());
            Message message = accepted(bytes, KeyRing.none());
            assertEquals(i < data ? Kind.DIVE : Kind.REPAIR, message.kind());
            assertEquals(i, message.position());
            assertEquals(1, message.dive());
            assertEquals(1, message.floatNumber());
            assertTrue(message.simulated() && message.unsealed());
        }
        assertEquals(
                BlockType.FIRST_LOOK.number(),
                accepted(DIVE.sent().get(0), KeyRing.none()).block());
    }

    @Test
    void aKeyedDiveIsReadWithItsKeyOnly() {
        byte[] key = {9, 8, 7, 6, 5, 4, 3, 2, 1};
        byte[] first = fly(1, scene -> {}, key).sent().get(0);
        assertFalse(accepted(first, KeyRing.of(Map.of(1, key))).unsealed());
        assertInstanceOf(Verdict.Rejected.class, MessageReader.read(first, KeyRing.none()));
    }

    @Test
    void theSameSeedsGiveTheSameBytesOnOneThreadAndOnTwo() throws Exception {
        ExecutorService threads = Executors.newFixedThreadPool(2);
        try {
            List<Callable<DiveResult>> dives = new ArrayList<>();
            for (int i = 0; i < 4; i++) {
                long seed = i < 2 ? 1 : 2;
                dives.add(() -> fly(seed, scene -> {}, null));
            }
            List<Future<DiveResult>> flown = threads.invokeAll(dives);
            for (int i = 0; i < 2; i++) {
                DiveResult again = flown.get(i).get();
                assertSame(DIVE.sent(), again.sent());
                assertSame(
                        DIVE.delivered().stream().map(Delivery::bytes).toList(),
                        again.delivered().stream().map(Delivery::bytes).toList());
                assertArrayEquals(DIVE.truth().lw(), again.truth().lw());
                assertEquals(DIVE.account(), again.account());
            }
            assertSame(flown.get(2).get().sent(), flown.get(3).get().sent());
            assertFalse(java.util.Arrays.equals(
                    flown.get(2).get().truth().lw(), DIVE.truth().lw()));
        } finally {
            threads.shutdown();
        }
    }

    @Test
    void aRecordingFlownAgainGivesTheVerySameMessages(@TempDir Path directory) throws IOException {
        assertSame(DIVE.sent(), Dive.replay(THIN, FILE.getCalibration(), DIVE.recording(), null));
        RecordingFiles.write(DIVE.recording(), directory);
        assertSame(DIVE.sent(), Dive.replay(THIN, FILE.getCalibration(), RecordingFiles.read(directory), null));
    }

    @Test
    void theLinkChangesWhatArrivesAndNothingElse() {
        DiveResult worse = fly(1, scene -> scene.getLinkBuilder().setLossPercent(40), null);
        assertSame(DIVE.sent(), worse.sent());
        assertTrue(worse.account().messagesLost() > DIVE.account().messagesLost());
        assertEquals(
                worse.sent().size()
                        - worse.account().messagesLost()
                        + worse.account().copiesDuplicated(),
                worse.delivered().size());
    }

    @Test
    void theTrackLeadsToTheSurfaceAndThePreferredHeadIsTheBetterOne() {
        List<TrackPoint> track = DIVE.truth().track();
        assertTrue(track.size() > 500 && track.size() <= Truth.MOST_TRACK_POINTS, "points " + track.size());
        assertEquals(250, track.get(0).pressureDbar(), 0.5);
        TrackPoint last = track.get(track.size() - 1);
        assertTrue(last.pressureDbar() < 0.3 && last.pressureDbar() > 0);
        double excess = 0;
        for (TrackPoint point : track) {
            double[] loss = point.lossPercent555();
            excess += loss[point.preferredHead()] - Math.min(loss[0], loss[1]);
        }
        // Percent at 555 nm on average, with the scene's compass error of 3 degrees.
        assertTrue(excess / track.size() < 0.05, "excess loss " + excess / track.size());
    }

    @Test
    void theAccountAddsUp() {
        FloatAccount account = DIVE.account();
        assertEquals(2 * account.instants(), account.lightScans() + account.darkScans());
        assertEquals(DIVE.recording().scans(), account.lightScans() + account.darkScans());
        assertEquals(20.0, (double) account.lightScans() / account.darkScans(), 3);
        assertEquals(12.0 * account.messagesSent(), account.modemJ(), 1e-9);
        // By hand: 2954 s at 2.4 W (230 m of 250 dbar by 0.10 m/s, then 20 dbar by 0.03 m/s; less by the depth of a
        // dbar).
        assertEquals(2954 * 2.4, account.headsJ(), 60);
        assertTrue(account.ramBytes() > 0 && account.ramBytes() <= 256 * 1024, "ram " + account.ramBytes());
        assertTrue(account.flashBytes() > 0 && account.flashBytes() <= 16 << 20);
    }

    @Test
    void progressRunsThroughEveryStage() {
        List<String> stages = new ArrayList<>();
        double[] before = {0};
        Dive.fly(THIN, FILE.getCalibration(), FILE.getScene(), Seeds.all(1), null, (stage, share) -> {
            if (stages.isEmpty() || !stages.get(stages.size() - 1).equals(stage)) {
                stages.add(stage);
                before[0] = 0;
            }
            assertTrue(share >= before[0] && share <= 1, stage + " " + share);
            before[0] = share;
        });
        assertEquals(List.of("sea", "profile", "packing", "link"), stages);
    }

    @Test
    void aFloatOfThreeArmsAndAnIrradianceHeadFliesToo() {
        PlanFile file = PlanReader.read(PlanReader.examples().get("three-arms"), "three-arms");
        Plan plan = file.getPlan().toBuilder()
                .addAllFlyWavelengthsNm(THIN.getFlyWavelengthsNmList())
                .build();
        DiveResult dive =
                Dive.fly(plan, file.getCalibration(), file.getScene(), Seeds.all(1), null, Dive.Progress.NONE);
        assertEquals(4 * dive.account().instants(), dive.recording().scans());
        for (byte[] bytes : dive.sent()) {
            assertEquals(2, accepted(bytes, KeyRing.none()).floatNumber());
        }
        assertTrue(dive.truth().track().stream().allMatch(point -> point.preferredHead() < 3));
    }
}
