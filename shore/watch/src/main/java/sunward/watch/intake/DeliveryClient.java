package sunward.watch.intake;

import com.google.protobuf.ByteString;
import com.google.protobuf.CodedOutputStream;
import java.io.BufferedInputStream;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.Semaphore;
import javax.net.SocketFactory;
import sunward.protocol.schema.DeliveryReceipt;
import sunward.protocol.schema.DeliveryRequest;
import sunward.watch.health.Token;

/**
 * A gateway's side of the TCP door. {@link #send} waits while too many deliveries have no receipt yet. A delivery whose
 * connection broke before its receipt ends with the {@link IOException}; send it again, the watch knows bytes it has.
 */
public final class DeliveryClient implements AutoCloseable {
    private static final int WINDOW = 1000;

    private final Socket socket;
    private final CodedOutputStream out;
    private final Token token;
    private final Semaphore window = new Semaphore(WINDOW);
    private final Map<Long, CompletableFuture<DeliveryReceipt>> waiting = new ConcurrentHashMap<>();
    private long number;
    private volatile IOException broken;

    /**
     * Connects.
     *
     * @param sockets {@code SocketFactory.getDefault()}, or an SSL socket factory for a door with TLS
     */
    public DeliveryClient(InetSocketAddress address, SocketFactory sockets, Token token) throws IOException {
        this.token = token;
        this.socket = sockets.createSocket(address.getAddress(), address.getPort());
        this.socket.setTcpNoDelay(true);
        this.out = CodedOutputStream.newInstance(socket.getOutputStream(), 32 << 10);
        Thread reader = new Thread(this::readReceipts, "delivery-receipts");
        reader.setDaemon(true);
        reader.start();
    }

    /** Sends one payload; {@link #flush} pushes it out. Not for more than one thread at a time. */
    public CompletableFuture<DeliveryReceipt> send(byte[] message) throws IOException, InterruptedException {
        if (!window.tryAcquire()) {
            flush();
            window.acquire();
        }
        if (broken != null) {
            throw broken;
        }
        DeliveryRequest.Builder request =
                DeliveryRequest.newBuilder().setNumber(++number).setMessage(ByteString.copyFrom(message));
        if (number == 1) {
            request.setToken(token.reveal());
        }
        CompletableFuture<DeliveryReceipt> receipt = new CompletableFuture<>();
        waiting.put(number, receipt);
        out.writeMessageNoTag(request.build());
        if (broken != null) {
            // The reader may have ended between the look above and the entry in the map.
            receipt.completeExceptionally(broken);
        }
        return receipt;
    }

    /** Pushes out what was sent. */
    public void flush() throws IOException {
        out.flush();
    }

    private void readReceipts() {
        IOException end = new IOException("The watch closed the connection.");
        try (BufferedInputStream in = new BufferedInputStream(socket.getInputStream(), 32 << 10)) {
            DeliveryReceipt receipt = DeliveryReceipt.parseDelimitedFrom(in);
            while (receipt != null) {
                CompletableFuture<DeliveryReceipt> waiter = waiting.remove(receipt.getNumber());
                if (waiter != null) {
                    window.release();
                    waiter.complete(receipt);
                }
                receipt = DeliveryReceipt.parseDelimitedFrom(in);
            }
        } catch (IOException e) {
            end = e;
        }
        broken = end;
        for (CompletableFuture<DeliveryReceipt> waiter : waiting.values()) {
            waiter.completeExceptionally(end);
        }
        window.release(WINDOW);
    }

    /** Closes the connection; deliveries without a receipt end with an exception. */
    @Override
    public void close() throws IOException {
        socket.close();
    }
}
