package sunward.bench;

import java.util.ArrayList;
import java.util.List;
import sunward.protocol.message.Message;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Outline;
import sunward.protocol.spectra.OutlineCodec;
import sunward.protocol.spectra.OutlineModel;

/**
 * The other coders on an outline: they get the very same smooth spectra at the very same knots, of every head, as integers in
 * steps of a usual bin's noise there, and its other fields. Each has the coarsest common step at which the profile is as near the
 * truth as ours is, within one percent.
 */
final class OutlinePeers {
    private static final int COARSEST = 48;
    private static final int FINEST = -32;
    private static final double AS_NEAR = 1.01;
    /** Scans of a usual bin, in whose noise the steps are. */
    private static final double USUAL_SCANS = 6;

    private static final double DARKEST_RATE = 1e-9;

    private final Condition condition;
    private final DiveBins dive;
    private final DiveBins truth;
    private final NoiseUnits units;
    private final Outline outline = new Outline();
    private final BlockHeader header = new BlockHeader();
    private final double[][][] log;

    OutlinePeers(Condition condition, DiveBins dive, DiveBins truth, byte[] message) {
        this.condition = condition;
        this.dive = dive;
        this.truth = truth;
        units = dive.units();
        OutlineModel model = new OutlineModel();
        Message outer = OwnCodec.accepted(List.of(message)).get(0);
        byte[] body = outer.body();
        if (!new OutlineCodec(model).decode(body, 0, body.length, header, outline)) {
            throw new IllegalStateException("an outline of ours is spoilt");
        }
        log = new double[outline.heads][outline.knots][header.samples];
        for (int h = 0; h < outline.heads; h++) {
            for (int j = 0; j < outline.knots; j++) {
                model.at(outline, h, outline.knotCm[j] / 100.0, log[h][j]);
            }
        }
    }

    List<Outcome> run(boolean slowOnes) {
        double limit = AS_NEAR * error(log);
        int step = FINEST;
        while (step < COARSEST && error(read(picture(PeerTrial.step(step + 1)), PeerTrial.step(step + 1))) <= limit) {
            step++;
        }
        List<Outcome> found = new ArrayList<>();
        Picture picture = picture(PeerTrial.step(step));
        double error = error(read(picture, PeerTrial.step(step)));
        for (Peer peer : Peer.all()) {
            if (peer.slow() && !slowOnes) {
                continue;
            }
            Outcome outcome = Outcome.of(condition, "outline-nodes", peer.name());
            if (error <= limit) {
                outcome.with(Outcome.BYTES, PeerTrial.onAir(peer.bytes(picture)));
            }
            found.add(outcome.with("step", PeerTrial.step(step)).with("truth_sigma", error));
        }
        return found;
    }

    private double scale() {
        return Math.sqrt(USUAL_SCANS * header.channelsPerSample);
    }

    private double exposureS(int knot) {
        return dive.shortestS() * (1 << outline.exposureCode[knot]);
    }

    private Picture picture(double step) {
        int[][] rows = new int[outline.heads * outline.knots][header.samples];
        int[][] fields = new int[rows.length][];
        for (int h = 0; h < outline.heads; h++) {
            for (int j = 0; j < outline.knots; j++) {
                int row = h * outline.knots + j;
                for (int k = 0; k < header.samples; k++) {
                    double counts = Math.exp(log[h][j][k]) * exposureS(j);
                    rows[row][k] = (int) Math.rint(units.of(counts) * scale() / step);
                }
                fields[row] = fields(h, j);
            }
        }
        return new Picture(rows, fields);
    }

    /** Of a knot, and its share of the novelty, which is told once for all. */
    private int[] fields(int head, int j) {
        int cells = Outline.GROUPS * Outline.BANDS;
        int share = (cells + outline.knots - 1) / outline.knots;
        int[] all = new int[5 + share];
        if (head == 0) {
            all[0] = outline.knotCm[j];
            all[1] = outline.exposureCode[j];
            all[2] = outline.scatter[j];
            all[3] = outline.misfitTenths[j];
            all[4] = outline.misfitBand[j];
            for (int i = 0; i < share && j * share + i < cells; i++) {
                int cell = j * share + i;
                all[5 + i] = outline.novelty[cell / Outline.BANDS][cell % Outline.BANDS] / OutlineCodec.NOVELTY_STEP;
            }
        }
        return all;
    }

    private double[][][] read(Picture picture, double step) {
        double[][][] told = new double[outline.heads][outline.knots][header.samples];
        for (int h = 0; h < outline.heads; h++) {
            for (int j = 0; j < outline.knots; j++) {
                int[] row = picture.rows()[h * outline.knots + j];
                for (int k = 0; k < header.samples; k++) {
                    double counts = units.counts(row[k] * step / scale());
                    told[h][j][k] = Math.log(Math.max(DARKEST_RATE, counts / exposureS(j)));
                }
            }
        }
        return told;
    }

    private double error(double[][][] nodes) {
        double sampleNm = (dive.channelNm().get(1) - dive.channelNm().get(0)) * header.channelsPerSample;
        List<double[]> told = new ArrayList<>();
        double[] here = new double[header.samples];
        for (BinRecord bin : dive.bins()) {
            double depthM = DiveBins.depthM(bin);
            int layer = outline.layer(depthM);
            double[][] head = nodes[bin.head == outline.head[0] ? 0 : nodes.length - 1];
            int after = layer + 2 < outline.knots ? layer + 2 : -1;
            OutlineModel.cubic(outline.knotCm, head, layer - 1, layer, layer + 1, after, depthM, here);
            double[] counts = OutlineJudgement.spread(here, header.channelsPerSample, bin.samples);
            double t = dive.exposureS(bin);
            for (int c = 0; c < counts.length; c++) {
                counts[c] *= t;
            }
            told.add(counts);
        }
        return TruthError.of(dive, truth, told, 2 * sampleNm * sampleNm / 12).sigma();
    }
}
