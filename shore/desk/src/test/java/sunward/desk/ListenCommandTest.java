package sunward.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.Arrays;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

@Timeout(120)
class ListenCommandTest {
    @TempDir
    Path folder;

    /** A plan of a few wavelengths: the whole way in a few seconds. */
    private Path plan() throws IOException {
        return Files.writeString(
                folder.resolve("plan.yaml"), "plan: {fly_wavelengths_nm: [412, 443, 490, 510, 555, 620, 670]}\n");
    }

    /** What a newcomer does: listen, rehearse into it, look, stop, check, copy. */
    @Test
    void aFloatRehearsedIntoAWatchIsThereAfterItsStopAndTheStoreIsSound() throws Exception {
        String plan = plan().toString();
        String store = folder.resolve("watch").toString();
        Process process = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-Xmx1g",
                        "-cp",
                        InterruptTest.classPath(),
                        Sunward.class.getName(),
                        "listen",
                        "--dir",
                        store,
                        "--plan",
                        plan,
                        "--port",
                        "0",
                        "--page-port",
                        "0",
                        "--json")
                .redirectError(folder.resolve("log").toFile())
                .start();
        try (BufferedReader out =
                new BufferedReader(new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8))) {
            String line = out.readLine();
            assertNotNull(line, () -> log());
            JsonNode told = new ObjectMapper().readTree(line);
            String where = "127.0.0.1:" + told.get("port").asInt();
            String token = folder.resolve("watch").resolve("token").toString();

            Run live = Run.of("rehearse", "--plan", plan, "--live", where, "--token", token, "--speed", "0", "--json");
            assertEquals(0, live.exitCode(), live::toString);
            Files.writeString(folder.resolve("strange"), "0123456789abcdef-of-another-watch\n");
            Files.setPosixFilePermissions(folder.resolve("strange"), PosixFilePermissions.fromString("rw-------"));
            Run.of(
                            "rehearse",
                            "--plan",
                            plan,
                            "--live",
                            where,
                            "--token",
                            folder.resolve("strange").toString(),
                            "--speed",
                            "0")
                    .failedWith(2, "look whether this token is that watch's");
            HttpResponse<String> fleet = HttpClient.newHttpClient()
                    .send(
                            HttpRequest.newBuilder(URI.create(told.get("page").asText() + "api/fleet"))
                                    .build(),
                            HttpResponse.BodyHandlers.ofString());
            assertTrue(fleet.body().contains("\"float_number\":1"), fleet.body());
            Run.of("listen", "--dir", store, "--port", "0", "--page-port", "0")
                    .failedWith(2, "another watch is using this folder");
            Run.of("rebuild", "--dir", store, "--plan", plan).failedWith(2, "another watch is using this folder");
            String copy = folder.resolve("copy.sqlite").toString();
            assertEquals(0, Run.of("listen", "--dir", store, "--backup", copy).exitCode());
            Run.of("listen", "--dir", store, "--backup", copy).failedWith(2, "the file exists already");
            assertTrue(Files.size(folder.resolve("copy.sqlite")) > 0);
            process.destroy();
            assertEquals(143, process.waitFor(), "128 and the signal's number, as shells tell it");
            long distinct = live.json().get("messages").asLong()
                    - live.json().get("repeated").asLong();
            Run check = Run.of("rebuild", "--dir", store, "--plan", plan, "--check");
            assertEquals(0, check.exitCode(), check::toString);
            assertEquals("The store is sound", check.out().strip());
            Run rebuilt = Run.of("rebuild", "--dir", store, "--plan", plan, "--json");
            assertEquals(distinct, rebuilt.json().get("messages").asLong());
        } finally {
            process.destroyForcibly();
        }
        assertTrue(log().contains("watch_started"), this::log);
        assertFalse(log().contains("\tat "), this::log);
    }

    private String log() {
        try {
            return Files.readString(folder.resolve("log"));
        } catch (IOException e) {
            return e.toString();
        }
    }

    @Test
    void whatCannotBeUsedIsSaidInOneSentence() throws Exception {
        String store = folder.resolve("watch").toString();
        Path open = Files.writeString(folder.resolve("open"), "0123456789abcdef0123\n");
        Files.setPosixFilePermissions(open, PosixFilePermissions.fromString("rw-r--r--"));
        Path file = Files.writeString(folder.resolve("file"), "x");
        try (ServerSocket taken = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            String port = String.valueOf(taken.getLocalPort());
            listen(store, "--port", port).failedWith(2, "Port " + port, "give another port");
            listen(store, "--port", "0", "--page-port", port).failedWith(2, "Port " + port, "give another port");
        }
        listen(store, "--port", "70000").failedWith(2, "--port 70000", "0 (any free one) to 65535");
        listen(store, "--token", open.toString()).failedWith(2, "chmod 600");
        listen(store, "--token", folder.resolve("none").resolve("token").toString())
                .failedWith(2, "there is no folder");
        listen(store, "--key", folder.resolve("none").toString()).failedWith(2, "none");
        listen(store, "--plan", folder.resolve("none.yaml").toString()).failedWith(2, "none.yaml");
        listen(store, "--tls-cert", file.toString()).failedWith(2, "belong together");
        listen(store, "--address", "0.0.0.0").failedWith(2, "only with TLS");
        listen(store, "--address", "no such host").failedWith(2, "no such address");
        listen(store, "--alert-token", open.toString()).failedWith(2, "--alert-url, which is missing");
        listen(store, "--alert-url", "http://mail.example.org/").failedWith(2, "by https only");
        listen(store, "--alert-url", "https://mail.example.org/", "--alert-token", open.toString())
                .failedWith(2, "chmod 600");
        listen(store, "--alert-url", "https://mail.example.org/", "--alert-trust", file.toString())
                .failedWith(2, "no certificate in PEM");
        listen(file.toString()).failedWith(2, "the folder cannot be used (a file of that name is in the way)");
        listen(store, "--inbox", file.toString()).failedWith(2, file.toString(), "Not a directory");
        Files.createDirectories(Path.of(store));
        listen(store, "--inbox", store + "/../watch").failedWith(2, "is the watch's own");
        Path mine = Files.writeString(folder.resolve("mine"), "1234567890abcdef1234\n");
        Files.setPosixFilePermissions(mine, PosixFilePermissions.fromString("rw-------"));
        listen(store, "--token", mine.toString(), "--inbox", folder.toString())
                .failedWith(2, "mine is the watch's own");
        assertTrue(Files.exists(mine), "left where it was");
        Run.of("listen", "--dir", folder.resolve("nowhere").toString(), "--backup", "x.sqlite")
                .failedWith(2, "there is no store to back up");
        Run.of("rebuild", "--dir", folder.resolve("nowhere").toString()).failedWith(2, "no watch has kept messages");
    }

    /** Ports are free ones unless the case names its own. */
    private static Run listen(String store, String... more) {
        String[] all = new String[more.length + 3 + 4];
        String[] first = {"listen", "--dir", store};
        System.arraycopy(first, 0, all, 0, 3);
        System.arraycopy(more, 0, all, 3, more.length);
        int at = 3 + more.length;
        for (String port : new String[] {"--port", "--page-port"}) {
            if (!Arrays.asList(more).contains(port)) {
                all[at++] = port;
                all[at++] = "0";
            }
        }
        return Run.of(Arrays.copyOf(all, at));
    }
}
