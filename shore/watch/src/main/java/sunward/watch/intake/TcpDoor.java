package sunward.watch.intake;

import io.netty.bootstrap.ServerBootstrap;
import io.netty.channel.Channel;
import io.netty.channel.ChannelInitializer;
import io.netty.channel.ChannelOption;
import io.netty.channel.EventLoopGroup;
import io.netty.channel.MultiThreadIoEventLoopGroup;
import io.netty.channel.WriteBufferWaterMark;
import io.netty.channel.nio.NioIoHandler;
import io.netty.channel.socket.SocketChannel;
import io.netty.channel.socket.nio.NioServerSocketChannel;
import io.netty.handler.ssl.SslContext;
import io.netty.handler.ssl.SslContextBuilder;
import io.netty.handler.timeout.IdleStateHandler;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import javax.net.ssl.SSLException;
import sunward.watch.health.EventLog;
import sunward.watch.health.Metrics;
import sunward.watch.health.Token;

/** The TCP port for gateways: {@code DeliveryRequest} in, {@code DeliveryReceipt} out, see {@code delivery.proto}. */
public final class TcpDoor implements AutoCloseable {
    /** Certificate chain and private key, PEM files. */
    public record Certificate(Path chain, Path key) {}

    private final EventLoopGroup loops;
    private final Channel listening;

    private TcpDoor(EventLoopGroup loops, Channel listening) {
        this.loops = loops;
        this.listening = listening;
    }

    /**
     * Opens the port.
     *
     * @param certificate null: without TLS
     * @throws IOException with one sentence when the port or the certificate cannot be used
     */
    public static TcpDoor open(
            InetSocketAddress address,
            Certificate certificate,
            Token token,
            Limits limits,
            Intake intake,
            Metrics metrics,
            EventLog log)
            throws IOException {
        SslContext tls = certificate == null ? null : tls(certificate);
        AtomicInteger open = new AtomicInteger();
        metrics.gauge("sunward_tcp_connections", open::get);
        TcpConnection.Surroundings around = new TcpConnection.Surroundings(token, limits, intake, metrics, log, open);
        EventLoopGroup loops = new MultiThreadIoEventLoopGroup(2, NioIoHandler.newFactory());
        ServerBootstrap server = new ServerBootstrap()
                .group(loops)
                .channel(NioServerSocketChannel.class)
                .option(ChannelOption.SO_BACKLOG, 1024)
                .childOption(ChannelOption.ALLOW_HALF_CLOSURE, true)
                .childOption(ChannelOption.TCP_NODELAY, true)
                // Receipts are small: what waits for a gateway that does not read stays small too.
                .childOption(ChannelOption.SO_SNDBUF, 64 << 10)
                .childOption(ChannelOption.WRITE_BUFFER_WATER_MARK, new WriteBufferWaterMark(16 << 10, 64 << 10))
                .childHandler(new ChannelInitializer<SocketChannel>() {
                    @Override
                    protected void initChannel(SocketChannel channel) {
                        FrameDecoder frames = new FrameDecoder(Limits.FRAME_BYTES);
                        if (tls != null) {
                            channel.pipeline().addLast(tls.newHandler(channel.alloc()));
                        }
                        channel.pipeline()
                                .addLast(new IdleStateHandler(limits.idleSeconds(), 0, 0))
                                .addLast(frames)
                                .addLast(new TcpConnection(around, frames));
                    }
                });
        try {
            return new TcpDoor(loops, server.bind(address).syncUninterruptibly().channel());
        } catch (RuntimeException e) {
            // Netty throws the checked BindException through here without declaring it.
            stop(loops);
            throw e;
        } catch (Exception e) {
            stop(loops);
            throw new IOException(
                    "Port " + address.getPort() + " on " + address.getHostString() + " cannot be used ("
                            + e.getMessage() + "); give another port.",
                    e);
        }
    }

    private static SslContext tls(Certificate certificate) throws IOException {
        try {
            Token.requirePrivate(certificate.key());
            return SslContextBuilder.forServer(
                            certificate.chain().toFile(), certificate.key().toFile())
                    .build();
        } catch (SSLException | IllegalArgumentException e) {
            throw new IOException(
                    certificate.chain() + " and " + certificate.key()
                            + ": a PEM certificate chain and its PKCS 8 private key are expected (" + e.getMessage()
                            + ").",
                    e);
        }
    }

    /** The port that is listened on. */
    public int port() {
        return ((InetSocketAddress) listening.localAddress()).getPort();
    }

    /** Stops listening and closes every connection. */
    @Override
    public void close() {
        listening.close().syncUninterruptibly();
        stop(loops);
    }

    private static void stop(EventLoopGroup loops) {
        loops.shutdownGracefully(0, 2, TimeUnit.SECONDS).syncUninterruptibly();
    }
}
