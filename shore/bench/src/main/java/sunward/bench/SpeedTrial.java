package sunward.bench;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.util.ArrayList;
import java.util.List;
import sunward.protocol.message.Message;
import sunward.protocol.spectra.BasisCodec;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Codecs;
import sunward.protocol.spectra.SamplesEncoder;

/** Samples a second on one core, ours beside the others' on the same dive, and what our encoder allocates. */
final class SpeedTrial {
    static final String TIER = "speed";
    private static final int ROUNDS = 7;
    private static final int USUAL_STEP = 8;
    private static final int BASE_STEP = 15;
    private static final double PEER_STEP = 2;

    private final Condition condition;
    private final DiveBins dive;
    private final List<Outcome> found = new ArrayList<>();

    SpeedTrial(Condition condition) {
        this.condition = condition;
        dive = condition.fly();
    }

    List<Outcome> run() {
        List<OwnCodec.Sent> bins = OwnCodec.messages(dive, BasisCodec.NUMBER, USUAL_STEP, OwnCodec.MESSAGE_BYTES);
        List<OwnCodec.Sent> base = OwnCodec.messages(dive, BasisCodec.NUMBER, BASE_STEP, OwnCodec.MESSAGE_BYTES);
        List<OwnCodec.Sent> both = new ArrayList<>(base);
        both.addAll(OwnCodec.refinements(base, OwnCodec.MESSAGE_BYTES));
        List<Message> binsIn = OwnCodec.accepted(OwnCodec.bytes(bins));
        List<Message> samplesIn = OwnCodec.accepted(OwnCodec.bytes(both));
        tell("bins, ours", "encode", seconds(() -> OwnCodec.messages(dive, BasisCodec.NUMBER, USUAL_STEP, 340)));
        tell("bins, ours", "decode", seconds(() -> OwnCodec.decode(binsIn)));
        tell(
                "samples, ours",
                "encode",
                seconds(() -> OwnCodec.refinements(OwnCodec.messages(dive, BasisCodec.NUMBER, BASE_STEP, 340), 340)));
        tell("samples, ours", "decode", seconds(() -> OwnCodec.decode(samplesIn)));
        for (Peer peer : Peer.all()) {
            List<Picture> pictures = new ArrayList<>();
            for (int head = 0; head < dive.heads(); head++) {
                pictures.add(Picture.of(dive, head, PEER_STEP));
            }
            double both2 = seconds(() -> pictures.forEach(peer::bytes));
            tell(peer.name(), "encode_and_decode", both2 / peer.arrangements());
        }
        found.add(Outcome.of(condition, TIER, "bins, ours").with("allocated_bytes_per_bin", allocatedPerBin()));
        found.add(Outcome.of(condition, TIER, "samples, ours")
                .with("allocated_bytes_per_bin", allocatedRefining(base.get(0))));
        return found;
    }

    private void tell(String coder, String what, double seconds) {
        found.add(Outcome.of(condition, TIER, coder).with(what + "_msamples_per_s", dive.samples() / seconds / 1e6));
    }

    /** The quickest of some rounds: the others were warming up or interrupted. */
    private static double seconds(Runnable work) {
        double least = Double.MAX_VALUE;
        for (int i = 0; i < ROUNDS; i++) {
            long start = System.nanoTime();
            work.run();
            least = Math.min(least, (System.nanoTime() - start) / 1e9);
        }
        return least;
    }

    /** The same of the encoder of samples, over one base message. */
    private static double allocatedRefining(OwnCodec.Sent base) {
        ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        OwnCodec.Base told =
                OwnCodec.base(OwnCodec.accepted(List.of(base.bytes())).get(0));
        int bins = base.bins().size();
        int lit = (int) told.bins().stream().filter(bin -> bin.samples > 0).count();
        BinRecord[] own = base.bins().toArray(new BinRecord[0]);
        BinRecord[] as = told.bins().toArray(new BinRecord[0]);
        SamplesEncoder encoder = OwnCodec.samplesEncoder();
        byte[] body = new byte[OwnCodec.MESSAGE_BYTES];
        long least = Long.MAX_VALUE;
        for (int i = 0; i < ROUNDS; i++) {
            long before = threads.getCurrentThreadAllocatedBytes();
            encoder.begin(told.header(), lit, 0, 0);
            for (int n = 0; n < bins; n++) {
                encoder.add(own[n], as[n]);
            }
            while (!encoder.done()) {
                encoder.write(body, 0, body.length, 0);
            }
            least = Math.min(least, threads.getCurrentThreadAllocatedBytes() - before);
        }
        return least / (double) bins;
    }

    /** By the thread's own counter; the least of some rounds, since compiling is charged to it too. */
    private double allocatedPerBin() {
        ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        BlockHeader header = OwnCodec.header(dive, BasisCodec.NUMBER);
        BlockCodec.Encoder encoder = Codecs.ofNumber(BasisCodec.NUMBER).encoder(header.samples);
        byte[] body = new byte[OwnCodec.MESSAGE_BYTES];
        BinRecord[] bins = dive.ofHead(0).toArray(new BinRecord[0]);
        long least = Long.MAX_VALUE;
        for (int i = 0; i < ROUNDS; i++) {
            long before = threads.getCurrentThreadAllocatedBytes();
            encoder.begin(body, 0, body.length, header);
            for (BinRecord bin : bins) {
                if (!encoder.add(bin, USUAL_STEP)) {
                    encoder.finish();
                    encoder.begin(body, 0, body.length, header);
                    encoder.add(bin, USUAL_STEP);
                }
            }
            least = Math.min(least, threads.getCurrentThreadAllocatedBytes() - before);
        }
        return least / (double) bins.length;
    }
}
