package sunward.watch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.OutputStream;
import java.io.PrintStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.Base64;
import java.util.Collections;
import java.util.HexFormat;
import java.util.List;
import java.util.Random;
import java.util.StringJoiner;
import java.util.concurrent.CompletableFuture;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;
import javax.net.SocketFactory;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import sunward.watch.dives.DiveKey;
import sunward.watch.dives.DiveState;
import sunward.watch.health.Token;
import sunward.watch.intake.DeliveryClient;
import sunward.watch.store.MessageStore;

/** The same dives split over the real doors of a running watch, in any order and some of them twice. */
@Timeout(60)
class AllDoorsTest {
    private static final int DIVES = 3;
    private static final int MESSAGES = 20;

    @TempDir
    Path folder;

    @ParameterizedTest
    @ValueSource(longs = {1, 2})
    void splitOverTheDoorsTheDivesAreTheSame(long seed) throws Exception {
        List<byte[]> all = new ArrayList<>();
        for (int dive = 0; dive < DIVES; dive++) {
            all.addAll(MadeMessages.dive(3, dive, MESSAGES, 1));
        }
        Random random = new Random(seed);
        List<byte[]> deliveries = new ArrayList<>(all);
        deliveries.addAll(all.subList(random.nextInt(20), 40));
        Collections.shuffle(deliveries, random);
        List<List<byte[]>> doors =
                List.of(new ArrayList<>(), new ArrayList<>(), new ArrayList<>(), new ArrayList<>(), new ArrayList<>());
        for (byte[] message : deliveries) {
            doors.get(random.nextInt(doors.size())).add(message);
        }
        PrintStream log = new PrintStream(OutputStream.nullOutputStream(), false, StandardCharsets.UTF_8);
        Path inbox = folder.resolve("inbox");
        try (ShoreWatch watch = ShoreWatch.start(
                WatchSettings.loopback(folder.resolve("store"), 0, 0).withWatchedFolder(inbox),
                Clock.systemUTC(),
                log)) {
            zipped(doors.get(0), inbox.resolve("mail.zip"));
            for (int i = 0; i < doors.get(1).size(); i++) {
                Files.write(inbox.resolve("attachment-" + i), doors.get(1).get(i));
            }
            byTcp(watch, doors.get(2));
            StringJoiner batch = new StringJoiner("\",\"", "{\"messages\":[\"", "\"]}");
            doors.get(3).forEach(message -> batch.add(Base64.getEncoder().encodeToString(message)));
            post(watch, "application/json", batch.toString().getBytes(StandardCharsets.UTF_8));
            for (byte[] message : doors.get(4)) {
                post(watch, "application/octet-stream", message);
            }
            while (watch.derived().lastMessageId() < all.size()) {
                Thread.sleep(20);
            }
            for (int dive = 0; dive < DIVES; dive++) {
                DiveState state = watch.derived().dive(new DiveKey(3, dive));
                assertEquals(MESSAGES, state.received(), "seed " + seed);
                assertEquals(
                        assembled(all.subList(dive * MESSAGES, (dive + 1) * MESSAGES)),
                        state.assembled(),
                        "seed " + seed);
            }
            while (Files.exists(inbox.resolve("mail.zip"))) {
                Thread.sleep(20);
            }
            assertEquals(all.size(), watch.store().lastId(), "each distinct message once, seed " + seed);
        }
        assertTrue(MessageStore.check(folder.resolve("store").resolve("messages.sqlite"))
                .isEmpty());
    }

    /** SHA-256 over the sorted SHA-256 of the messages, hexadecimal. */
    private static String assembled(List<byte[]> messages) {
        List<String> digests = new ArrayList<>();
        HexFormat hex = HexFormat.of();
        messages.forEach(message -> digests.add(hex.formatHex(MessageStore.digest(message))));
        Collections.sort(digests);
        return hex.formatHex(MessageStore.digest(hex.parseHex(String.join("", digests))));
    }

    private static void zipped(List<byte[]> messages, Path file) throws Exception {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        try (ZipOutputStream zip = new ZipOutputStream(bytes)) {
            for (int i = 0; i < messages.size(); i++) {
                zip.putNextEntry(new ZipEntry("message-" + i));
                zip.write(messages.get(i));
            }
        }
        Files.write(file, bytes.toByteArray());
    }

    private void byTcp(ShoreWatch watch, List<byte[]> messages) throws Exception {
        try (DeliveryClient gateway = new DeliveryClient(
                new InetSocketAddress(InetAddress.getLoopbackAddress(), watch.tcpPort()),
                SocketFactory.getDefault(),
                Token.read(folder.resolve("store").resolve("token")))) {
            List<CompletableFuture<?>> receipts = new ArrayList<>();
            for (byte[] message : messages) {
                receipts.add(gateway.send(message));
            }
            gateway.flush();
            for (CompletableFuture<?> receipt : receipts) {
                receipt.get();
            }
        }
    }

    private void post(ShoreWatch watch, String type, byte[] body) throws Exception {
        String token =
                Files.readString(folder.resolve("store").resolve("token")).strip();
        HttpResponse<String> answer = HttpClient.newHttpClient()
                .send(
                        HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + watch.pagePort() + "/deliveries"))
                                .header("Content-Type", type)
                                .header("Authorization", "Bearer " + token)
                                .POST(BodyPublishers.ofByteArray(body))
                                .build(),
                        BodyHandlers.ofString());
        assertEquals(200, answer.statusCode(), answer.body());
    }
}
