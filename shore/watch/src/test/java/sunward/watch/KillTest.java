package sunward.watch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.File;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStream;
import java.io.PrintStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.URI;
import java.net.URLClassLoader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.LongAdder;
import java.util.stream.Collectors;
import java.util.stream.Stream;
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

    /** After so many kills the next ones go on with an empty store, so that looking through it stays quick. */
    private static final int KILLS_A_STORE = 20;

    @TempDir
    Path base;

    private final Set<String> acknowledged = ConcurrentHashMap.newKeySet();
    private final LongAdder acknowledgements = new LongAdder();
    private Path folder;

    @Test
    void everyAcknowledgedMessageIsThereAfterEveryKill() throws Exception {
        int kills = Integer.getInteger("watch.kills", 8);
        SplittableRandom random = new SplittableRandom(7);
        int underLoad = 0;
        for (int round = 0; round < kills; round++) {
            if (round % KILLS_A_STORE == 0) {
                folder = base.resolve("store-" + round);
                acknowledged.clear();
            }
            long before = acknowledgements.sum();
            killOnce(round, random);
            underLoad += acknowledgements.sum() > before ? 1 : 0;
            assertStoreHolds(round);
            if (round % KILLS_A_STORE == KILLS_A_STORE - 1 || round == kills - 1) {
                String kept = contents();
                ShoreWatch.rebuild(settings());
                assertEquals(kept, contents(), "derived tables, followed through kills, against made again at once");
                assertEquals(List.of(), ShoreWatch.check(settings()));
            }
        }
        assertTrue(
                underLoad >= kills / 2,
                underLoad + " of " + kills + " kills hit while messages were being acknowledged");
        System.out.println("figure watch.kills_survived " + kills + " 1");
        System.out.println("figure watch.kills_under_load " + underLoad + " 1");
        System.out.println("figure watch.kills_acknowledgements " + acknowledgements.sum() + " 1");
    }

    private WatchSettings settings() {
        return WatchSettings.loopback(folder, 0, 0);
    }

    /** Where the classes are: a test launcher may have loaded them from elsewhere than the class path. */
    private static String classPath() {
        return KilledWatch.class.getClassLoader() instanceof URLClassLoader loader
                ? Stream.of(loader.getURLs())
                        .map(url -> Path.of(URI.create(url.toString())).toString())
                        .collect(Collectors.joining(File.pathSeparator))
                : System.getProperty("java.class.path");
    }

    private void killOnce(int round, SplittableRandom random) throws Exception {
        Process process = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-Xmx256m",
                        "-XX:TieredStopAtLevel=1",
                        "-cp",
                        classPath(),
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
                List<byte[]> messages = MadeMessages.dive(floatNumber, dive, 64, random.nextInt(1 << 20));
                for (int i = 0; i < 80; i++) {
                    // Some of them twice: the link repeats, and so do gateways that saw no receipt.
                    byte[] message = messages.get(i % 64);
                    String digest = HexFormat.of().formatHex(MessageStore.digest(message));
                    var unused = client.send(message).thenAccept(receipt -> {
                        if (receipt.getOutcome() != DeliveryOutcome.REFUSED) {
                            acknowledged.add(digest);
                            acknowledgements.increment();
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
            for (String digest : acknowledged) {
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
