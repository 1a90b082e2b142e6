package sunward.watch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.PrintStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.SocketException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.Clock;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import javax.net.SocketFactory;
import javax.net.ssl.SSLHandshakeException;
import javax.net.ssl.SSLSocket;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import sunward.protocol.schema.DeliveryOutcome;
import sunward.simulator.Dive;
import sunward.watch.health.Token;
import sunward.watch.health.Trust;
import sunward.watch.intake.DeliveryClient;
import sunward.watch.intake.Limits;
import sunward.watch.intake.TcpDoor.Certificate;
import sunward.watch.live.Gateway;
import sunward.watch.live.LiveFleet;

/** Both ports with TLS by certificate files that the test makes; clients that trust them, others, and none at all. */
@Timeout(60)
class TlsTest {
    @TempDir
    Path folder;

    private MadeCertificate made;

    @BeforeEach
    void make() throws Exception {
        made = new MadeCertificate(folder, "watch");
    }

    private ShoreWatch watch(Certificate certificate) throws Exception {
        WatchSettings local = WatchSettings.loopback(folder.resolve("store"), 0, 0);
        return ShoreWatch.start(
                new WatchSettings(
                        local.folder(),
                        local.tcp(),
                        local.http(),
                        null,
                        null,
                        local.keys(),
                        null,
                        FlownDive.inputs(),
                        null,
                        certificate,
                        // Short, so that what waits for a client that says nothing ends within the test.
                        new Limits(100, 256, 1 << 20, 50_000, 2, 1, 1),
                        null),
                Clock.systemUTC(),
                new PrintStream(OutputStream.nullOutputStream(), false, StandardCharsets.UTF_8));
    }

    private static InetSocketAddress loopback(int port) {
        return new InetSocketAddress(InetAddress.getLoopbackAddress(), port);
    }

    private Token token() throws IOException {
        return Token.read(folder.resolve("store").resolve("token"));
    }

    private static int deliver(ShoreWatch watch, SocketFactory sockets, Token token, byte[] message) throws Exception {
        try (DeliveryClient client = new DeliveryClient(loopback(watch.tcpPort()), sockets, token)) {
            var receipt = client.send(message);
            client.flush();
            return receipt.get(10, TimeUnit.SECONDS).getOutcome() == DeliveryOutcome.STORED ? 1 : 0;
        }
    }

    @Test
    void aFloatRehearsedLiveArrivesOverTlsAndStrangersLearnNothing() throws Exception {
        MadeCertificate other = new MadeCertificate(folder, "other");
        SocketFactory trusting = Trust.only(made.chain).getSocketFactory();
        byte[] message = MadeMessages.dive(3, 1, 2, 1).get(1);
        try (ShoreWatch watch = watch(new Certificate(made.chain, made.key))) {
            try (Gateway gateway = new Gateway(loopback(watch.tcpPort()), trusting, token())) {
                LiveFleet.Outcome outcome = new LiveFleet(FlownDive.file(), 1, 1, 0).fly(gateway, Dive.Progress.NONE);
                assertEquals(watch.store().lastId(), outcome.messages() - outcome.repeats());
            }
            long before = watch.store().lastId();
            // The client sees another certificate than the one it trusts.
            SocketFactory wary = Trust.only(other.chain).getSocketFactory();
            assertThrows(Exception.class, () -> deliver(watch, wary, token(), message));
            var to = loopback(watch.tcpPort());
            try (SSLSocket socket = (SSLSocket) wary.createSocket(to.getAddress(), to.getPort())) {
                IOException untrusted = assertThrows(SSLHandshakeException.class, socket::startHandshake);
                assertTrue(untrusted.getMessage().contains("path"), untrusted.getMessage());
            }
            // No TLS at all: not even with the right token.
            Exception plain =
                    assertThrows(Exception.class, () -> deliver(watch, SocketFactory.getDefault(), token(), message));
            assertTrue(plain instanceof ExecutionException || plain instanceof IOException, plain.toString());
            // The right certificate and the wrong token.
            assertThrows(Exception.class, () -> deliver(watch, trusting, Token.of("another-watch-s-token"), message));
            // One that connects and never shakes hands is cut off.
            try (Socket silent = new Socket(InetAddress.getLoopbackAddress(), watch.tcpPort())) {
                silent.setSoTimeout(20_000);
                assertEquals(-1, end(silent));
            }
            assertEquals(before, watch.store().lastId());
            assertEquals(1, deliver(watch, trusting, token(), message), "others are served as before");
        }
    }

    private static int end(Socket socket) throws IOException {
        try (InputStream in = socket.getInputStream()) {
            return in.read();
        } catch (SocketException e) {
            // A reset says as little as an end.
            return -1;
        }
    }

    @Test
    void thePageComesByTlsAndTellsBrowsersToStayWithIt() throws Exception {
        try (ShoreWatch watch = watch(new Certificate(made.chain, made.key))) {
            URI health = URI.create("https://localhost:" + watch.pagePort() + "/health");
            HttpClient trusting =
                    HttpClient.newBuilder().sslContext(Trust.only(made.chain)).build();
            HttpResponse<String> answer =
                    trusting.send(HttpRequest.newBuilder(health).build(), HttpResponse.BodyHandlers.ofString());
            assertEquals(200, answer.statusCode());
            assertEquals(
                    "max-age=31536000",
                    answer.headers().firstValue("Strict-Transport-Security").orElse(""));
            assertThrows(
                    IOException.class,
                    () -> HttpClient.newHttpClient()
                            .send(HttpRequest.newBuilder(health).build(), HttpResponse.BodyHandlers.ofString()));
        }
    }

    @Test
    void filesThatAreNoCertificateOrNoSecretAreRefusedWithASentence() throws Exception {
        Path text = Files.writeString(folder.resolve("text.pem"), "not a certificate\n");
        Files.setPosixFilePermissions(text, PosixFilePermissions.fromString("rw-------"));
        WatchException noKey = assertThrows(WatchException.class, () -> watch(new Certificate(made.chain, text)));
        assertTrue(noKey.getMessage().contains("a PEM certificate chain and its PKCS 8 private key are expected"));
        WatchException noChain = assertThrows(WatchException.class, () -> watch(new Certificate(text, made.key)));
        assertTrue(noChain.getMessage().contains("a PEM certificate chain"), noChain.getMessage());
        Files.setPosixFilePermissions(made.key, PosixFilePermissions.fromString("rw-r--r--"));
        WatchException open = assertThrows(WatchException.class, () -> watch(new Certificate(made.chain, made.key)));
        assertTrue(open.getMessage().contains("chmod 600"), open.getMessage());
        WatchException missing = assertThrows(
                WatchException.class, () -> watch(new Certificate(made.chain, folder.resolve("none.key"))));
        assertTrue(missing.getMessage().contains("none.key"), missing.getMessage());
        IOException none = assertThrows(IOException.class, () -> Trust.only(text));
        assertTrue(none.getMessage().startsWith(text + ": no certificate"), none.getMessage());
    }
}
