package sunward.watch.alerts;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.net.URI;
import java.net.URISyntaxException;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import sunward.watch.health.EventLog;
import sunward.watch.health.Metrics;
import sunward.watch.health.Token;
import sunward.watch.health.Trust;

/**
 * Tells another machine of alerts, a person's mail or message gateway at the other end: one {@code POST} each, whose body is one
 * line of JSON. At most {@value #WAITING} wait, at most {@value #TRIES} tries each, and nothing here makes anybody else wait.
 * Redirects are not followed: the token goes to the address given and nowhere else.
 */
public final class CallOut implements AutoCloseable {
    /** Alerts that wait; of more the oldest are let go, and counted. The page and the log have them all. */
    static final int WAITING = 256;

    private static final int TRIES = 5;

    /** A pause before the second try, and after each a longer one. */
    private static final int PAUSE_FACTOR = 4;

    private static final Set<String> LOOPBACK_NAMES = Set.of("localhost", "127.0.0.1", "[::1]");

    private static final ObjectMapper JSON = new ObjectMapper();

    /**
     * Whom to call.
     *
     * @param uri https, or http on this machine
     * @param tokenFile the secret shown as a bearer token; null: none
     * @param trustFile certificates to trust instead of the machine's own list, PEM; null: that list
     */
    public record Address(URI uri, Path tokenFile, Path trustFile) {
        /** Reads an address. The exception's message is one sentence. */
        public static URI uri(String text) throws IOException {
            try {
                URI uri = new URI(text);
                boolean secure = "https".equalsIgnoreCase(uri.getScheme());
                boolean local = "http".equalsIgnoreCase(uri.getScheme())
                        && uri.getHost() != null
                        && LOOPBACK_NAMES.contains(uri.getHost());
                if (uri.getHost() == null || uri.getUserInfo() != null || uri.getFragment() != null) {
                    throw new IOException(
                            text + ": expected an address such as https://mail.example.org/alerts, without"
                                    + " name or password in it; give the secret by a file");
                }
                if (!secure && !local) {
                    throw new IOException(text + ": alerts leave this machine by https only; give such an address");
                }
                return uri;
            } catch (URISyntaxException e) {
                throw new IOException(text + ": expected an address such as https://mail.example.org/alerts", e);
            }
        }
    }

    /**
     * How long to wait.
     *
     * @param answerMs for a whole answer
     * @param pauseMs before the second try
     */
    record Patience(long answerMs, long pauseMs) {}

    private final URI uri;
    private final Token token;
    private final HttpClient client;
    private final Patience patience;
    private final Clock clock;
    private final EventLog log;
    private final Metrics metrics;
    private final BlockingQueue<byte[]> waiting = new ArrayBlockingQueue<>(WAITING);
    private final Thread thread = new Thread(this::run, "alert-call-out");
    private volatile boolean closing;

    CallOut(Address address, Patience patience, Clock clock, EventLog log, Metrics metrics) throws IOException {
        this.uri = address.uri();
        this.token = address.tokenFile() == null ? null : Token.read(address.tokenFile());
        this.patience = patience;
        this.clock = clock;
        this.log = log;
        this.metrics = metrics;
        HttpClient.Builder builder = HttpClient.newBuilder()
                .version(HttpClient.Version.HTTP_1_1)
                .followRedirects(HttpClient.Redirect.NEVER)
                .connectTimeout(Duration.ofMillis(patience.answerMs()));
        if (address.trustFile() != null) {
            builder.sslContext(Trust.only(address.trustFile()));
        }
        this.client = builder.build();
        metrics.gauge("sunward_alerts_waiting", waiting::size);
        thread.setDaemon(true);
        thread.start();
    }

    /**
     * Starts.
     *
     * @throws IOException with one sentence when a file of the address cannot be used
     */
    public static CallOut open(Address address, Clock clock, EventLog log, Metrics metrics) throws IOException {
        return new CallOut(address, new Patience(10_000, 1000), clock, log, metrics);
    }

    /** Tells of one alert some time. Never waits, never throws. */
    void send(Alert alert) {
        byte[] line = line(alert);
        while (!waiting.offer(line)) {
            if (waiting.poll() != null) {
                count("let_go");
            }
        }
    }

    /** One line: {@code id}, {@code time}, {@code what}, {@code why} and, of a dive, which. */
    private byte[] line(Alert alert) {
        Map<String, Object> line = new LinkedHashMap<>();
        line.put("id", alert.id());
        line.put("time", Instant.now(clock).truncatedTo(ChronoUnit.SECONDS).toString());
        line.put("what", alert.what());
        line.put("why", alert.why());
        if (alert.dive() != null) {
            line.put("float", alert.dive().floatNumber());
            line.put("dive", alert.dive().dive());
        }
        try {
            byte[] json = JSON.writeValueAsBytes(line);
            byte[] ended = Arrays.copyOf(json, json.length + 1);
            ended[json.length] = '\n';
            return ended;
        } catch (JsonProcessingException e) {
            throw new IllegalStateException("a map of texts and numbers is JSON", e);
        }
    }

    private void run() {
        try {
            while (!closing) {
                byte[] line = waiting.poll(1, TimeUnit.SECONDS);
                if (line != null) {
                    deliver(line);
                }
            }
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    private void deliver(byte[] line) throws InterruptedException {
        String problem = "";
        long pause = patience.pauseMs();
        for (int tried = 0; tried < TRIES && !closing; tried++) {
            if (tried > 0) {
                Thread.sleep(pause);
                pause *= PAUSE_FACTOR;
            }
            problem = post(line);
            if (problem.isEmpty()) {
                count("called");
                return;
            }
            count("failed_try");
        }
        count("given_up");
        log.warn("alert_not_called_out", "to", uri.getHost(), "sentence", problem);
    }

    /** One try; what went wrong, or nothing. The whole answer must be there in time, however slowly it dribbles in. */
    private String post(byte[] line) throws InterruptedException {
        HttpRequest.Builder request = HttpRequest.newBuilder(uri)
                .timeout(Duration.ofMillis(patience.answerMs()))
                .header("Content-Type", "application/json")
                .POST(HttpRequest.BodyPublishers.ofByteArray(line));
        if (token != null) {
            request.header("Authorization", "Bearer " + token.reveal());
        }
        CompletableFuture<HttpResponse<Void>> answer =
                client.sendAsync(request.build(), HttpResponse.BodyHandlers.discarding());
        try {
            int status = answer.get(patience.answerMs(), TimeUnit.MILLISECONDS).statusCode();
            if (status >= 200 && status < 300) {
                return "";
            }
            return status >= 300 && status < 400
                    ? "The answer sends to another address (" + status + "), which is not followed; give that address."
                    : "The answer is " + status + ".";
        } catch (TimeoutException e) {
            answer.cancel(true);
            return "No whole answer within " + patience.answerMs() + " ms.";
        } catch (ExecutionException e) {
            return "No answer (" + e.getCause().getClass().getSimpleName() + ": "
                    + e.getCause().getMessage() + ").";
        }
    }

    private void count(String outcome) {
        metrics.counter("sunward_alerts_total{outcome=\"" + outcome + "\"}").increment();
    }

    /** Stops; what was not delivered yet is told again after the next start, as long as it stands. */
    @Override
    public void close() {
        closing = true;
        thread.interrupt();
        try {
            thread.join(5000);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }
}
