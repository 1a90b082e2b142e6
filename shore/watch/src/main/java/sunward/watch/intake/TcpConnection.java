package sunward.watch.intake;

import com.google.protobuf.CodedOutputStream;
import com.google.protobuf.InvalidProtocolBufferException;
import io.netty.buffer.ByteBuf;
import io.netty.buffer.ByteBufOutputStream;
import io.netty.channel.Channel;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.SimpleChannelInboundHandler;
import io.netty.channel.socket.ChannelInputShutdownEvent;
import io.netty.handler.timeout.IdleStateEvent;
import io.netty.util.concurrent.ScheduledFuture;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.net.SocketAddress;
import java.util.Queue;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;
import sunward.protocol.schema.DeliveryOutcome;
import sunward.protocol.schema.DeliveryReceipt;
import sunward.protocol.schema.DeliveryRequest;
import sunward.watch.health.EventLog;
import sunward.watch.health.Metrics;
import sunward.watch.health.Token;
import sunward.watch.store.Receipt;

/**
 * One gateway's connection. All fields but {@code ready} and {@code drainDue} belong to the connection's event loop. While too
 * much waits (its own receipts, the disk, a peer that does not read, its share of the second) the connection is not read, and
 * TCP makes the gateway wait.
 */
// What goes wrong in Netty's futures shows up in exceptionCaught and channelInactive; the intake's never fail.
@SuppressWarnings("FutureReturnValueIgnored")
final class TcpConnection extends SimpleChannelInboundHandler<byte[]> {
    /** What every connection shares. */
    record Surroundings(
            Token token, Limits limits, Intake intake, Metrics metrics, EventLog log, AtomicInteger connections) {}

    private final Surroundings around;
    private final FrameDecoder frames;
    private final Queue<DeliveryReceipt> ready = new ConcurrentLinkedQueue<>();
    private final AtomicBoolean drainDue = new AtomicBoolean();
    private String sender = "";
    private boolean trusted;
    private boolean inputOver;
    private int inFlight;
    private int thisSecond;
    private boolean resting;
    private long openedNanos;
    private long unwritableSinceNanos;
    private ScheduledFuture<?> watchdog;

    TcpConnection(Surroundings around, FrameDecoder frames) {
        this.around = around;
        this.frames = frames;
    }

    @Override
    public void channelActive(ChannelHandlerContext context) {
        int open = around.connections.incrementAndGet();
        sender = text(context.channel().remoteAddress());
        openedNanos = System.nanoTime();
        if (open > around.limits.connections()) {
            close(context, "too_many_connections");
            return;
        }
        watchdog = context.executor().scheduleAtFixedRate(() -> everySecond(context), 1, 1, TimeUnit.SECONDS);
    }

    @Override
    public void channelInactive(ChannelHandlerContext context) {
        around.connections.decrementAndGet();
        if (watchdog != null) {
            watchdog.cancel(false);
        }
    }

    private void everySecond(ChannelHandlerContext context) {
        thisSecond = 0;
        resting = false;
        long now = System.nanoTime();
        if (context.channel().config().isAutoRead()
                && frames.partialNanos() > TimeUnit.SECONDS.toNanos(around.limits.frameSeconds())) {
            close(context, "delivery_too_slow");
        } else if (!trusted && now - openedNanos > TimeUnit.SECONDS.toNanos(around.limits.firstSeconds())) {
            close(context, "no_token");
        } else if (!context.channel().isWritable()
                && now - unwritableSinceNanos > TimeUnit.SECONDS.toNanos(around.limits.frameSeconds())) {
            close(context, "receipts_not_read");
        } else {
            readOrWait(context.channel());
        }
    }

    @Override
    protected void channelRead0(ChannelHandlerContext context, byte[] frame) {
        if (inputOver || !context.channel().isActive()) {
            return;
        }
        DeliveryRequest request;
        try {
            request = DeliveryRequest.parseFrom(frame);
        } catch (InvalidProtocolBufferException e) {
            close(context, "not_a_delivery");
            return;
        }
        if (!trusted) {
            if (!around.token.matches(request.getToken())) {
                close(context, "wrong_token");
                return;
            }
            trusted = true;
        }
        inFlight++;
        thisSecond++;
        resting = thisSecond >= around.limits.messagesPerSecond();
        long number = request.getNumber();
        around.intake
                .accept(request.getMessage().toByteArray(), Intake.Door.TCP, sender)
                .thenAccept(receipt -> {
                    ready.add(answer(number, receipt));
                    if (drainDue.compareAndSet(false, true)) {
                        context.executor().execute(() -> drain(context));
                    }
                });
        readOrWait(context.channel());
    }

    /** Writes every receipt that is ready, in one go. */
    private void drain(ChannelHandlerContext context) {
        drainDue.set(false);
        if (!context.channel().isActive()) {
            ready.clear();
            return;
        }
        ByteBuf out = context.alloc().buffer(4096);
        try {
            CodedOutputStream coded = CodedOutputStream.newInstance(new ByteBufOutputStream(out));
            for (DeliveryReceipt receipt = ready.poll(); receipt != null; receipt = ready.poll()) {
                coded.writeMessageNoTag(receipt);
                inFlight--;
            }
            coded.flush();
        } catch (IOException e) {
            throw new IllegalStateException("a buffer in memory takes what it is given", e);
        }
        context.writeAndFlush(out);
        if (inputOver && inFlight == 0) {
            context.close();
        } else {
            readOrWait(context.channel());
        }
    }

    private void readOrWait(Channel channel) {
        boolean read = inFlight < around.limits.window()
                && !resting
                && channel.isWritable()
                && !(around.intake.crowded() && inFlight > 0);
        if (channel.config().isAutoRead() != read) {
            channel.config().setAutoRead(read);
        }
    }

    @Override
    public void channelWritabilityChanged(ChannelHandlerContext context) {
        unwritableSinceNanos = System.nanoTime();
        readOrWait(context.channel());
    }

    @Override
    public void userEventTriggered(ChannelHandlerContext context, Object event) {
        if (event instanceof IdleStateEvent && inFlight == 0) {
            close(context, "idle");
        } else if (event instanceof ChannelInputShutdownEvent) {
            // The gateway has said all it will say and may still wait for its receipts.
            inputOver = true;
            if (inFlight == 0) {
                context.close();
            }
        }
    }

    @Override
    public void exceptionCaught(ChannelHandlerContext context, Throwable cause) {
        close(context, cause instanceof IOException ? "connection_lost" : "not_a_delivery");
    }

    private void close(ChannelHandlerContext context, String reason) {
        around.metrics
                .counter("sunward_tcp_closed_total{reason=\"" + reason + "\"}")
                .increment();
        around.log.info("tcp_closed", "reason", reason, "sender", sender);
        context.close();
    }

    private static DeliveryReceipt answer(long number, Receipt receipt) {
        DeliveryOutcome outcome = switch (receipt.outcome()) {
            case STORED -> DeliveryOutcome.STORED;
            case REPEATED -> DeliveryOutcome.REPEATED;
            case REFUSED -> DeliveryOutcome.REFUSED;
        };
        return DeliveryReceipt.newBuilder()
                .setNumber(number)
                .setOutcome(outcome)
                .setSentence(receipt.sentence())
                .build();
    }

    private static String text(SocketAddress address) {
        return address instanceof InetSocketAddress inet
                ? inet.getAddress().getHostAddress() + " " + inet.getPort()
                : String.valueOf(address);
    }
}
