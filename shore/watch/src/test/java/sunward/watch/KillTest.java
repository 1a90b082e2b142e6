package sunward.watch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStream;
import java.io.PrintStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.TimeUnit;
import javax.net.SocketFactory;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import sunward.protocol.schema.DeliveryOutcome;
import sunward.watch.dives.DerivedStore;
import sunward.watch.health.Token;
import sunward.watch.intake.DeliveryClient;
import sunward.watch.store.MessageStore;
import sunward.watch.store.StoredMessage;

/**
 * Kills the watch with SIGKILL at random instants while gateways send as fast as it takes, each round on what the last one
 * left. {@code -Dtest.jvm.arguments=-Dwatch.kills=200} makes it the long check.
 */
class KillTest {
    private static final int SENDERS = 3;

    @TempDir
    Path folder;

    private final Map<String, Integer> acknowledged = new ConcurrentHashMap<>();

    @Test
    void everyAcknowledgedMessageIsThereAfterEveryKill() throws Exception {
        int kills = Integer.getInteger("watch.kills", 8);
        SplittableRandom random = new SplittableRandom(7);
        int underLoad = 0;
        for (int round = 0; round < kills; round++) {
            int before = acknowledged.size();
            killOnce(round, random);
            underLoad += acknowledged.size() > before ? 1 : 0;
            assertStoreHolds(round);
        }
        String kept = contents();
        ShoreWatch.rebuild(settings());
        assertEquals(
                kept, contents(), "derived tables, followed through " + kills + " kills, against made again at once");
        assertTrue(
                underLoad >= kills / 2,
                underLoad + " of " + kills + " kills hit while messages were being acknowledged");
        System.out.println("figure watch.kills_survived " + kills + " 1");
        System.out.println("figure watch.kills_acknowledged_messages " + acknowledged.size() + " 1");
    }

    private WatchSettings settings() {
        return WatchSettings.loopback(folder, 0, 0);
    }

    private void killOnce(int round, SplittableRandom random) throws Exception {
        Process process = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-Xmx256m",
                        "-XX:TieredStopAtLevel=1",
                        "-cp",
                        System.getProperty("java.class.path"),
                        KilledWatch.class.getName(),
                        folder.toString())
                .redirectError(ProcessBuilder.Redirect.DISCARD)
                .start();
        try (BufferedReader out =
                new BufferedReader(new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8))) {
            // One kill in ten hits the start, before any door is open.
            if (round % 10 != 9) {
                int port = Integer.parseInt(out.readLine().substring("port ".length()));
                Thread[] senders = new Thread[SENDERS];
                for (int i = 0; i < SENDERS; i++) {
                    long seed = random.nextLong();
                    senders[i] = new Thread(() -> sendUntilBroken(port, seed), "sender " + i);
                    senders[i].start();
                }
                Thread.sleep(random.nextInt(20, 700));
                process.destroyForcibly();
                for (Thread sender : senders) {
                    sender.join();
                }
            } else {
                Thread.sleep(random.nextInt(200, 1200));
                process.destroyForcibly();
            }
        }
        assertTrue(process.waitFor(20, TimeUnit.SECONDS));
    }

    private void sendUntilBroken(int port, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        try (DeliveryClient client = new DeliveryClient(
                new InetSocketAddress(InetAddress.getLoopbackAddress(), port),
                SocketFactory.getDefault(),
                Token.read(folder.resolve("token")))) {
            while (true) {
                int floatNumber = 1 + random.nextInt(20);
                int dive = random.nextInt(5);
                List<byte[]> messages = MadeMessages.dive(floatNumber, dive, 64, random.nextInt(4));
                for (byte[] message : messages) {
                    String digest = HexFormat.of().formatHex(MessageStore.digest(message));
                    var unused = client.send(message).thenAccept(receipt -> {
                        if (receipt.getOutcome() != DeliveryOutcome.REFUSED) {
                            acknowledged.merge(digest, 1, Integer::sum);
                        }
                    });
                }
            }
        } catch (IOException e) {
            // The watch was killed: that is the plan.
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    private void assertStoreHolds(int round) throws Exception {
        Path file = folder.resolve("messages.sqlite");
        if (!Files.exists(file)) {
            return;
        }
        // Opening recovers the log; checking looks at every byte.
        try (MessageStore store = MessageStore.open(file, () -> {})) {
            Set<String> found = new HashSet<>();
            for (long id = 0; ; ) {
                List<StoredMessage> some = store.after(id, 10_000);
                if (some.isEmpty()) {
                    break;
                }
                for (StoredMessage message : some) {
                    String digest = HexFormat.of().formatHex(MessageStore.digest(message.bytes()));
                    assertTrue(found.add(digest), "round " + round + ": message " + message.id() + " is there twice");
                }
                id = some.get(some.size() - 1).id();
            }
            for (String digest : acknowledged.keySet()) {
                assertTrue(found.contains(digest), "round " + round + ": an acknowledged message is lost");
            }
        }
        assertEquals(List.of(), MessageStore.check(file), "round " + round);
    }

    private String contents() throws Exception {
        PrintStream log = new PrintStream(OutputStream.nullOutputStream(), false, StandardCharsets.UTF_8);
        try (ShoreWatch watch = ShoreWatch.start(settings(), Clock.systemUTC(), log)) {
            DerivedStore derived = watch.derived();
            while (derived.lastMessageId() < watch.store().lastId()) {
                Thread.sleep(10);
            }
            return derived.contents();
        }
    }
}
