package sunward.watch.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.util.HexFormat;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import javax.net.SocketFactory;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import sunward.profiles.DiveProduct;
import sunward.protocol.message.KeyRing;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.Delivery;
import sunward.simulator.Dive;
import sunward.simulator.Seeds;
import sunward.watch.FlownDive;
import sunward.watch.ShoreWatch;
import sunward.watch.WatchSettings;
import sunward.watch.dives.DiveKey;
import sunward.watch.dives.DiveProducts;
import sunward.watch.dives.DiveState;
import sunward.watch.health.Token;

@Timeout(60)
class LiveFleetTest {
    @TempDir
    Path folder;

    private final PlanFile file = FlownDive.file();

    private ShoreWatch watch(int port) throws Exception {
        return ShoreWatch.start(
                WatchSettings.loopback(folder, port, 0).withInputs(FlownDive.inputs()),
                Clock.systemUTC(),
                new PrintStream(OutputStream.nullOutputStream(), false, StandardCharsets.UTF_8));
    }

    private Gateway gateway(int port) throws IOException {
        return new Gateway(
                new InetSocketAddress(InetAddress.getLoopbackAddress(), port),
                SocketFactory.getDefault(),
                Token.read(folder.resolve("token")));
    }

    @Test
    void everyFloatsDiveArrivesAsTheLinkDeliversItAndIsDecoded() throws Exception {
        try (ShoreWatch watch = watch(0);
                Gateway gateway = gateway(watch.tcpPort())) {
            LiveFleet.Outcome outcome = new LiveFleet(file, 1, 3, 0).fly(gateway, Dive.Progress.NONE);
            assertEquals(watch.store().lastId(), outcome.messages() - outcome.repeats());
            while (watch.derived().lastMessageId() < watch.store().lastId()) {
                Thread.sleep(20);
            }
            List<DiveState> dives = watch.derived().newestDives();
            assertEquals(
                    List.of(1, 2, 3), dives.stream().map(DiveState::floatNumber).toList());
            assertEquals(file.getScene().getLatitudeDeg(), dives.get(0).latitudeDeg(), 0.01);
            DiveProducts products =
                    new DiveProducts(watch.store(), watch.derived(), KeyRing.none(), FlownDive.inputs(), List.of());
            for (DiveState dive : dives) {
                DiveProduct product = products.product(new DiveKey(dive.floatNumber(), dive.dive()));
                assertNotNull(product.surface(), "float " + dive.floatNumber());
                // The same local sun time: the sun stands where the first float has it, but for the latitude.
                assertTrue(product.place().sunZenithDeg() < 50, "float " + dive.floatNumber());
            }
        }
    }

    @Test
    void messagesComeNoFasterThanAskedAndAWatchThatGoesAwayLosesNone() throws Exception {
        ShoreWatch first = watch(0);
        int port = first.tcpPort();
        try (Gateway gateway = gateway(port)) {
            CompletableFuture<ShoreWatch> second = CompletableFuture.supplyAsync(() -> {
                try {
                    while (first.store().lastId() < 20) {
                        Thread.sleep(5);
                    }
                    first.close();
                    return watch(port);
                } catch (Exception e) {
                    throw new IllegalStateException(e);
                }
            });
            LiveFleet.Outcome outcome = new LiveFleet(file, 1, 1, 1000).fly(gateway, Dive.Progress.NONE);
            assertTrue(outcome.speed() <= 1000, "speed " + outcome.speed());
            long distinct = Dive.fly(
                            file.getPlan(),
                            file.getCalibration(),
                            file.getScene(),
                            Seeds.all(1),
                            null,
                            Dive.Progress.NONE)
                    .delivered()
                    .stream()
                    .map(Delivery::bytes)
                    .map(HexFormat.of()::formatHex)
                    .distinct()
                    .count();
            try (ShoreWatch watch = second.get()) {
                assertEquals(distinct, watch.store().lastId());
            }
        }
    }

    @Test
    void aWatchThatIsNotThereOrHasAnotherTokenIsSaidInOneSentence() throws Exception {
        int port;
        try (ShoreWatch watch = watch(0)) {
            port = watch.tcpPort();
            try (Gateway stranger = new Gateway(
                    new InetSocketAddress(InetAddress.getLoopbackAddress(), port),
                    SocketFactory.getDefault(),
                    Token.of("another-watch-s-token"))) {
                IOException wrong = assertThrows(IOException.class, () -> {
                    stranger.send(FlownDive.sent().get(0));
                    stranger.finish();
                });
                assertTrue(wrong.getMessage().contains("look whether this token is that watch's"), wrong.getMessage());
            }
            assertEquals(0, watch.store().lastId());
        }
        try (Gateway late = gateway(port)) {
            IOException gone = assertThrows(
                    IOException.class, () -> late.send(FlownDive.sent().get(0)));
            assertTrue(gone.getMessage().contains("cannot be reached"), gone.getMessage());
        }
    }
}
