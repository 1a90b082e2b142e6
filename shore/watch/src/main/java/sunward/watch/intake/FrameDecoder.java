package sunward.watch.intake;

import io.netty.buffer.ByteBuf;
import io.netty.channel.ChannelHandlerContext;
import io.netty.handler.codec.ByteToMessageDecoder;
import io.netty.handler.codec.CorruptedFrameException;
import java.util.List;

/**
 * Cuts the stream into requests.
 *
 * <pre>
 *  before:  +--------+---------+--------+----
 *           | varint | request | varint | ...      varint: length of the request, 1 to limit, five bytes at most
 *           +--------+---------+--------+----
 *  after:   byte[] request, byte[] request, ...
 * </pre>
 */
final class FrameDecoder extends ByteToMessageDecoder {
    private final int limit;
    private boolean partial;
    private long partialSinceNanos;

    FrameDecoder(int limit) {
        this.limit = limit;
    }

    @Override
    protected void decode(ChannelHandlerContext context, ByteBuf in, List<Object> out) {
        in.markReaderIndex();
        long length = readLength(in);
        if (length < 0 || in.readableBytes() < length) {
            in.resetReaderIndex();
            if (!partial) {
                partial = true;
                partialSinceNanos = System.nanoTime();
            }
            return;
        }
        byte[] frame = new byte[(int) length];
        in.readBytes(frame);
        partial = false;
        out.add(frame);
    }

    /** The length, or -1 when its bytes have not all come yet. */
    private long readLength(ByteBuf in) {
        long length = 0;
        for (int shift = 0; shift < 35; shift += 7) {
            if (!in.isReadable()) {
                return -1;
            }
            int next = in.readByte();
            length |= (long) (next & 0x7f) << shift;
            if (next >= 0) {
                if (length < 1 || length > limit) {
                    throw new CorruptedFrameException("length=" + length + " limit=" + limit);
                }
                return length;
            }
        }
        throw new CorruptedFrameException("the length takes more than five bytes");
    }

    /** For how long a begun request has been waiting for its rest, ns; 0 when none is begun. */
    long partialNanos() {
        return partial ? System.nanoTime() - partialSinceNanos : 0;
    }
}
