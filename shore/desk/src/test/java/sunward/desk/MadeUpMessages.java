package sunward.desk;

import java.util.Arrays;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.Kind;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.schema.Fix;
import sunward.protocol.schema.HeadCounts;
import sunward.protocol.schema.Ledger;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Codecs;

/** Messages with invented contents, written by the wire module's own writer. */
final class MadeUpMessages {
    private MadeUpMessages() {}

    /** A message of float 7, dive 3, marked simulated. */
    static byte[] message(byte[] key, int position, BlockType block, int part, byte[] body) {
        MessageWriter writer = new MessageWriter(key, 340);
        writer.begin(Kind.DIVE, true, 7, 3, position, block.number(), part);
        System.arraycopy(body, 0, writer.buffer(), writer.bodyOffset(), body.length);
        return Arrays.copyOf(writer.buffer(), writer.finish(body.length));
    }

    static Ledger ledger() {
        return Ledger.newBuilder()
                .setProfileStartS(850_613_220)
                .setSurfacedS(850_616_175)
                .addFixes(Fix.newBuilder()
                        .setTimeS(850_616_200)
                        .setLatitudeE5(1_100_012)
                        .setLongitudeE5(-14_200_000))
                .setTareAfterMdbar(-52)
                .setDeclinationCdeg(-123)
                .setDeclinationDay(9831)
                .addHeads(HeadCounts.newBuilder().setHead(1).setLightScans(2800).setBinsSent(215))
                .setMessagesPlanned(52)
                .addEnergyJ(12_000)
                .addFallbackScans(2900)
                .addFallbackScans(0)
                .addFallbackScans(17)
                .addFaults(2)
                .setUnsentReason(1)
                .build();
    }

    /** A body with one bin of head 1: bin 12 at 2.345 dbar, twenty samples of 1000 counts. */
    static byte[] oneBin() {
        BlockHeader header = new BlockHeader();
        header.codec = 1;
        header.head = 1;
        header.samples = 20;
        header.channelsPerSample = 4;
        header.gainSixteenths = 61;
        header.readNoiseQuarters = 32;
        header.planTag = 0x01020304;
        BlockCodec.Encoder encoder = Codecs.ofNumber(1).encoder(20);
        byte[] body = new byte[300];
        encoder.begin(body, 0, body.length, header);
        BinRecord bin = new BinRecord(20);
        bin.head = 1;
        bin.bin = 12;
        bin.used = 9;
        bin.exposureCode = 4;
        bin.timeS = 850_616_100;
        bin.pressureMdbar = 2345;
        bin.offsetMm = 250;
        bin.tiltCdeg = 150;
        bin.antisunDeg = -170;
        bin.samples = 20;
        Arrays.fill(bin.counts, 0, 20, 1000 << BinRecord.FRACTION_BITS);
        if (!encoder.add(bin, 0)) {
            throw new IllegalStateException("one bin fits any body");
        }
        return Arrays.copyOf(body, encoder.finish());
    }
}
