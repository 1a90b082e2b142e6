package sunward.protocol.spectra;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;

import java.util.Arrays;
import org.junit.jupiter.api.Test;

/** Streams that no encoder writes, told at once: WIRE.md, section 4.1. */
class SpoiltStreamTest {
    private static byte[] body(int fill) {
        BlockHeader header = new BlockHeader();
        header.codec = 1;
        header.samples = 16;
        header.channelsPerSample = 4;
        header.gainSixteenths = 61;
        header.readNoiseQuarters = 32;
        byte[] body = new byte[60];
        Arrays.fill(body, (byte) fill);
        BlockHeaderBytes.write(header, 0, body, 0);
        return body;
    }

    @Test
    void aStreamThatStartsWithAllOnesIsNone() {
        byte[] body = body(0xff);
        assertEquals(
                BlockCodec.Decoder.SPOILT,
                Codecs.ofNumber(1).decoder(1024).begin(body, 0, body.length, new BlockHeader()));
        assertFalse(new FirstLookCodec(1024)
                .decode(body, 0, body.length, new BlockHeader(), new FirstLook(FirstLook.MAX_HEADS, 1024)));
    }

    /** Zeros decode as bins without end; the reader stops where a body must. */
    @Test
    void endlessBinsStop() {
        byte[] body = body(0);
        BlockCodec.Decoder decoder = Codecs.ofNumber(1).decoder(1024);
        int state = decoder.begin(body, 0, body.length, new BlockHeader());
        BinRecord bin = new BinRecord(1024);
        for (int i = 0; i <= 1024 && state != BlockCodec.Decoder.SPOILT; i++) {
            state = decoder.next(bin);
        }
        assertEquals(BlockCodec.Decoder.SPOILT, state);
    }
}
