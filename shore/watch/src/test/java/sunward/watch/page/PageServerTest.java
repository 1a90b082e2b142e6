package sunward.watch.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.OutputStream;
import java.io.PrintStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.Clock;
import java.util.Base64;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import sunward.watch.MadeMessages;
import sunward.watch.ShoreWatch;
import sunward.watch.WatchException;
import sunward.watch.WatchSettings;

/** The page's server as a client with bad manners sees it. */
@Timeout(60)
class PageServerTest {
    @TempDir
    Path folder;

    private final List<byte[]> dive = MadeMessages.dive(5, 2, 10, 1);
    private final HttpClient http = HttpClient.newHttpClient();
    private ShoreWatch watch;
    private String token;

    @BeforeEach
    void open() throws Exception {
        watch = start(WatchSettings.loopback(folder, 0, 0));
        token = Files.readString(folder.resolve("token")).strip();
    }

    @AfterEach
    void close() {
        watch.close();
    }

    private static ShoreWatch start(WatchSettings settings) throws WatchException {
        PrintStream log = new PrintStream(OutputStream.nullOutputStream(), false, StandardCharsets.UTF_8);
        return ShoreWatch.start(settings, Clock.systemUTC(), log);
    }

    private HttpRequest.Builder to(String path) {
        return HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + watch.pagePort() + path));
    }

    private HttpResponse<String> send(HttpRequest.Builder request) throws Exception {
        return http.send(request.build(), HttpResponse.BodyHandlers.ofString());
    }

    private HttpResponse<String> post(String type, byte[] body) throws Exception {
        return send(to("/deliveries")
                .header("Content-Type", type)
                .header("Authorization", "Bearer " + token)
                .POST(BodyPublishers.ofByteArray(body)));
    }

    private static String json(byte[]... messages) {
        StringBuilder list = new StringBuilder();
        for (byte[] message : messages) {
            list.append(list.length() == 0 ? "" : ",")
                    .append('"')
                    .append(Base64.getEncoder().encodeToString(message))
                    .append('"');
        }
        return "{\"messages\":[" + list + "]}";
    }

    /** One raw exchange, for requests that a decent client refuses to send. */
    private String raw(String request) throws Exception {
        try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), watch.pagePort())) {
            socket.setSoTimeout(10_000);
            socket.getOutputStream().write(request.getBytes(StandardCharsets.ISO_8859_1));
            return new String(socket.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        }
    }

    @Test
    void takesOneRawMessageAndBatchesOnceTheyAreOnDisk() throws Exception {
        HttpResponse<String> one = post("application/octet-stream", dive.get(0));
        assertEquals(200, one.statusCode());
        assertEquals("{\"stored\":1,\"repeated\":0,\"refused\":[]}", one.body());
        HttpResponse<String> batch = post(
                "application/json; charset=utf-8",
                json(dive.get(0), dive.get(1), dive.get(2)).getBytes(StandardCharsets.UTF_8));
        assertEquals("{\"stored\":2,\"repeated\":1,\"refused\":[]}", batch.body());
        assertEquals(3, watch.store().lastId());
        assertEquals("http", watch.store().message(2).door());
    }

    @Test
    void badDeliveriesGetOneSentenceAndStoreNothing() throws Exception {
        Object[][] cases = {
            {"application/json", "no json", 400},
            {"application/json", "{\"messages\":[]}", 400},
            {"application/json", "{\"messages\":[1]}", 400},
            {"application/json", "{\"messages\":[\"***\"]}", 400},
            {"application/json", "[".repeat(100_000), 400},
            {"text/html", "x", 415},
            {"application/octet-stream", "", 503},
            {"application/octet-stream", "x".repeat(5 << 20), 413},
        };
        for (Object[] row : cases) {
            HttpResponse<String> answer = post((String) row[0], ((String) row[1]).getBytes(StandardCharsets.UTF_8));
            assertEquals(row[2], answer.statusCode(), row[0] + " " + answer.body());
            assertTrue(answer.body().contains("sentence"), answer.body());
            assertFalse(answer.body().contains("Exception"), answer.body());
        }
        assertEquals(0, watch.store().lastId());
    }

    @Test
    void withoutTheTokenNothingIsTakenAndNothingLearned() throws Exception {
        String first = null;
        for (String shown :
                List.of("", "Bearer wrong", "Bearer " + token + "x", "Basic !!!", "Basic " + token, token)) {
            HttpRequest.Builder request = to("/deliveries")
                    .header("Content-Type", "application/octet-stream")
                    .POST(BodyPublishers.ofByteArray(dive.get(0)));
            HttpResponse<String> answer = send(shown.isEmpty() ? request : request.header("Authorization", shown));
            assertEquals(401, answer.statusCode(), shown);
            first = first == null ? answer.body() : first;
            assertEquals(first, answer.body());
        }
        assertEquals(0, watch.store().lastId());
    }

    @Test
    void answersCarryTheHeadersThatKeepOtherSitesOut() throws Exception {
        for (String path : List.of("/", "/api/fleet", "/nothing", "/metrics")) {
            HttpResponse<String> answer = send(to(path));
            assertTrue(answer.headers()
                    .firstValue("Content-Security-Policy")
                    .orElse("")
                    .contains("default-src 'none'"));
            assertEquals(
                    "nosniff",
                    answer.headers().firstValue("X-Content-Type-Options").orElse(""));
            assertEquals(
                    "no-referrer",
                    answer.headers().firstValue("Referrer-Policy").orElse(""));
        }
        assertTrue(raw("GET /api/fleet HTTP/1.1\r\nHost: evil.example\r\nConnection: close\r\n\r\n")
                .startsWith("HTTP/1.1 421"));
        assertTrue(raw("GET /api/fleet HTTP/1.1\r\nHost: localhost:1\r\nConnection: close\r\n\r\n")
                .startsWith("HTTP/1.1 200"));
    }

    @Test
    void pathTricksAndOversizedHeadersFindNothing() throws Exception {
        for (String path : List.of(
                "/../token",
                "/..%2ftoken",
                "/%2e%2e/token",
                "/dives/5/2/..%2f..%2ftoken",
                "/dives/5/2/token",
                "/dives/-1/2/profile.nc",
                "/dives/99999999999/2/profile.nc",
                "/api/dives/5;x/2",
                "//etc/passwd",
                "/watch.css/../token",
                "/package-info.class",
                "/%00")) {
            String answer = raw("GET " + path + " HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
            assertTrue(answer.startsWith("HTTP/1.1 404") || answer.startsWith("HTTP/1.1 400"), path + ": " + answer);
            assertFalse(answer.contains(token));
        }
        String longHeader = raw("GET / HTTP/1.1\r\nHost: localhost\r\nX: " + "y".repeat(20_000) + "\r\n\r\n");
        assertTrue(longHeader.matches("(?s)HTTP/1\\.[01] 431.*") || longHeader.isEmpty(), longHeader);
        String longLine = raw("GET /" + "y".repeat(20_000) + " HTTP/1.1\r\nHost: localhost\r\n\r\n");
        assertTrue(longLine.matches("(?s)HTTP/1\\.[01] 414.*") || longLine.isEmpty(), longLine);
        assertEquals(200, send(to("/health")).statusCode());
    }

    @Test
    void metricsAreInThePrometheusTextFormat() throws Exception {
        assertEquals(200, post("application/octet-stream", dive.get(0)).statusCode());
        String metrics = send(to("/metrics")).body();
        assertTrue(metrics.contains("# TYPE sunward_deliveries_total counter\n"), metrics);
        assertTrue(metrics.contains("sunward_deliveries_total{door=\"http\",outcome=\"stored\"} 1\n"), metrics);
        assertTrue(metrics.contains("\nsunward_stored_messages 1\n"), metrics);
        for (String line : metrics.split("\n", -1)) {
            assertTrue(
                    line.isEmpty() || line.matches("# TYPE [a-z_]+ (counter|gauge)|[a-z_]+(\\{[^}]*})? -?[0-9]+"),
                    line);
        }
    }

    @Test
    void otherMachinesOnlyWithTlsAndSecretsOnlyForTheirOwner() throws Exception {
        WatchSettings local = WatchSettings.loopback(folder.resolve("other"), 0, 0);
        WatchSettings open = new WatchSettings(
                local.folder(),
                new InetSocketAddress("0.0.0.0", 0),
                local.http(),
                null,
                null,
                local.keys(),
                null,
                local.inputs(),
                null,
                null,
                local.limits(),
                null);
        assertTrue(assertThrows(WatchException.class, () -> start(open))
                .getMessage()
                .contains("only with TLS"));
        Path shared = Files.writeString(folder.resolve("shared-token"), "0123456789abcdef0123\n");
        Files.setPosixFilePermissions(shared, PosixFilePermissions.fromString("rw-r--r--"));
        WatchSettings leaky = new WatchSettings(
                local.folder(),
                local.tcp(),
                local.http(),
                null,
                shared,
                local.keys(),
                null,
                local.inputs(),
                null,
                null,
                local.limits(),
                null);
        assertTrue(assertThrows(WatchException.class, () -> start(leaky))
                .getMessage()
                .contains("chmod 600"));
    }
}
