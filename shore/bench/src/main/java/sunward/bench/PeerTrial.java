package sunward.bench;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Predicate;
import sunward.protocol.spectra.BinRecord;

/** The other coders on the bins of one dive: all at the coarsest common step that meets a tier's target, zfp at its own. */
final class PeerTrial {
    private static final int MESSAGE_BODY = OwnCodec.MESSAGE_BYTES - 16;

    /** Steps: eighths of an octave. */
    private static final int COARSEST = 32;

    private static final int FINEST = -32;

    /** Tolerances of zfp: powers of two, as it rounds them down to. */
    private static final int ZFP_COARSEST = 5;

    private static final int ZFP_FINEST = -5;

    private final Condition condition;
    private final DiveBins dive;
    private final boolean slowOnes;

    PeerTrial(Condition condition, DiveBins dive, boolean slowOnes) {
        this.condition = condition;
        this.dive = dive;
        this.slowOnes = slowOnes;
    }

    List<Outcome> run(Tier tier) {
        List<Outcome> found = new ArrayList<>();
        int step = coarsest(tier.target);
        Judgement judged = step < FINEST ? null : Judgement.of(dive, quantised(step(step)));
        for (Peer peer : Peer.all()) {
            if (peer.slow() && !slowOnes) {
                continue;
            }
            Outcome outcome = Outcome.of(condition, tier.word, peer.name());
            if (judged != null) {
                outcome.with(Outcome.BYTES, onAir(bytes(peer, step(step))))
                        .with("step", step(step))
                        .with(judged);
            }
            found.add(outcome);
        }
        if (slowOnes && FloatArrays.available()) {
            found.add(floatArray(tier));
        }
        return found;
    }

    /** Bytes against error at some steps, for the picture. */
    List<Outcome> curve() {
        List<Outcome> found = new ArrayList<>();
        for (int eighths = -8; eighths <= 24; eighths += 8) {
            Judgement judged = Judgement.of(dive, quantised(step(eighths)));
            for (Peer peer : Peer.all()) {
                if (!peer.slow()) {
                    found.add(Outcome.of(condition, "curve", peer.name())
                            .with(Outcome.BYTES, onAir(bytes(peer, step(eighths))))
                            .with("step", step(eighths))
                            .with(judged));
                }
            }
        }
        return found;
    }

    private int coarsest(Predicate<Judgement> meets) {
        int fine = FINEST;
        int coarse = COARSEST;
        if (!meets.test(Judgement.of(dive, quantised(step(fine))))) {
            return FINEST - 1;
        }
        while (coarse - fine > 1) {
            int middle = Math.floorDiv(fine + coarse, 2);
            if (meets.test(Judgement.of(dive, quantised(step(middle))))) {
                fine = middle;
            } else {
                coarse = middle;
            }
        }
        return fine;
    }

    static double step(int eighths) {
        return Math.pow(2, eighths / 8.0);
    }

    private DiveBins quantised(double step) {
        List<BinRecord> bins = new ArrayList<>();
        for (int head = 0; head < dive.heads(); head++) {
            bins.addAll(Picture.of(dive, head, step).bins(dive, head, step));
        }
        return dive.with(bins);
    }

    private double bytes(Peer peer, double step) {
        double sum = 0;
        for (int head = 0; head < dive.heads(); head++) {
            sum += peer.bytes(Picture.of(dive, head, step));
        }
        return sum;
    }

    /** With 16 bytes of header and seal for each message of a stream cut to measure. */
    static double onAir(double bytes) {
        return bytes + 16.0 * Math.ceil(bytes / MESSAGE_BODY);
    }

    private Outcome floatArray(Tier tier) {
        Outcome outcome = Outcome.of(condition, tier.word, FloatArrays.NAME);
        for (int power = ZFP_COARSEST; power >= ZFP_FINEST; power--) {
            double tolerance = Math.pow(2, power);
            double bytes = 0;
            List<BinRecord> bins = new ArrayList<>();
            for (int head = 0; head < dive.heads(); head++) {
                Picture fields = Picture.of(dive, head, 1);
                if (fields.rows().length == 0) {
                    continue;
                }
                FloatArrays.Coded coded = FloatArrays.code(Picture.inNoise(dive, head), tolerance);
                bytes += coded.bytes() + Peer.fieldBytes(fields);
                bins.addAll(fields.bins(dive, head, coded.rows()));
            }
            Judgement judged = Judgement.of(dive, dive.with(bins));
            if (tier.target.test(judged)) {
                return outcome.with(Outcome.BYTES, onAir(bytes))
                        .with("step", tolerance)
                        .with(judged);
            }
        }
        return outcome;
    }
}
