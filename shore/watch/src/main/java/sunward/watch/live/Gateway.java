package sunward.watch.live;

import java.io.IOException;
import java.net.InetSocketAddress;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import javax.net.SocketFactory;
import sunward.protocol.schema.DeliveryOutcome;
import sunward.protocol.schema.DeliveryReceipt;
import sunward.watch.health.Token;
import sunward.watch.intake.DeliveryClient;

/**
 * A gateway that does not give up lightly: what has no receipt when the connection breaks, and what the watch could not keep,
 * is sent again. One owner.
 */
public final class Gateway implements AutoCloseable {
    /** A watch that is away or cannot keep messages is tried so often, with a pause between. */
    private static final int TRIES = 20;

    private static final long PAUSE_MS = 500;

    @SuppressWarnings("ArrayRecordComponent") // handed on, never compared
    private record Sent(byte[] message, CompletableFuture<DeliveryReceipt> receipt) {}

    private final InetSocketAddress address;
    private final SocketFactory sockets;
    private final Token token;
    private final Deque<Sent> open = new ArrayDeque<>();
    private DeliveryClient client;
    private int receipts;
    private int repeats;
    private int failures;

    /** Connects at the first message. Arguments as for {@link DeliveryClient}. */
    public Gateway(InetSocketAddress address, SocketFactory sockets, Token token) {
        this.address = address;
        this.sockets = sockets;
        this.token = token;
    }

    /** Sends one message and looks at receipts that have come. */
    void send(byte[] message) throws IOException, InterruptedException {
        while (!open.isEmpty() && open.peek().receipt.isDone()) {
            settle(open.remove());
        }
        put(message);
    }

    /** Pushes out what was sent. */
    void flush() throws InterruptedException, IOException {
        try {
            if (client != null) {
                client.flush();
            }
        } catch (IOException e) {
            again(e);
        }
    }

    /** Waits for every receipt. */
    void finish() throws IOException, InterruptedException {
        while (!open.isEmpty()) {
            flush();
            settle(open.remove());
        }
    }

    /** Messages that are on the watch's disk. */
    int receipts() {
        return receipts;
    }

    /** Of these, how many it had already. */
    int repeats() {
        return repeats;
    }

    private void put(byte[] message) throws IOException, InterruptedException {
        while (true) {
            try {
                if (client == null) {
                    client = new DeliveryClient(address, sockets, token);
                }
                open.add(new Sent(message, client.send(message)));
                return;
            } catch (IOException e) {
                again(e);
            }
        }
    }

    private void settle(Sent sent) throws IOException, InterruptedException {
        try {
            DeliveryReceipt receipt = sent.receipt.get();
            if (receipt.getOutcome() == DeliveryOutcome.STORED || receipt.getOutcome() == DeliveryOutcome.REPEATED) {
                receipts++;
                repeats += receipt.getOutcome() == DeliveryOutcome.REPEATED ? 1 : 0;
                failures = 0;
            } else {
                pause("The watch keeps no messages: " + receipt.getSentence());
                put(sent.message);
            }
        } catch (ExecutionException e) {
            open.addFirst(sent);
            again(e.getCause());
        }
    }

    /** Sends all that has no receipt over a new connection. */
    private void again(Throwable problem) throws IOException, InterruptedException {
        pause(
                receipts == 0 && client != null
                        ? "The watch at " + where()
                                + " closed the connection without a receipt; look whether this token is that watch's."
                        : "The watch at " + where() + " cannot be reached (" + problem.getMessage()
                                + "); look whether it runs and listens there.");
        if (client != null) {
            client.close();
            client = null;
        }
        Deque<Sent> lost = new ArrayDeque<>(open);
        open.clear();
        for (Sent sent : lost) {
            if (sent.receipt.isDone() && !sent.receipt.isCompletedExceptionally()) {
                settle(sent);
            } else {
                put(sent.message);
            }
        }
    }

    private String where() {
        return address.getHostString() + " port " + address.getPort();
    }

    private void pause(String sentence) throws IOException, InterruptedException {
        if (++failures > TRIES || receipts == 0 && failures > 2) {
            throw new IOException(sentence);
        }
        Thread.sleep(PAUSE_MS);
    }

    @Override
    public void close() throws IOException {
        if (client != null) {
            client.close();
        }
    }
}
