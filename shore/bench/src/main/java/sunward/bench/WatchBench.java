package sunward.bench;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStream;
import java.io.PrintStream;
import java.net.HttpURLConnection;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.time.Clock;
import java.util.Arrays;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import javax.net.SocketFactory;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.Kind;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.schema.DeliveryOutcome;
import sunward.protocol.schema.DeliveryReceipt;
import sunward.watch.ShoreWatch;
import sunward.watch.WatchSettings;
import sunward.watch.health.Token;
import sunward.watch.intake.DeliveryClient;
import sunward.watch.store.Database;
import sunward.watch.store.MessageStore;

/**
 * The watch under load, gateways, watch and yardstick on one machine. Arguments, each with its value; what is 0 is left out:
 * {@code messages=100000 turns=3} against bare batched inserts of the same rows with the same durability, in turns in one
 * process, and the time from door to page; {@code many=0} memory while so many messages come; {@code floats=0} so many floats
 * rehearsed live while the page is looked at; {@code permutations=0 seed=1} deliveries of the same dives in other orders;
 * {@code products=0} of them with product files.
 */
public final class WatchBench {
    private static final int GATEWAYS = 4;

    /** Rows in a commit of the yardstick. */
    private static final int BATCH = 1000;

    private static final int LATENCY_SAMPLES = 300;

    private final Path folder;
    private int turn;

    private WatchBench(Path folder) {
        this.folder = folder;
    }

    /** Runs everything. */
    public static void main(String[] arguments) throws Exception {
        Map<String, Integer> asked = new LinkedHashMap<>(Map.of(
                "messages", 100_000, "turns", 3, "many", 0, "floats", 0, "permutations", 0, "seed", 1, "products", 0));
        for (String argument : arguments) {
            String[] pair = argument.split("=", 2);
            if (pair.length != 2 || !asked.containsKey(pair[0]) || !pair[1].matches("[0-9]{1,8}")) {
                System.err.println(
                        argument + ": expected one of " + asked.keySet() + " and a number, as in floats=1000");
                System.exit(2);
            }
            asked.put(pair[0], Integer.parseInt(pair[1]));
        }
        Path folder = Files.createTempDirectory("sunward-bench-");
        try {
            WatchBench bench = new WatchBench(folder);
            if (asked.get("messages") > 0) {
                bench.throughput(asked.get("messages"), asked.get("turns"));
                bench.latency();
            }
            if (asked.get("many") > 0) {
                bench.memory(asked.get("many"));
            }
            if (asked.get("floats") > 0) {
                new WatchFleet(Files.createDirectory(folder.resolve("fleet")), asked.get("floats")).run();
            }
            WatchOrders orders = new WatchOrders(folder, Arrays.asList(messages(3 * 12, 12, 7)));
            if (asked.get("permutations") > 0) {
                orders.digests(asked.get("permutations"), asked.get("seed"));
            }
            if (asked.get("products") > 0) {
                orders.products(asked.get("products"));
            }
        } finally {
            try (Stream<Path> all = Files.walk(folder)) {
                for (Path path : all.sorted(Comparator.reverseOrder()).toList()) {
                    Files.delete(path);
                }
            }
        }
    }

    private void throughput(int messages, int turns) throws Exception {
        double[] bare = new double[turns];
        double[] watch = new double[turns];
        double[] shares = new double[turns];
        for (int i = -1; i < turns; i++) {
            byte[][] some = messages(messages, i);
            double bareRate = bareInserts(some);
            double watchRate = throughWatch(some);
            if (i >= 0) {
                bare[i] = bareRate;
                watch[i] = watchRate;
                shares[i] = watchRate / bareRate;
            }
        }
        figure("watch.bare_inserts_per_second", median(bare), "1/s");
        figure("watch.acks_per_second", median(watch), "1/s");
        figure("watch.share_of_bare_inserts", median(shares), "1");
    }

    /** Messages of 340 bytes of many floats and dives of 64 messages, every one different. */
    private static byte[][] messages(int count, long seed) {
        return messages(count, 64, seed);
    }

    private static byte[][] messages(int count, int inDive, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        MessageWriter writer = new MessageWriter(null, 340);
        byte[][] messages = new byte[count][];
        byte[] body = new byte[writer.bodyLimit() - writer.bodyOffset()];
        for (int i = 0; i < count; i++) {
            int dive = i / inDive;
            // A few dives are those of one float; of many, each float has its own.
            int floats = count / inDive < 10 ? 1 : 1000;
            writer.begin(
                    Kind.DIVE, true, 1 + dive % floats, dive / floats, i % inDive, BlockType.BINS.number(), i % inDive);
            random.nextBytes(body);
            System.arraycopy(body, 0, writer.buffer(), writer.bodyOffset(), body.length);
            messages[i] = Arrays.copyOf(writer.buffer(), writer.finish(body.length));
        }
        return messages;
    }

    private double bareInserts(byte[][] messages) throws Exception {
        Path file = folder.resolve("bare-" + turn++ + ".sqlite");
        MessageStore.open(file, () -> {}).close();
        byte[][] digests = new byte[messages.length][];
        for (int i = 0; i < messages.length; i++) {
            digests[i] = MessageStore.digest(messages[i]);
        }
        try (Connection connection = Database.openWriter(file, Database.Durability.FULL)) {
            long start = System.nanoTime();
            insert(connection, messages, digests);
            return messages.length / seconds(start);
        }
    }

    private static void insert(Connection connection, byte[][] messages, byte[][] digests) throws SQLException {
        try (PreparedStatement insert = connection.prepareStatement(
                "INSERT INTO message (digest, arrival_ms, door, sender, bytes) VALUES (?, ?, ?, ?, ?)")) {
            for (int i = 0; i < messages.length; i++) {
                insert.setBytes(1, digests[i]);
                insert.setLong(2, i);
                insert.setString(3, "tcp");
                insert.setString(4, "127.0.0.1 50000");
                insert.setBytes(5, messages[i]);
                insert.addBatch();
                if (i % BATCH == BATCH - 1 || i == messages.length - 1) {
                    insert.executeBatch();
                    connection.commit();
                }
            }
        }
    }

    private double throughWatch(byte[][] messages) throws Exception {
        try (ShoreWatch watch = start()) {
            long start = System.nanoTime();
            send(watch, messages);
            return messages.length / seconds(start);
        }
    }

    private ShoreWatch start() throws Exception {
        PrintStream log = new PrintStream(OutputStream.nullOutputStream(), false, StandardCharsets.UTF_8);
        return ShoreWatch.start(
                WatchSettings.loopback(folder.resolve("watch-" + turn++), 0, 0), Clock.systemUTC(), log);
    }

    private DeliveryClient connect(ShoreWatch watch) throws IOException {
        return new DeliveryClient(
                new InetSocketAddress(InetAddress.getLoopbackAddress(), watch.tcpPort()),
                SocketFactory.getDefault(),
                Token.read(folder.resolve("watch-" + (turn - 1)).resolve("token")));
    }

    /** Sends all and returns when the last of them is acknowledged. */
    private void send(ShoreWatch watch, byte[][] messages) throws Exception {
        ConcurrentLinkedQueue<Throwable> problems = new ConcurrentLinkedQueue<>();
        Thread[] gateways = new Thread[GATEWAYS];
        for (int g = 0; g < GATEWAYS; g++) {
            int first = g;
            gateways[g] = new Thread(() -> {
                try (DeliveryClient client = connect(watch)) {
                    CompletableFuture<?> last = CompletableFuture.completedFuture(null);
                    for (int i = first; i < messages.length; i += GATEWAYS) {
                        CompletableFuture<DeliveryReceipt> receipt = client.send(messages[i]);
                        last = last.isDone() ? receipt : CompletableFuture.allOf(last, receipt);
                    }
                    client.flush();
                    last.get(120, TimeUnit.SECONDS);
                } catch (Exception e) {
                    problems.add(e);
                }
            });
            gateways[g].start();
        }
        for (Thread gateway : gateways) {
            gateway.join();
        }
        if (!problems.isEmpty()) {
            throw new IllegalStateException("a gateway failed", problems.peek());
        }
        if (watch.store().lastId() < messages.length) { // more when the watch held some before
            throw new IllegalStateException("stored=" + watch.store().lastId() + " sent=" + messages.length);
        }
    }

    /** From the first byte at the door to the event at a page that watches; one message at a time on an idle watch. */
    private void latency() throws Exception {
        byte[][] messages = messages(LATENCY_SAMPLES, 99);
        double[] ms = new double[LATENCY_SAMPLES];
        try (ShoreWatch watch = start();
                DeliveryClient gateway = connect(watch)) {
            LinkedBlockingQueue<Long> events = new LinkedBlockingQueue<>();
            HttpURLConnection page = (HttpURLConnection) URI.create("http://127.0.0.1:" + watch.pagePort() + "/events")
                    .toURL()
                    .openConnection();
            Thread reader = new Thread(() -> readEvents(page, events));
            reader.setDaemon(true);
            reader.start();
            Thread.sleep(500);
            for (int i = 0; i < LATENCY_SAMPLES; i++) {
                events.clear();
                long start = System.nanoTime();
                CompletableFuture<DeliveryReceipt> receipt = gateway.send(messages[i]);
                gateway.flush();
                Long seen = events.poll(10, TimeUnit.SECONDS);
                if (seen == null || receipt.get().getOutcome() != DeliveryOutcome.STORED) {
                    throw new IllegalStateException("message " + i + " did not reach the page");
                }
                ms[i] = (seen - start) / 1e6;
                Thread.sleep(7 + i % 13);
            }
            page.disconnect();
        }
        Arrays.sort(ms);
        figure("watch.page_latency_median_ms", ms[LATENCY_SAMPLES / 2], "ms");
        figure("watch.page_latency_p99_ms", ms[LATENCY_SAMPLES * 99 / 100], "ms");
    }

    private static void readEvents(HttpURLConnection page, LinkedBlockingQueue<Long> events) {
        try (BufferedReader lines =
                new BufferedReader(new InputStreamReader(page.getInputStream(), StandardCharsets.UTF_8))) {
            for (String line = lines.readLine(); line != null; line = lines.readLine()) {
                if (line.startsWith("data:")) {
                    events.add(System.nanoTime());
                }
            }
        } catch (IOException e) {
            // The bench closed it.
        }
    }

    private void memory(int many) throws Exception {
        try (ShoreWatch watch = start()) {
            int slice = many / 10;
            for (int i = 0; i < 10; i++) {
                send(watch, messages(slice, 1000 + i));
                while (watch.derived().lastMessageId() < watch.store().lastId()) {
                    Thread.sleep(20);
                }
                double heap = heapMb();
                if (i % 3 == 0) {
                    figure("watch.heap_after_" + watch.store().lastId() + "_messages_mb", heap, "MB");
                }
            }
        }
    }

    /** What is held after a collection. */
    private static double heapMb() throws InterruptedException {
        for (int i = 0; i < 3; i++) {
            System.gc();
            Thread.sleep(200);
        }
        Runtime runtime = Runtime.getRuntime();
        return (runtime.totalMemory() - runtime.freeMemory()) / 1048576.0;
    }

    private static double seconds(long startNanos) {
        return (System.nanoTime() - startNanos) / 1e9;
    }

    private static double median(double[] values) {
        double[] sorted = values.clone();
        Arrays.sort(sorted);
        return sorted[sorted.length / 2];
    }

    private static void figure(String name, double value, String unit) {
        System.out.println(String.format(Locale.ROOT, "figure %s %.4g %s", name, value, unit));
    }
}
