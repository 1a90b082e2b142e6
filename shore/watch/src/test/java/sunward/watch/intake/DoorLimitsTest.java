package sunward.watch.intake;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.protobuf.ByteString;
import io.netty.util.internal.PlatformDependent;
import java.io.OutputStream;
import java.io.PrintStream;
import java.lang.management.BufferPoolMXBean;
import java.lang.management.ManagementFactory;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.SocketException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import javax.net.SocketFactory;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import sunward.protocol.schema.DeliveryOutcome;
import sunward.protocol.schema.DeliveryReceipt;
import sunward.protocol.schema.DeliveryRequest;
import sunward.watch.MadeMessages;
import sunward.watch.health.EventLog;
import sunward.watch.health.Metrics;
import sunward.watch.health.Token;
import sunward.watch.store.MessageStore;
import sunward.watch.store.StoreFolder;

/** What one sender, and all together, may ask. */
@Timeout(60)
class DoorLimitsTest {
    private static final Token TOKEN = Token.of("a-token-of-the-tests");

    @TempDir
    Path folder;

    private final Metrics metrics = new Metrics();
    private StoreFolder held;
    private MessageStore store;
    private TcpDoor door;

    private void open(Limits limits) throws Exception {
        held = StoreFolder.hold(folder);
        store = MessageStore.open(held.messages(), () -> {});
        EventLog log = new EventLog(
                new PrintStream(OutputStream.nullOutputStream(), false, StandardCharsets.UTF_8), Clock.systemUTC());
        door = TcpDoor.open(
                new InetSocketAddress(InetAddress.getLoopbackAddress(), 0),
                null,
                TOKEN,
                limits,
                new Intake(store, limits, metrics, () -> 0),
                metrics,
                log);
    }

    @AfterEach
    void close() throws Exception {
        door.close();
        store.close();
        held.close();
    }

    private DeliveryClient client() throws Exception {
        return new DeliveryClient(
                new InetSocketAddress(InetAddress.getLoopbackAddress(), door.port()),
                SocketFactory.getDefault(),
                TOKEN);
    }

    private static long deliver(DeliveryClient client, int floatNumber, int count) throws Exception {
        long start = System.nanoTime();
        List<CompletableFuture<DeliveryReceipt>> receipts = new ArrayList<>();
        for (byte[] bytes : MadeMessages.dive(floatNumber, 1, count, 1)) {
            receipts.add(client.send(bytes));
        }
        client.flush();
        for (CompletableFuture<DeliveryReceipt> receipt : receipts) {
            assertEquals(
                    DeliveryOutcome.STORED, receipt.get(30, TimeUnit.SECONDS).getOutcome());
        }
        return TimeUnit.NANOSECONDS.toMillis(System.nanoTime() - start);
    }

    @Test
    void aHastyConnectionIsReadNoFasterThanItsShareAndLosesNothing() throws Exception {
        open(new Limits(10, 256, 1 << 20, 50, 30, 30, 10));
        try (DeliveryClient hasty = client()) {
            // 50 at once, then 50 after each whole second of the connection; what one read of the socket held comes
            // with them.
            long tookMs = deliver(hasty, 1, 2000);
            assertTrue(tookMs >= 1000, "2000 messages at 50 a second took " + tookMs + " ms");
        }
        assertEquals(2000, store.lastId());
    }

    @Test
    void moreConnectionsThanAllowedAreClosedAndTheOthersGoOn() throws Exception {
        open(new Limits(3, 256, 1 << 20, 50_000, 30, 30, 10));
        List<DeliveryClient> clients = new ArrayList<>();
        try {
            for (int i = 1; i <= 3; i++) {
                clients.add(client());
                deliver(clients.get(i - 1), i, 5);
            }
            try (Socket more = new Socket(InetAddress.getLoopbackAddress(), door.port())) {
                more.setSoTimeout(20_000);
                assertEquals(-1, read(more));
            }
            assertTrue(metrics.text().contains("sunward_tcp_closed_total{reason=\"too_many_connections\"} 1\n"));
            for (int i = 1; i <= 3; i++) {
                deliver(clients.get(i - 1), 10 + i, 5);
            }
        } finally {
            for (DeliveryClient client : clients) {
                client.close();
            }
        }
        assertEquals(30, store.lastId());
    }

    private static int read(Socket socket) throws Exception {
        try {
            return socket.getInputStream().read();
        } catch (SocketException e) {
            return -1;
        }
    }

    /** The bound that {@link Limits} states for the memory of the door, with every connection in the middle of its longest delivery. */
    @Test
    void fiveHundredHalfDeliveriesStayWithinTheStatedBound() throws Exception {
        int connections = 500;
        Limits limits = new Limits(600, 256, 1 << 20, 50_000, 30, 30, 30);
        open(limits);
        byte[] whole = MadeMessages.frame(DeliveryRequest.newBuilder()
                .setNumber(1)
                .setMessage(ByteString.copyFrom(new byte[Limits.MESSAGE_BYTES]))
                .setToken(TOKEN.reveal())
                .build());
        byte[] half = Arrays.copyOf(whole, whole.length - 1);
        List<Socket> sockets = new ArrayList<>();
        long before = memory();
        try {
            for (int i = 0; i < connections; i++) {
                Socket socket = new Socket(InetAddress.getLoopbackAddress(), door.port());
                sockets.add(socket);
                socket.getOutputStream().write(half);
            }
            long most = 0;
            for (int i = 0; i < 5; i++) {
                Thread.sleep(200);
                most = Math.max(most, memory() - before);
            }
            long bound = limits.pendingBytes() + connections * (long) (Limits.FRAME_BYTES + (64 << 10));
            assertTrue(most > connections * (long) half.length / 2, "the halves are held: " + most);
            assertTrue(most < bound, most + " bytes of " + bound);
            for (Socket socket : sockets.subList(0, 10)) {
                socket.setSoTimeout(20_000);
                socket.getOutputStream().write(whole[whole.length - 1]);
                assertEquals(
                        1,
                        DeliveryReceipt.parseDelimitedFrom(socket.getInputStream())
                                .getNumber());
            }
        } finally {
            for (Socket socket : sockets) {
                socket.close();
            }
        }
    }

    /** Heap after a collection, and direct buffers. */
    private static long memory() {
        System.gc();
        Runtime runtime = Runtime.getRuntime();
        long direct = ManagementFactory.getPlatformMXBeans(BufferPoolMXBean.class).stream()
                .mapToLong(BufferPoolMXBean::getMemoryUsed)
                .sum();
        // Where Netty makes its direct buffers without the JDK's help only it knows of them; otherwise both count the
        // same ones.
        return runtime.totalMemory() - runtime.freeMemory() + Math.max(direct, PlatformDependent.usedDirectMemory());
    }
}
