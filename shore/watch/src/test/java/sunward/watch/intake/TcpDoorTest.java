package sunward.watch.intake;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.protobuf.ByteString;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.PrintStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.SocketException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import javax.net.SocketFactory;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
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

/** Links that misbehave. After each of them a well-behaved gateway must get its receipts as if nothing had happened. */
@Timeout(60)
class TcpDoorTest {
    private static final Token TOKEN = Token.of("a-token-of-the-tests");
    private static final Limits TIGHT = new Limits(1100, 256, 1 << 20, 50_000, 2, 1, 1);

    @TempDir
    Path folder;

    private final Metrics metrics = new Metrics();
    private StoreFolder held;
    private MessageStore store;
    private TcpDoor door;

    @BeforeEach
    void open() throws Exception {
        held = StoreFolder.hold(folder);
        store = MessageStore.open(held.messages(), () -> {});
        EventLog log = new EventLog(
                new PrintStream(OutputStream.nullOutputStream(), false, StandardCharsets.UTF_8), Clock.systemUTC());
        Intake intake = new Intake(store, TIGHT, metrics, () -> 0);
        door = TcpDoor.open(loopback(0), null, TOKEN, TIGHT, intake, metrics, log);
    }

    @AfterEach
    void close() throws Exception {
        door.close();
        store.close();
        held.close();
    }

    private static InetSocketAddress loopback(int port) {
        return new InetSocketAddress(InetAddress.getLoopbackAddress(), port);
    }

    private Socket connect() throws IOException {
        Socket socket = new Socket(InetAddress.getLoopbackAddress(), door.port());
        socket.setSoTimeout(20_000);
        return socket;
    }

    private static byte[] request(long number, byte[] message, String token) {
        return MadeMessages.frame(DeliveryRequest.newBuilder()
                .setNumber(number)
                .setMessage(ByteString.copyFrom(message))
                .setToken(token)
                .build());
    }

    private static byte[] bytes(long seed) {
        byte[] bytes = new byte[340];
        new SplittableRandom(seed).nextBytes(bytes);
        return bytes;
    }

    private void assertOthersAreServed() throws Exception {
        try (DeliveryClient client = new DeliveryClient(loopback(door.port()), SocketFactory.getDefault(), TOKEN)) {
            List<CompletableFuture<DeliveryReceipt>> receipts = new ArrayList<>();
            for (int i = 0; i < 500; i++) {
                receipts.add(client.send(bytes(System.nanoTime() + i)));
            }
            client.flush();
            for (CompletableFuture<DeliveryReceipt> receipt : receipts) {
                assertEquals(
                        DeliveryOutcome.STORED,
                        receipt.get(10, TimeUnit.SECONDS).getOutcome());
            }
        }
    }

    private static void assertClosedWithoutAWord(Socket socket) throws IOException {
        try {
            assertEquals(-1, socket.getInputStream().read());
        } catch (SocketException e) {
            // A reset says as little as an end.
        }
    }

    private long closedFor(String reason) {
        return metrics.counter("sunward_tcp_closed_total{reason=\"" + reason + "\"}")
                .sum();
    }

    @Test
    void withoutTheRightTokenNothingIsAcceptedAndNothingLearned() throws Exception {
        for (String wrong : List.of("", "a-token-of-the-test", "a-token-of-the-tests!", "\u0000".repeat(400))) {
            try (Socket socket = connect()) {
                socket.getOutputStream().write(request(1, bytes(1), wrong));
                assertClosedWithoutAWord(socket);
            }
        }
        assertEquals(4, closedFor("wrong_token"));
        try (Socket silent = connect()) {
            assertClosedWithoutAWord(silent);
        }
        assertEquals(1, closedFor("no_token"));
        assertEquals(0, store.lastId());
    }

    @Test
    void garbageAndMonstrousLengthsCostTheirSenderTheConnection() throws Exception {
        byte[][] openings = {
            {(byte) 0x80, (byte) 0x80, (byte) 0x80, (byte) 0x80, 0x04}, // a gigabyte
            {(byte) 0xff, (byte) 0xff, (byte) 0xff, (byte) 0xff, 0x7f}, // the longest that five bytes can say
            {(byte) 0xff, (byte) 0xff, (byte) 0xff, (byte) 0xff, (byte) 0xff, 1}, // six bytes of length
            {0}, // a request of no bytes
            {4, (byte) 0xff, (byte) 0xff, (byte) 0xff, (byte) 0xff}, // no request at all
        };
        for (byte[] opening : openings) {
            try (Socket socket = connect()) {
                socket.getOutputStream().write(opening);
                assertClosedWithoutAWord(socket);
            }
        }
        assertEquals(openings.length, closedFor("not_a_delivery"));
        SplittableRandom random = new SplittableRandom(5);
        for (int i = 0; i < 50; i++) {
            byte[] garbage = new byte[random.nextInt(1, 3000)];
            random.nextBytes(garbage);
            try (Socket socket = connect()) {
                socket.getOutputStream().write(garbage);
                socket.shutdownOutput();
                assertClosedWithoutAWord(socket);
            }
        }
        assertEquals(0, store.lastId());
        assertOthersAreServed();
    }

    @Test
    void aLinkThatDropsInTheMiddleLeavesNothingHalf() throws Exception {
        try (Socket socket = connect()) {
            byte[] request = request(1, bytes(1), TOKEN.reveal());
            socket.getOutputStream().write(request, 0, request.length / 2);
            socket.setSoLinger(true, 0);
        }
        assertOthersAreServed();
        assertEquals(500, store.lastId());
    }

    @Test
    void aHalfClosedLinkStillGetsItsReceipts() throws Exception {
        try (Socket socket = connect()) {
            OutputStream out = socket.getOutputStream();
            for (int i = 1; i <= 20; i++) {
                out.write(request(i, bytes(i), i == 1 ? TOKEN.reveal() : ""));
            }
            socket.shutdownOutput();
            InputStream in = socket.getInputStream();
            for (int i = 1; i <= 20; i++) {
                DeliveryReceipt receipt = DeliveryReceipt.parseDelimitedFrom(in);
                assertNotNull(receipt, "receipt " + i);
                assertEquals(DeliveryOutcome.STORED, receipt.getOutcome());
            }
            assertNull(DeliveryReceipt.parseDelimitedFrom(in));
        }
    }

    @Test
    void oneByteASecondAndSilenceAreCutOff() throws Exception {
        try (Socket slow = connect();
                Socket idle = connect()) {
            idle.getOutputStream().write(request(1, bytes(1), TOKEN.reveal()));
            assertNotNull(DeliveryReceipt.parseDelimitedFrom(idle.getInputStream()));
            slow.getOutputStream().write(request(1, bytes(2), TOKEN.reveal()));
            assertNotNull(DeliveryReceipt.parseDelimitedFrom(slow.getInputStream()));
            byte[] request = request(2, bytes(3), "");
            assertThrows(IOException.class, () -> {
                for (byte next : request) {
                    slow.getOutputStream().write(next);
                    Thread.sleep(300);
                }
            });
            assertEquals(1, closedFor("delivery_too_slow"));
            assertClosedWithoutAWord(idle);
            assertEquals(1, closedFor("idle"));
        }
        assertOthersAreServed();
    }

    @Test
    void aGatewayThatNeverReadsItsReceiptsIsMadeToWaitAndThenCutOff() throws Exception {
        try (Socket socket = new Socket()) {
            socket.setReceiveBufferSize(4096);
            socket.connect(loopback(door.port()));
            byte[] first = request(1, bytes(1), TOKEN.reveal());
            // Refused at once, with a sentence: the receipts are long and cost no disk.
            byte[] again = request(2, new byte[0], "");
            socket.getOutputStream().write(first);
            IOException cut = assertThrows(IOException.class, () -> {
                for (int i = 0; i < 10_000_000; i++) {
                    socket.getOutputStream().write(again);
                }
            });
            assertNotNull(cut);
            assertEquals(1, closedFor("receipts_not_read"));
        }
        assertOthersAreServed();
    }

    @Test
    void aThousandConnectionsAtOnceAreServed() throws Exception {
        List<Socket> sockets = new ArrayList<>();
        try {
            for (int i = 0; i < 1000; i++) {
                Socket socket = connect();
                sockets.add(socket);
                socket.getOutputStream().write(request(i, bytes(i), TOKEN.reveal()));
            }
            for (int i = 0; i < 1000; i++) {
                DeliveryReceipt receipt =
                        DeliveryReceipt.parseDelimitedFrom(sockets.get(i).getInputStream());
                assertNotNull(receipt, "connection " + i);
                assertEquals(i, receipt.getNumber());
            }
            assertEquals(1000, store.lastId());
            assertOthersAreServed();
        } finally {
            for (Socket socket : sockets) {
                socket.close();
            }
        }
    }

    @Test
    void messagesOfNoLengthOrTooMuchAreRefusedWithASentence() throws Exception {
        try (DeliveryClient client = new DeliveryClient(loopback(door.port()), SocketFactory.getDefault(), TOKEN)) {
            for (int length : new int[] {0, Limits.MESSAGE_BYTES + 1}) {
                CompletableFuture<DeliveryReceipt> receipt = client.send(new byte[length]);
                client.flush();
                assertEquals(
                        DeliveryOutcome.REFUSED,
                        receipt.get(10, TimeUnit.SECONDS).getOutcome());
                assertTrue(receipt.join().getSentence().startsWith("A message of " + length + " bytes"));
            }
            CompletableFuture<DeliveryReceipt> longest = client.send(new byte[Limits.MESSAGE_BYTES]);
            client.flush();
            assertEquals(
                    DeliveryOutcome.STORED, longest.get(10, TimeUnit.SECONDS).getOutcome());
        }
    }

    @Test
    void aPortInUseIsSaidInOneSentence() {
        Intake intake = new Intake(store, TIGHT, new Metrics(), () -> 0);
        IOException busy = assertThrows(
                IOException.class,
                () -> TcpDoor.open(loopback(door.port()), null, TOKEN, TIGHT, intake, new Metrics(), null));
        assertTrue(busy.getMessage().contains("cannot be used"), busy.getMessage());
    }
}
