package sunward.bench;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.message.Verdict;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Codecs;

/** A codec of ours at one step: real sealed messages, and bins decoded from their bytes alone. */
final class OwnCodec {
    /** Longest message of the reference link. */
    static final int MESSAGE_BYTES = 340;

    /** That of the plan's long-letter link, for what does not fit the other. */
    static final int LONG_MESSAGE_BYTES = 1960;

    private static final byte[] KEY = new byte[32];

    private OwnCodec() {}

    /** Messages of a dive, head after head; null when a bin does not fit a message. */
    static List<byte[]> messages(DiveBins dive, int codec, int stepCode, int messageBytes) {
        List<byte[]> messages = new ArrayList<>();
        MessageWriter writer = new MessageWriter(KEY, messageBytes);
        BlockHeader header = new BlockHeader();
        header.codec = codec;
        header.channelsPerSample = 1;
        header.gainSixteenths = (int) Math.rint(dive.gain() * 16);
        header.readNoiseQuarters = (int) Math.rint(dive.readNoise() * 4);
        header.samples = dive.channelNm().size();
        BlockCodec.Encoder encoder = Codecs.ofNumber(codec).encoder(header.samples);
        for (int head = 0; head < dive.heads(); head++) {
            header.head = head;
            int inMessage = 0;
            for (BinRecord bin : dive.ofHead(head)) {
                if (inMessage > 0 && !encoder.add(bin, stepCode)) {
                    messages.add(ended(writer, encoder));
                    inMessage = 0;
                }
                if (inMessage == 0) {
                    begin(writer, encoder, header, messages.size());
                    if (!encoder.add(bin, stepCode)) {
                        return null;
                    }
                }
                inMessage++;
            }
            if (inMessage > 0) {
                messages.add(ended(writer, encoder));
            }
        }
        return messages;
    }

    private static void begin(MessageWriter writer, BlockCodec.Encoder encoder, BlockHeader header, int position) {
        writer.begin(Kind.DIVE, true, 1, 1, position, BlockType.BINS.number(), position);
        encoder.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit(), header);
    }

    private static byte[] ended(MessageWriter writer, BlockCodec.Encoder encoder) {
        return Arrays.copyOf(writer.buffer(), writer.finish(encoder.finish()));
    }

    /** Bins from messages, in the order of the bytes. */
    static List<BinRecord> decode(List<byte[]> messages) {
        KeyRing keys = KeyRing.of(java.util.Map.of(1, KEY));
        List<BinRecord> bins = new ArrayList<>();
        for (byte[] bytes : messages) {
            Verdict verdict = MessageReader.read(bytes, keys);
            if (!(verdict instanceof Verdict.Accepted accepted)) {
                throw new IllegalStateException("a message of ours is rejected");
            }
            Message message = accepted.message();
            byte[] body = message.body();
            BlockHeader header = new BlockHeader();
            BlockCodec.Decoder decoder = Codecs.ofBody(body).decoder(1024);
            int state = decoder.begin(body, 0, body.length, header);
            while (state != BlockCodec.Decoder.SPOILT) {
                BinRecord bin = new BinRecord(1024);
                state = decoder.next(bin);
                if (state != BlockCodec.Decoder.BIN) {
                    break;
                }
                bins.add(bin);
            }
            if (state == BlockCodec.Decoder.SPOILT) {
                throw new IllegalStateException("a body of ours is spoilt");
            }
        }
        return bins;
    }
}
