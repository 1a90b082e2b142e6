package sunward.bench;

import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.SplittableRandom;
import java.util.concurrent.atomic.AtomicReference;
import javax.net.SocketFactory;
import sunward.profiles.Ancillary;
import sunward.profiles.ShoreInputs;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.Dive;
import sunward.watch.ShoreWatch;
import sunward.watch.WatchSettings;
import sunward.watch.health.Token;
import sunward.watch.live.Gateway;
import sunward.watch.live.LiveFleet;

/**
 * A fleet rehearsed live, as fast as it goes, into a watch that decodes and compares every dive, while somebody looks at its
 * page. Floats, watch and page share the machine.
 */
final class WatchFleet {
    /** Between two looks, ms. */
    private static final long LOOK_MS = 100;

    /** First looks of a fresh process, not counted. */
    private static final int WARM_UP = 50;

    private final Path folder;
    private final int floats;
    private final List<Double> pageMs = new ArrayList<>();
    private final List<Double> productMs = new ArrayList<>();

    WatchFleet(Path folder, int floats) {
        this.folder = folder;
        this.floats = floats;
    }

    void run() throws Exception {
        PlanFile file = PlanReader.defaults();
        PrintStream log = new PrintStream(OutputStream.nullOutputStream(), false, StandardCharsets.UTF_8);
        WatchSettings settings = WatchSettings.loopback(folder, 0, 0)
                .withInputs(new ShoreInputs(file.getPlan(), file.getCalibration(), Ancillary.climatology()))
                .withScene(file.getScene());
        try (ShoreWatch watch = ShoreWatch.start(settings, Clock.systemUTC(), log);
                Gateway gateway = new Gateway(
                        new InetSocketAddress(InetAddress.getLoopbackAddress(), watch.tcpPort()),
                        SocketFactory.getDefault(),
                        Token.read(folder.resolve("token")))) {
            AtomicReference<Exception> problem = new AtomicReference<>();
            Thread looker = new Thread(() -> {
                try {
                    look(watch);
                } catch (InterruptedException e) {
                    Thread.currentThread().interrupt();
                } catch (Exception e) {
                    problem.set(e);
                }
            });
            looker.start();
            LiveFleet.Outcome outcome = new LiveFleet(file, 1, floats, 0).fly(gateway, Dive.Progress.NONE);
            looker.interrupt();
            looker.join();
            if (problem.get() != null) {
                throw problem.get();
            }
            tell(watch, outcome);
        }
    }

    private void tell(ShoreWatch watch, LiveFleet.Outcome outcome) throws Exception {
        long start = System.nanoTime();
        while (watch.derived().lastMessageId() < watch.store().lastId()) {
            Thread.sleep(20);
        }
        if (watch.derived().allDives().size() != floats) {
            throw new IllegalStateException(
                    "dives=" + watch.derived().allDives().size() + " floats=" + floats);
        }
        figure("watch.fleet_floats", floats, "1");
        figure("watch.fleet_messages", outcome.messages(), "1");
        figure("watch.fleet_seconds", outcome.wallS(), "s");
        figure("watch.fleet_speed", outcome.speed(), "1");
        figure("watch.fleet_seconds_to_judge_the_rest", (System.nanoTime() - start) / 1e9, "s");
        spread("watch.fleet_page", pageMs);
        spread("watch.fleet_product", productMs);
    }

    /** Looks at the fleet, the health and one dive after the other, all through the flight. */
    private void look(ShoreWatch watch) throws Exception {
        HttpClient client = HttpClient.newHttpClient();
        SplittableRandom random = new SplittableRandom(1);
        for (int number = -WARM_UP; !Thread.interrupted(); number++) {
            long known = Math.max(1, watch.derived().totals()[3]);
            String dive = "api/dives/" + random.nextLong(1, known + 1) + "/1";
            String[] paths = {"", "api/fleet", "api/health", dive, "api/recent"};
            double page = ask(client, watch, paths[Math.floorMod(number, paths.length)]);
            double product = number % 10 == 0 ? ask(client, watch, dive + "/product") : -1;
            if (number >= 0) {
                pageMs.add(page);
            }
            if (number >= 0 && product >= 0) {
                productMs.add(product);
            }
            Thread.sleep(LOOK_MS);
        }
    }

    /** ms until the whole answer is here; an answer of the wrong kind ends the run. */
    private static double ask(HttpClient client, ShoreWatch watch, String path)
            throws IOException, InterruptedException {
        HttpRequest request = HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + watch.pagePort() + "/" + path))
                .build();
        long start = System.nanoTime();
        HttpResponse<byte[]> answer = client.send(request, HttpResponse.BodyHandlers.ofByteArray());
        double ms = (System.nanoTime() - start) / 1e6;
        if (answer.statusCode() != 200 && !(answer.statusCode() == 404 && path.contains("dives"))) {
            throw new IOException(path + ": " + answer.statusCode());
        }
        return ms;
    }

    private static void spread(String name, List<Double> values) {
        double[] sorted = values.stream().mapToDouble(Double::doubleValue).toArray();
        Arrays.sort(sorted);
        figure(name + "_answers", sorted.length, "1");
        figure(name + "_median_ms", sorted[sorted.length / 2], "ms");
        figure(name + "_p99_ms", sorted[sorted.length * 99 / 100], "ms");
        figure(name + "_most_ms", sorted[sorted.length - 1], "ms");
    }

    private static void figure(String name, double value, String unit) {
        System.out.println(String.format(Locale.ROOT, "figure %s %.4g %s", name, value, unit));
    }
}
