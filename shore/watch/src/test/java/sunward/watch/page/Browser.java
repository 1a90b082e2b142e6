package sunward.watch.page;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.net.http.WebSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Base64;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionStage;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;

/**
 * A real headless Chromium with one page, driven through its DevTools protocol. Remembers every request, every console
 * message that is an error or a warning, and every script failure.
 */
final class Browser implements AutoCloseable {
    private static final ObjectMapper JSON = new ObjectMapper();
    private static final long WAIT_MS = 20_000;

    private final Process process;
    private final List<String> requests = Collections.synchronizedList(new ArrayList<>());
    private final List<String> problems = Collections.synchronizedList(new ArrayList<>());
    private final Map<Integer, CompletableFuture<JsonNode>> waiting = new ConcurrentHashMap<>();
    private final AtomicInteger number = new AtomicInteger();
    private WebSocket socket;

    private Browser(Process process) {
        this.process = process;
    }

    /** The browser on this machine, or null. */
    static Path find() {
        for (String folder : System.getenv("PATH").split(":", -1)) {
            Path file = Path.of(folder, "chromium");
            if (Files.isExecutable(file)) {
                return file;
            }
        }
        return null;
    }

    static Browser start(Path chromium, Path profile) throws Exception {
        Process process = new ProcessBuilder(
                        chromium.toString(),
                        "--headless",
                        "--no-sandbox",
                        "--disable-gpu",
                        "--disable-quic",
                        "--no-first-run",
                        "--disable-background-networking",
                        "--disable-component-update",
                        "--disable-sync",
                        "--disable-dev-shm-usage",
                        "--remote-debugging-port=0",
                        "--user-data-dir=" + profile,
                        "about:blank")
                .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                .redirectError(ProcessBuilder.Redirect.DISCARD)
                .start();
        Browser browser = new Browser(process);
        try {
            browser.connect(profile.resolve("DevToolsActivePort"));
            return browser;
        } catch (Exception e) {
            browser.close();
            throw e;
        }
    }

    private void connect(Path portFile) throws Exception {
        long end = System.currentTimeMillis() + WAIT_MS;
        while (!Files.exists(portFile) || Files.readAllLines(portFile).size() < 2) {
            if (System.currentTimeMillis() > end) {
                throw new IOException("chromium did not open its debugging port");
            }
            Thread.sleep(50);
        }
        int port = Integer.parseInt(Files.readAllLines(portFile).get(0));
        HttpClient http = HttpClient.newHttpClient();
        HttpRequest list = HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + port + "/json/list"))
                .build();
        String address = null;
        while (address == null) {
            for (JsonNode target : JSON.readTree(
                    http.send(list, HttpResponse.BodyHandlers.ofString()).body())) {
                if (target.path("type").asText().equals("page")) {
                    address = target.path("webSocketDebuggerUrl").asText();
                }
            }
        }
        socket = http.newWebSocketBuilder()
                .buildAsync(URI.create(address), new Listener())
                .get(20, TimeUnit.SECONDS);
        for (String domain : List.of("Page", "Runtime", "Log", "Network")) {
            call(domain + ".enable", Map.of());
        }
    }

    private final class Listener implements WebSocket.Listener {
        private final StringBuilder text = new StringBuilder();

        @Override
        public CompletionStage<?> onText(WebSocket from, CharSequence part, boolean last) {
            text.append(part);
            if (last) {
                take(text.toString());
                text.setLength(0);
            }
            from.request(1);
            return null;
        }
    }

    private void take(String text) {
        try {
            JsonNode message = JSON.readTree(text);
            if (message.has("id")) {
                waiting.remove(message.get("id").asInt()).complete(message);
                return;
            }
            JsonNode parameters = message.path("params");
            switch (message.path("method").asText()) {
                case "Network.requestWillBeSent" ->
                    requests.add(parameters.path("request").path("url").asText());
                case "Runtime.exceptionThrown" ->
                    problems.add(parameters.path("exceptionDetails").toString());
                case "Runtime.consoleAPICalled" -> {
                    if (!parameters.path("type").asText().equals("log")) {
                        problems.add(parameters.toString());
                    }
                }
                case "Log.entryAdded" -> problems.add(parameters.path("entry").toString());
                default -> {
                    // Other events do not matter here.
                }
            }
        } catch (IOException e) {
            problems.add("not JSON: " + text);
        }
    }

    private JsonNode call(String method, Map<String, ?> parameters) throws Exception {
        ObjectNode request = JSON.createObjectNode();
        int id = number.incrementAndGet();
        request.put("id", id).put("method", method).set("params", JSON.valueToTree(parameters));
        CompletableFuture<JsonNode> answer = new CompletableFuture<>();
        waiting.put(id, answer);
        socket.sendText(request.toString(), true).get(20, TimeUnit.SECONDS);
        JsonNode result = answer.get(60, TimeUnit.SECONDS);
        if (result.has("error")) {
            throw new IOException(method + ": " + result.get("error"));
        }
        return result.path("result");
    }

    void open(String url) throws Exception {
        call("Page.navigate", Map.of("url", url));
    }

    /** Runs a script before those of every page that is opened from now on. */
    void before(String script) throws Exception {
        call("Page.addScriptToEvaluateOnNewDocument", Map.of("source", script));
    }

    /** The value of a script expression; a promise is waited for. */
    JsonNode evaluate(String expression) throws Exception {
        JsonNode result =
                call("Runtime.evaluate", Map.of("expression", expression, "returnByValue", true, "awaitPromise", true));
        if (result.has("exceptionDetails")) {
            throw new IOException(expression + ": " + result.get("exceptionDetails"));
        }
        return result.path("result").path("value");
    }

    String text(String expression) throws Exception {
        return evaluate("String(" + expression + ")").asText();
    }

    /** Waits until an expression is true. */
    void await(String expression) throws Exception {
        long end = System.currentTimeMillis() + WAIT_MS;
        while (!evaluate("Boolean(" + expression + ")").asBoolean()) {
            if (System.currentTimeMillis() > end) {
                throw new AssertionError("never true: " + expression + "; page: " + text("document.body.innerText")
                        + "; problems: " + problems);
            }
            Thread.sleep(50);
        }
    }

    void size(int width, int height) throws Exception {
        call(
                "Emulation.setDeviceMetricsOverride",
                Map.of("width", width, "height", height, "deviceScaleFactor", 1, "mobile", width < 600));
    }

    /** A picture of the whole page. */
    void screenshot(Path file) throws Exception {
        JsonNode picture = call("Page.captureScreenshot", Map.of("format", "png", "captureBeyondViewport", true));
        Files.createDirectories(file.getParent());
        Files.write(file, Base64.getDecoder().decode(picture.path("data").asText()));
    }

    /** From now on the page looks as it prints, or as it does on the screen. */
    void printed(boolean yes) throws Exception {
        call("Emulation.setEmulatedMedia", Map.of("media", yes ? "print" : "screen"));
    }

    void press(String key, int code) throws Exception {
        for (String type : List.of("keyDown", "keyUp")) {
            call(
                    "Input.dispatchKeyEvent",
                    Map.of(
                            "type",
                            type,
                            "key",
                            key,
                            "code",
                            key,
                            "windowsVirtualKeyCode",
                            code,
                            "text",
                            key.equals("Enter") ? "\r" : ""));
        }
    }

    List<String> requests() {
        return List.copyOf(requests);
    }

    List<String> problems() {
        return List.copyOf(problems);
    }

    void forgetProblems() {
        problems.clear();
    }

    @Override
    public void close() {
        if (socket != null) {
            socket.abort();
        }
        process.descendants().forEach(ProcessHandle::destroyForcibly);
        process.destroyForcibly();
        try {
            process.waitFor(10, TimeUnit.SECONDS);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }
}
