package sunward.watch.page;

import io.vertx.core.Vertx;
import io.vertx.core.VertxOptions;
import io.vertx.core.file.FileSystemOptions;
import io.vertx.core.http.HttpServer;
import io.vertx.core.http.HttpServerOptions;
import io.vertx.core.net.HostAndPort;
import io.vertx.core.net.PemKeyCertOptions;
import io.vertx.ext.web.Router;
import io.vertx.ext.web.RoutingContext;
import io.vertx.ext.web.handler.BodyHandler;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.util.Base64;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.SortedSet;
import java.util.concurrent.CompletionException;
import java.util.concurrent.TimeUnit;
import sunward.planning.LightRamp;
import sunward.watch.dives.DiveKey;
import sunward.watch.dives.Follower;
import sunward.watch.health.EventLog;
import sunward.watch.health.Metrics;
import sunward.watch.health.Token;
import sunward.watch.intake.Intake;
import sunward.watch.intake.TcpDoor.Certificate;
import sunward.watch.store.StoreException;

/**
 * The server of the page.
 *
 * <p>On a loopback address whoever is on this machine may look, and only under a loopback name, so that no other site's script
 * can; elsewhere every request needs the token, as a bearer or as the password of basic authentication. Deliveries need the
 * token everywhere.
 */
public final class PageServer implements AutoCloseable {
    private static final Set<String> LOOPBACK_NAMES = Set.of("localhost", "127.0.0.1", "[::1]", "::1");

    /** What the server stands on. */
    public record Surroundings(
            Token token, Intake intake, Metrics metrics, EventLog log, Follower follower, DiveDesk desk) {}

    private final Surroundings around;
    private final Vertx vertx;
    private final boolean loopback;
    private final boolean tls;
    private final LiveEvents events = new LiveEvents();
    private HttpServer server;

    private PageServer(Surroundings around, Vertx vertx, boolean loopback, boolean tls) {
        this.around = around;
        this.vertx = vertx;
        this.loopback = loopback;
        this.tls = tls;
    }

    /**
     * Opens the page.
     *
     * @param certificate null: without TLS
     * @throws IOException with one sentence when the port or the certificate cannot be used
     */
    public static PageServer open(InetSocketAddress address, Certificate certificate, Surroundings around)
            throws IOException {
        Vertx vertx = Vertx.vertx(new VertxOptions()
                .setEventLoopPoolSize(2)
                .setWorkerPoolSize(4)
                .setFileSystemOptions(
                        new FileSystemOptions().setFileCachingEnabled(false).setClassPathResolvingEnabled(false)));
        PageServer page = new PageServer(around, vertx, address.getAddress().isLoopbackAddress(), certificate != null);
        HttpServerOptions options = new HttpServerOptions()
                .setHost(address.getAddress().getHostAddress())
                .setPort(address.getPort())
                .setMaxHeaderSize(8192)
                .setMaxInitialLineLength(2048)
                .setIdleTimeout(60)
                .setIdleTimeoutUnit(TimeUnit.SECONDS)
                .setHttp2ClearTextEnabled(false)
                .setCompressionSupported(true);
        if (certificate != null) {
            options.setSsl(true)
                    .setKeyCertOptions(new PemKeyCertOptions()
                            .setCertPath(certificate.chain().toString())
                            .setKeyPath(certificate.key().toString()));
        }
        try {
            page.server = vertx.createHttpServer(options)
                    .requestHandler(page.routes())
                    .listen()
                    .toCompletionStage()
                    .toCompletableFuture()
                    .join();
        } catch (CompletionException e) {
            page.close();
            throw new IOException(
                    "Port " + address.getPort() + " on " + address.getHostString() + " cannot be used for the page ("
                            + e.getCause().getMessage() + "); give another port.",
                    e);
        }
        page.events.start(vertx);
        around.follower.listen(page.events::changed);
        return page;
    }

    /** The port that is listened on. */
    public int port() {
        return server.actualPort();
    }

    /** Tells open pages that these dives changed; any thread. */
    public void changed(SortedSet<DiveKey> dives) {
        events.changed(dives);
    }

    private Router routes() {
        Router router = Router.router(vertx);
        router.route().handler(this::guard);
        new Assets()
                .all()
                .forEach((path, asset) -> router.get(path).handler(request -> {
                    request.response().putHeader("Cache-Control", "no-cache");
                    Answers.bytes(request, 200, asset.type(), asset.bytes());
                }));
        DiveDesk desk = around.desk;
        router.get("/api/fleet").handler(request -> answer(request, desk.views()::fleet));
        router.get("/api/recent").handler(request -> answer(request, desk.views()::recent));
        router.get("/api/health").handler(request -> answer(request, desk.views()::health));
        router.get("/api/dives/:float/:dive").handler(request -> answer(request, () -> desk.dive(key(request))));
        router.get("/api/dives/:float/:dive/product")
                .handler(request -> answer(request, () -> desk.product(key(request))));
        router.get("/api/ramp").handler(request -> Answers.json(request, 200, LightRamp.colours(256)));
        router.get("/dives/:float/:dive/:file").handler(this::download);
        router.get("/events").handler(this::join);
        router.get("/metrics")
                .handler(request -> Answers.bytes(
                        request,
                        200,
                        "text/plain; version=0.0.4; charset=utf-8",
                        around.metrics.text().getBytes(StandardCharsets.UTF_8)));
        router.get("/health").handler(this::health);
        // The token comes first: of a request without it the body is not even read.
        router.post("/deliveries").handler(this::requireToken);
        router.post("/deliveries").handler(BodyHandler.create(false).setBodyLimit(HttpDeliveries.BODY_BYTES));
        router.post("/deliveries").handler(new HttpDeliveries(around.intake)::accept);
        router.errorHandler(404, request -> Answers.fail(request, 404, "There is nothing at this address."));
        router.errorHandler(405, request -> Answers.fail(request, 405, "This address does not take such requests."));
        router.errorHandler(
                413,
                request -> Answers.fail(
                        request,
                        413,
                        "A request holds " + HttpDeliveries.BODY_BYTES + " bytes at most; send smaller batches."));
        router.errorHandler(500, request -> {
            around.log.warn("page_failed", "path", request.request().path(), "problem", request.failure());
            Answers.fail(request, 500, "The page could not be made; the watch's log says more.");
        });
        return router;
    }

    private void guard(RoutingContext request) {
        request.response()
                .putHeader(
                        "Content-Security-Policy",
                        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self';"
                                + " base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
                .putHeader("X-Content-Type-Options", "nosniff")
                .putHeader("Referrer-Policy", "no-referrer")
                .putHeader("Cross-Origin-Opener-Policy", "same-origin")
                .putHeader("Cross-Origin-Resource-Policy", "same-origin")
                .putHeader("Cache-Control", "no-store");
        if (tls) {
            request.response().putHeader("Strict-Transport-Security", "max-age=31536000");
        }
        if (loopback ? loopbackName(request) : tokenShown(request)) {
            request.next();
        } else if (loopback) {
            Answers.fail(request, 421, "This page is served to this machine only, as localhost.");
        } else {
            refuse(request);
        }
    }

    private static boolean loopbackName(RoutingContext request) {
        HostAndPort named = request.request().authority();
        return named != null && LOOPBACK_NAMES.contains(named.host().toLowerCase(Locale.ROOT));
    }

    private void requireToken(RoutingContext request) {
        if (tokenShown(request)) {
            request.next();
        } else {
            around.metrics.counter("sunward_http_refused_total").increment();
            refuse(request);
        }
    }

    /** Says nothing but that a token is wanted, and does not read what the client still has to say. */
    private void refuse(RoutingContext request) {
        request.response().putHeader("WWW-Authenticate", "Basic realm=\"watch\", charset=\"UTF-8\"");
        request.response().putHeader("Connection", "close");
        Answers.fail(request, 401, "A token is needed.");
    }

    private boolean tokenShown(RoutingContext request) {
        String shown = request.request().getHeader("Authorization");
        if (shown == null) {
            return false;
        }
        if (shown.startsWith("Bearer ")) {
            return around.token.matches(shown.substring("Bearer ".length()).strip());
        }
        if (!shown.startsWith("Basic ")) {
            return false;
        }
        try {
            byte[] pair = Base64.getDecoder()
                    .decode(shown.substring("Basic ".length()).strip());
            String text = new String(pair, StandardCharsets.ISO_8859_1);
            return around.token.matches(text.substring(text.indexOf(':') + 1));
        } catch (IllegalArgumentException e) {
            return false;
        }
    }

    /** Makes a view on a worker thread; a view of null is not there. */
    private interface View {
        Object make() throws StoreException;
    }

    // What goes wrong ends in the request's own failure handler.
    @SuppressWarnings("FutureReturnValueIgnored")
    private void answer(RoutingContext request, View view) {
        vertx.executeBlocking(view::make, false).onComplete(made -> {
            if (made.failed()) {
                request.fail(made.cause());
            } else if (made.result() == null) {
                Answers.fail(request, 404, "There is no such dive here.");
            } else {
                Answers.json(request, 200, made.result());
            }
        });
    }

    @SuppressWarnings("FutureReturnValueIgnored")
    private void download(RoutingContext request) {
        DiveKey key = key(request);
        String name = request.pathParam("file");
        vertx.executeBlocking(() -> around.desk.file(key, name), false).onComplete(made -> {
            if (made.failed()) {
                request.fail(made.cause());
            } else if (made.result() == null) {
                Answers.fail(request, 404, "There is no such file of this dive here.");
            } else {
                request.response()
                        .putHeader(
                                "Content-Disposition",
                                "attachment; filename=\"f" + key.floatNumber() + "-d" + key.dive() + "-"
                                        + made.result().name() + "\"");
                Answers.bytes(request, 200, made.result().type(), made.result().bytes());
            }
        });
    }

    /** The dive that the path names; a name that is none names a dive that nobody has. */
    private static DiveKey key(RoutingContext request) {
        return new DiveKey(number(request.pathParam("float")), number(request.pathParam("dive")));
    }

    private static int number(String text) {
        return text.matches("[0-9]{1,5}") ? Integer.parseInt(text) : -1;
    }

    private void join(RoutingContext request) {
        if (!events.join(request.response())) {
            Answers.fail(request, 503, "Too many pages are open; close one.");
        }
    }

    private void health(RoutingContext request) {
        String trouble = around.desk.trouble();
        Answers.json(request, trouble.isEmpty() ? 200 : 503, Map.of("well", trouble.isEmpty(), "trouble", trouble));
    }

    @Override
    public void close() {
        vertx.close().toCompletionStage().toCompletableFuture().join();
    }
}
