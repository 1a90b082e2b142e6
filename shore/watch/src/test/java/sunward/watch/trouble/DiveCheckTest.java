package sunward.watch.trouble;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import sunward.planning.ExpectedDive;
import sunward.profiles.Ancillary;
import sunward.profiles.Decoding;
import sunward.profiles.DiveProduct;
import sunward.profiles.ShoreInputs;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.message.Verdict;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.PlanFile;
import sunward.protocol.schema.Scene;
import sunward.simulator.Dive;
import sunward.simulator.Seeds;
import sunward.watch.FlownDive;
import sunward.watch.ShoreWatch;
import sunward.watch.WatchSettings;
import sunward.watch.dives.DerivedStore;
import sunward.watch.dives.DiveKey;
import sunward.watch.dives.DiveProducts;
import sunward.watch.live.LiveFleet;
import sunward.watch.store.Arrival;
import sunward.watch.store.MessageStore;

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
        return DiveCheck.compared(got, expected, FILE.getPlan()).findings().stream()
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
        try (ShoreWatch watch = watch(log)) {
            keep(watch, sent(FILE.getPlan(), dead.build(), 1));
            await(log, "head B seems dead");
            String lines = log.toString(StandardCharsets.UTF_8);
            assertTrue(lines.contains("head B seems dead") && lines.contains("\"float\":1"), lines);
        }
        assertEquals(List.of(), ShoreWatch.check(settings()));
        try (FindingStore spoilt = FindingStore.open(folder.resolve("findings.sqlite"), "other")) {
            spoilt.put(new DiveKey(9, 9), "", null, FILE.getPlan());
        }
        assertTrue(ShoreWatch.check(settings()).get(0).startsWith("What was found beside the rehearsals"));
    }

    /** The dive as number {@code dive} of its float: a simulated float's first dive is always its first. */
    private static List<byte[]> numbered(List<byte[]> sent, int dive) {
        List<byte[]> numbered = new ArrayList<>();
        for (byte[] bytes : sent) {
            Message message = ((Verdict.Accepted) MessageReader.read(bytes, KeyRing.none())).message();
            if (message.kind() == Kind.DIVE) {
                MessageWriter writer = new MessageWriter(null, 2000);
                writer.begin(
                        Kind.DIVE,
                        true,
                        message.floatNumber(),
                        dive,
                        message.position(),
                        message.block(),
                        message.part());
                System.arraycopy(message.body(), 0, writer.buffer(), writer.bodyOffset(), message.body().length);
                numbered.add(Arrays.copyOf(writer.buffer(), writer.finish(message.body().length)));
            }
        }
        return numbered;
    }

    private ShoreWatch watch(ByteArrayOutputStream log) throws Exception {
        return ShoreWatch.start(settings(), Clock.systemUTC(), new PrintStream(log, true, StandardCharsets.UTF_8));
    }

    private WatchSettings settings() {
        return WatchSettings.loopback(folder, 0, 0)
                .withInputs(FlownDive.inputs())
                .withScene(FILE.getScene());
    }

    private static void keep(ShoreWatch watch, List<byte[]> messages) throws Exception {
        long now = Clock.systemUTC().millis() - 946_684_800_000L;
        for (byte[] bytes : messages) {
            watch.store().append(new Arrival(bytes, now, "test", "")).get();
        }
    }

    private static void await(ByteArrayOutputStream log, String words) throws InterruptedException {
        while (!log.toString(StandardCharsets.UTF_8).contains(words)) {
            Thread.sleep(20);
        }
    }

    @Test
    void growthOverTheDivesOfAFloatIsFoundSurvivesARestartAndIsMadeAgainIdentically() throws Exception {
        List<List<byte[]>> dives = new ArrayList<>();
        for (int dive = 1; dive <= 5; dive++) {
            Scene.Builder scene = FILE.getScene().toBuilder();
            scene.getInstrumentBuilder()
                    .setFouledHead("B")
                    .setFoulingPercentPerWeek(0.5)
                    .setWeeksAtSea(4 * dive);
            // One instrument, each time another sea, sky and link.
            dives.add(numbered(
                    Dive.fly(
                                    FILE.getPlan(),
                                    FILE.getCalibration(),
                                    scene.build(),
                                    new Seeds(dive, 1, dive, dive),
                                    null,
                                    Dive.Progress.NONE)
                            .sent(),
                    dive));
        }
        ByteArrayOutputStream log = new ByteArrayOutputStream();
        try (ShoreWatch watch = watch(log)) {
            // The later ones first, and the last one while no watch compares.
            for (int dive : new int[] {3, 4, 1, 2}) {
                keep(watch, dives.get(dive - 1));
            }
            await(log, "Float 1, dive 4: head B is dimmer than in the dives before");
        }
        try (MessageStore store = MessageStore.open(folder.resolve("messages.sqlite"), () -> {})) {
            for (byte[] bytes : dives.get(4)) {
                store.append(new Arrival(bytes, 0, "test", "")).get();
            }
        }
        ByteArrayOutputStream second = new ByteArrayOutputStream();
        try (ShoreWatch watch = watch(second)) {
            await(second, "Float 1, dive 4: head B is dimmer than in the dives before");
            HttpClient client = HttpClient.newHttpClient();
            String view;
            do {
                view = client.send(
                                HttpRequest.newBuilder(
                                                URI.create("http://127.0.0.1:" + watch.pagePort() + "/api/dives/1/5"))
                                        .build(),
                                HttpResponse.BodyHandlers.ofString())
                        .body();
            } while (!view.contains("head B loses light dive by dive"));
            assertTrue(view.contains("growth on the window of head B or drift"), view);
        }
        String kept = findings();
        ShoreWatch.rebuild(settings());
        assertEquals(kept, findings(), "made again identically");
    }

    private String findings() throws Exception {
        try (FindingStore store = FindingStore.open(folder.resolve("findings.sqlite"), "")) {
            return store.contents();
        }
    }

    @Test
    void aThinnedFleetIsKnownByItsPlanAndNotAccusedOfAnother() throws Exception {
        PlanFile whole = PlanReader.defaults();
        PlanFile thinned = LiveFleet.planOf(whole, 20);
        ShoreInputs inputs = new ShoreInputs(whole.getPlan(), whole.getCalibration(), Ancillary.climatology());
        Plan.Builder own = thinned.getPlan().toBuilder().setFloatNumber(17);
        List<byte[]> sent = Dive.fly(
                        own.build(), whole.getCalibration(), whole.getScene(), Seeds.all(3), null, Dive.Progress.NONE)
                .sent();
        own.getPackingBuilder().setDataMessages(20);
        own.setFloatNumber(18);
        List<byte[]> strange = Dive.fly(
                        own.build(), whole.getCalibration(), whole.getScene(), Seeds.all(3), null, Dive.Progress.NONE)
                .sent();
        try (MessageStore store = MessageStore.open(folder.resolve("messages.sqlite"), () -> {});
                DerivedStore derived =
                        DerivedStore.open(folder.resolve("derived.sqlite"), store, KeyRing.none(), "test")) {
            for (byte[] bytes : sent) {
                store.append(new Arrival(bytes, 0, "test", "")).get();
            }
            for (byte[] bytes : strange) {
                store.append(new Arrival(bytes, 0, "test", "")).get();
            }
            derived.follow();
            DiveProducts products =
                    new DiveProducts(store, derived, KeyRing.none(), inputs, List.of(thinned.getPlan()));
            DiveKey key = new DiveKey(17, 1);
            DiveProduct product = products.product(key);
            assertNotNull(product.surface());
            assertEquals(
                    thinned.getPlan().getFlyWavelengthsNmCount(),
                    products.inputsOf(product).plan().getFlyWavelengthsNmCount());
            assertTrue(
                    products.product(new DiveKey(18, 1)).reasons().stream()
                            .anyMatch(reason -> reason.startsWith("other plan")),
                    "a plan that nobody here knows");
            try (DiveComparer comparer =
                    DiveComparer.open(folder.resolve("findings.sqlite"), derived, products, whole.getScene())) {
                comparer.compare(derived.dive(key));
                assertEquals(List.of(), comparer.of(key));
            }
        }
    }
}
