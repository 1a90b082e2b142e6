package sunward.firmware;

import sunward.protocol.bits.BodyWriter;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.Kind;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.spectra.BasisCodec;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Codecs;
import sunward.protocol.spectra.DeltaCodec;
import sunward.protocol.spectra.FirstLook;
import sunward.protocol.spectra.FirstLookCodec;
import sunward.protocol.spectra.WavelengthGrid;
import sunward.protocol.spectra.Workspace;

/**
 * Turns finished bins into the dive's messages within the plan's budget.
 *
 * <p>Order of sending: the first look, which alone tells where, when, how many messages, and the surface spectrum; the ledger; the outline; the bins near the surface, even and odd ones in different messages and the heads in
 * turn, so that a lost message thins the profile instead of cutting it; temperature and salinity; the deeper bins; the
 * ledger again; repair messages over all of these. Where a stream of near bins ends inside a message, deeper bins of the same head fill it up.
 *
 * <p>How finely the bins are written is {@link Precision}'s choice. When even the coarsest settings do not fit, the deepest
 * bins stay behind and the ledger says so.
 *
 * <p>From how many messages on first look, copy and outline go is fixed: each is one message that outlives the loss of others, which
 * the score of bins that all arrive cannot weigh; below those numbers one message of bins in eight or twelve would be too dear.
 * Messages that the finest steps leave over stay unused: from 52 to 71 messages stated uncertainty at 412 to 670 nm falls by a
 * thousandth of itself, so samples could not lower it; what they would mend is what codec 2 leaves out beyond 690 nm.
 */
final class Packer {
    /** Unsent reason: everything went. */
    static final int ALL_SENT = 0;

    /** Unsent reason: the plan's messages were full. */
    static final int MESSAGE_BUDGET = 1;

    /** Numbers of the codecs that {@link Precision} chooses from. */
    private static final int[] CODECS = {BasisCodec.NUMBER, DeltaCodec.NUMBER};

    /** What encoders hold beside working memory: fields and coders; held to the truth by a test. */
    private static final int CODEC_BYTES = 4 * 1024;

    /** The codec's limit on the product of gain (sixteenths) and read noise (quarters), see WIRE.md. */
    private static final int MOST_GAIN_TIMES_READ = 1 << 23;

    /** Bins of a stream that a message's noise is stated for: about as many as go into one. A quieter bin after them begins the next. */
    private static final int BINS_AHEAD = 16;

    /** How many of the messages of a stream are tried to tell how many there will be. */
    private static final int NEAR_ONE_IN = 2;

    private static final int DEEP_ONE_IN = 5;

    /** More messages left free than this are worth trying finer steps in full. */
    private static final int SPARE = 1;

    private static final int FEWEST_WITH_COPY = 6;
    private static final int FEWEST_WITH_FIRST_LOOK = 8;
    private static final int FEWEST_WITH_OUTLINE = 12;

    /** Samples of a head in the first look, at most: 3.75 nm each for the reference head. */
    private static final int FIRST_LOOK_SAMPLES = 150;

    /** The counts of messages, known only when all is packed, change the first look's length by fewer bytes than this. */
    private static final int COUNTS_CHANGE_BYTES = 4;

    private static final int FIRST_LOOK_BYTES = 8 * 1024; // models and spectra, held to the truth by a test
    private static final int FEWEST_WITH_ANCILLARY = 10;
    private static final int FEWEST_WITH_TWO_ANCILLARY = 40;

    /** A profile left behind whole counts as much as a tenth of the surface's uncertainty, and a quarter of that beside its outline. */
    private static final double PROFILE = 0.2;

    private static final double PROFILE_BESIDE_OUTLINE = 0.05;

    /** Beside the outline, halving the resolution of the spectrum counts as much as a hundredth of the surface's uncertainty. */
    private static final double DETAIL = 0.02;

    /** A bin too long for an empty message would leave a hole: only where every setting has one. */
    private static final double HOLE = 100;

    private final FloatPlan plan;
    private final BinStore bins;
    private final AncillaryLog ancillary;
    private final Ledger ledger;
    private final Outbox outbox;
    private final MessageWriter messages;
    private final RepairWriter repair;
    private final BodyWriter body = new BodyWriter();
    private final BlockHeader header = new BlockHeader();
    private final BinRecord bin;
    private final Workspace work = new Workspace();
    private final BlockCodec.Encoder[] encoders = new BlockCodec.Encoder[CODECS.length];
    private final FirstLookFit firstLookFit;
    private final FirstLook firstLook;
    private final FirstLookCodec firstLookCodec;
    private final OutlinePacker outline;
    private final BinStreams streams;
    private final Precision precision;
    private final SurfaceScore score;
    private final Precision.Trial trial = new Precision.Trial() {
        @Override
        public boolean fits() {
            return Packer.this.fits();
        }

        @Override
        public boolean spare() {
            return budget - used > SPARE;
        }

        @Override
        public double share() {
            return Packer.this.share();
        }

        @Override
        public double score() {
            double behind = 1 - streams.sentShare();
            int halvings = 31 - Integer.numberOfLeadingZeros(precision.channelsPerSample());
            return (score.known() ? score.value() : 0)
                    + (smooth ? PROFILE_BESIDE_OUTLINE * behind + DETAIL * halvings : PROFILE * behind)
                    + (skipped > 0 ? HOLE : 0);
        }
    };

    private BlockCodec codec;
    private BlockCodec.Encoder encoder;
    private int budget;
    private boolean commit;
    private int dive;
    private int position;
    private int part;
    private int used;
    private int skipped;
    private boolean flashFull;
    private boolean smooth;
    private int firstLookGroup;
    private int fineness;

    Packer(
            FloatPlan plan,
            BinGrid grid,
            BinStore bins,
            AncillaryLog ancillary,
            Ledger ledger,
            Outbox outbox,
            MessageWriter messages,
            int maxChannels) {
        this.plan = plan;
        this.bins = bins;
        this.ancillary = ancillary;
        this.ledger = ledger;
        this.outbox = outbox;
        this.messages = messages;
        repair = new RepairWriter(plan, outbox, messages);
        bin = new BinRecord(maxChannels);
        for (int i = 0; i < CODECS.length; i++) {
            work.rewind();
            encoders[i] = Codecs.ofNumber(CODECS[i]).encoder(Math.max(16, maxChannels), work);
        }
        work.rewind();
        outline = new OutlinePacker(plan, bins, bin, work);
        work.rewind();
        firstLookFit = new FirstLookFit(plan, bins, bin, FIRST_LOOK_SAMPLES, work);
        firstLook = new FirstLook(plan.heads.length, FIRST_LOOK_SAMPLES);
        firstLookCodec = new FirstLookCodec(FIRST_LOOK_SAMPLES);
        streams = new BinStreams(bins, grid, plan.nearSurfaceDbar, plan.heads.length);
        precision = new Precision(plan);
        score = new SurfaceScore(plan);
    }

    int ramBytes() {
        return 4 * bin.counts.length
                + streams.ramBytes()
                + score.ramBytes()
                + CODEC_BYTES
                + work.ramBytes()
                + firstLookFit.ramBytes()
                + FIRST_LOOK_BYTES
                + outline.ramBytes()
                + repair.ramBytes();
    }

    /**
     * Packs a dive into the outbox.
     *
     * @return messages written
     */
    int pack(int diveNumber) {
        dive = diveNumber;
        flashFull = false;
        outbox.open(plan.dataMessages + plan.repairMessages, plan.messageBytes);
        int allowed = Allowance.all(plan, outbox.room(plan.messageBytes));
        int room = Allowance.data(plan, allowed, repair);
        boolean copy = room >= FEWEST_WITH_COPY;
        boolean known = firstLookFits();
        boolean look = known && room >= FEWEST_WITH_FIRST_LOOK;
        score.expect(firstLook);
        smooth = room >= FEWEST_WITH_OUTLINE && outlineFits();
        int opening = 1 + (copy ? 1 : 0) + (look ? 1 : 0) + (smooth ? 1 : 0);
        budget = room - opening;
        if (!precision.choose(trial)) {
            fits();
        }
        ledger.clearSent();
        boolean all = skipped == 0;
        for (int h = 0; h < streams.heads(); h++) {
            ledger.binsSent(h, streams.sent(h));
            all &= streams.sent(h) == ledger.binsMade(h);
        }
        int planned = opening + used;
        int repairs = repair.count(planned, allowed - planned);
        ledger.messages(planned, repairs);
        int reason = all ? ALL_SENT : MESSAGE_BUDGET;
        int first = outbox.next();
        commit = true;
        position = 0;
        if (look) {
            firstLook.messagesPlanned = planned;
            firstLook.repairMessages = repairs;
            begin(BlockType.FIRST_LOOK, 0);
            end(packFirstLook(bodyLimit()));
        }
        writeLedger(0, reason);
        if (smooth) {
            describeOutline();
            begin(BlockType.OUTLINE, 0);
            end(outline.write(header, messages.buffer(), messages.bodyOffset(), bodyLimit()));
        }
        run();
        if (copy) {
            writeLedger(1, reason);
        }
        commit = false;
        if (!flashFull) {
            flashFull = !repair.append(dive, first, planned, repairs);
        }
        return position + repairs;
    }

    /** True when the outbox refused a message of the dive last packed. */
    boolean flashFull() {
        return flashFull;
    }

    /** Fits the first look and packs it as finely as one message holds; false when there is none to send. */
    private boolean firstLookFits() {
        firstLook.clear();
        ledger.describe(firstLook);
        int most = 1;
        for (FloatPlan.Head head : plan.heads) {
            most = Math.max(most, head.channels);
        }
        firstLookGroup = (most + FIRST_LOOK_SAMPLES - 1) / FIRST_LOOK_SAMPLES;
        while (firstLookGroup <= WavelengthGrid.MAX_CHANNELS_PER_SAMPLE) {
            firstLook.heads = 0;
            for (int h = 0; h < plan.heads.length; h++) {
                boolean good =
                        plan.heads[h].upwelling && firstLookFit.fit(h, firstLookGroup, firstLook.head(firstLook.heads));
                firstLook.heads += good ? 1 : 0;
            }
            for (fineness = 0; fineness < FirstLookCodec.FINENESSES && firstLook.heads > 0; fineness++) {
                if (packFirstLook(bodyLimit() - COUNTS_CHANGE_BYTES) > 0) {
                    return true;
                }
            }
            firstLookGroup *= 2;
        }
        return false;
    }

    /** Fits the outline; false when there is none to send. */
    private boolean outlineFits() {
        return describeOutline() && outline.fits(header, messages.buffer(), messages.bodyOffset(), bodyLimit());
    }

    private boolean describeOutline() {
        for (int h = 0; h < plan.heads.length; h++) {
            if (plan.heads[h].upwelling) {
                int group = OutlinePacker.group(plan.heads[h].channels);
                describe(h, group, BinStore.samples(plan.heads[h].channels, group));
                return true;
            }
        }
        return false;
    }

    /** Length of the first look's body at the settings that now hold, or -1. */
    private int packFirstLook(int limit) {
        describe(firstLook.head(0).number, firstLookGroup, firstLook.head(0).samples);
        return firstLookCodec.encode(firstLook, header, fineness, messages.buffer(), messages.bodyOffset(), limit);
    }

    /** Tries the settings without writing; true when every bin went. */
    private boolean fits() {
        commit = false;
        run();
        return streams.allSent();
    }

    /**
     * Messages that every bin would take at the settings that now hold, over those that are left for bins: from some of them, a
     * message here and there, so for a fraction of the work. Near the surface odd bins are as even ones.
     */
    private double share() {
        useCodec();
        streams.restart();
        double needed = 0;
        for (int h = 0; h < streams.heads(); h++) {
            needed += 2 * needed(h, BinStreams.EVEN, NEAR_ONE_IN) + needed(h, BinStreams.DEEP, DEEP_ONE_IN);
        }
        return needed / Math.max(1, budget - ancillaryParts());
    }

    /** Messages that a stream needs, from the bytes of one in so many: each stands for the bins about it; half a bin stays free. */
    private double needed(int head, int stream, int oneIn) {
        double needed = 0;
        int before = 0;
        double each = 0;
        while (streams.holds(head, stream)) {
            int inMessage = open(head, stream);
            if (inMessage > 0) {
                double bytes = encoder.finish() / (double) inMessage;
                each = bytes / Math.max(bytes, bodyLimit() - bytes / 2);
            }
            int around = inMessage * (oneIn - 1);
            needed += each * (before + inMessage + streams.skip(head, stream, around / 2));
            before = streams.skip(head, stream, around - around / 2);
        }
        return needed + each * before;
    }

    /** Goes through the dive in its order, up to the budget; writes when {@link #commit} is set. */
    private void run() {
        useCodec();
        used = 0;
        part = 0;
        skipped = 0;
        score.begin();
        streams.restart();
        boolean more = true;
        while (more) {
            more = round(BinStreams.EVEN);
            more |= round(BinStreams.ODD);
        }
        writeAncillary();
        while (round(BinStreams.DEEP)) {
            // until the deep bins or the budget are at their end
        }
    }

    private void useCodec() {
        codec = Codecs.ofNumber(precision.codec());
        for (int i = 0; i < CODECS.length; i++) {
            encoder = CODECS[i] == precision.codec() ? encoders[i] : encoder;
        }
    }

    /** Fills one message from a stream of each head; false when no head has any bin left in it, or no message is left. */
    private boolean round(int stream) {
        boolean more = false;
        for (int h = 0; h < streams.heads(); h++) {
            if (streams.holds(h, stream) && used < budget) {
                fill(h, stream);
                more = true;
            }
        }
        return more;
    }

    /** Fills one message from a stream of a head, then from its deep bins. */
    private void fill(int head, int stream) {
        int inMessage = open(head, stream);
        if (stream != BinStreams.DEEP && !streams.holds(head, stream)) {
            inMessage += drain(head, BinStreams.DEEP, inMessage);
        }
        if (inMessage == 0) {
            return; // nothing fits an empty message: the bins were skipped
        }
        part++;
        used++;
        end(encoder.finish());
    }

    /** Opens a message and fills it from a stream; returns the bins in it. */
    private int open(int head, int stream) {
        int group = precision.channelsPerSample();
        describe(head, group, BinStore.samples(plan.heads[head].channels, group));
        header.readNoiseQuarters = stated(streams.leastDarkNoise(head, stream, BINS_AHEAD));
        header.codec = precision.codec();
        begin(BlockType.BINS, part);
        encoder.begin(messages.buffer(), messages.bodyOffset(), bodyLimit(), header);
        return drain(head, stream, 0);
    }

    private void describe(int head, int group, int samples) {
        FloatPlan.Head h = plan.heads[head];
        header.head = head;
        header.samples = samples;
        header.channelsPerSample = group;
        header.gainSixteenths = (int) Math.max(1, Math.min(16383, Math.floor(h.gainElectronsPerCount * 16 + 0.5)));
        header.readNoiseQuarters = (int) Math.max(0, Math.min(mostNoise(), Math.floor(h.readNoiseCounts * 4 + 0.5)));
        header.calibrationTag = tag(plan.calibrationDigest);
        header.planTag = tag(plan.planDigest);
    }

    /** How a header states a noise in 1/64 count. */
    private int stated(int darkNoise) {
        return Math.min(mostNoise(), darkNoise / BinRecord.DARK_NOISE_PER_QUARTER);
    }

    /** The most noise, quarters of a count, that the header takes beside its gain. */
    private int mostNoise() {
        return Math.min(4095, MOST_GAIN_TIMES_READ / header.gainSixteenths);
    }

    /** Adds bins of a stream until one does not fit; one that fits no empty message is left out for good. */
    private int drain(int head, int stream, int before) {
        int step = stream == BinStreams.DEEP ? precision.deepStep() : precision.nearStep();
        int added = 0;
        while (streams.holds(head, stream)) {
            bins.load(streams.place(head, stream), precision.channelsPerSample(), bin);
            if (before + added > 0 && stated(bin.darkNoise) < header.readNoiseQuarters) {
                return added;
            }
            boolean taken = encoder.add(bin, step);
            if (!taken && before + added > 0) {
                return added;
            }
            added += taken ? 1 : 0;
            skipped += taken ? 0 : 1;
            if (taken) {
                score.add(bin, precision.channelsPerSample(), codec.errorBoundSigma(step), codec.bandwise());
            }
            streams.pass(head, stream, taken);
        }
        return added;
    }

    private void writeAncillary() {
        int parts = ancillaryParts();
        for (int i = 0; i < parts && used < budget; i++) {
            begin(BlockType.ANCILLARY, i);
            int length = ancillary.write(body, messages.buffer(), messages.bodyOffset(), bodyLimit(), i, parts);
            used++;
            end(length);
        }
    }

    private int ancillaryParts() {
        return ancillary.size() == 0 || plan.dataMessages < FEWEST_WITH_ANCILLARY
                ? 0
                : plan.dataMessages < FEWEST_WITH_TWO_ANCILLARY ? 1 : 2;
    }

    private void writeLedger(int copy, int reason) {
        begin(BlockType.LEDGER, copy);
        int length = ledger.write(
                body, messages.buffer(), messages.bodyOffset(), bodyLimit(), precision.channelsPerSample(), reason);
        end(length);
    }

    private int bodyLimit() {
        return messages.bodyLimit() - repair.reservedBytes();
    }

    private void begin(BlockType block, int number) {
        if (commit) {
            messages.begin(Kind.DIVE, plan.simulated, plan.floatNumber, dive, position, block.number(), number);
        }
    }

    private void end(int bodyLength) {
        if (commit) {
            int length = messages.finish(bodyLength);
            flashFull |= !outbox.append(position, messages.buffer(), length);
            position++;
        }
    }

    /** The first four bytes of a digest as a number. */
    private static int tag(byte[] digest) {
        return (digest[0] & 0xff) << 24 | (digest[1] & 0xff) << 16 | (digest[2] & 0xff) << 8 | digest[3] & 0xff;
    }

    /** Channels averaged into a sample in the dive last packed. */
    int channelsPerSample() {
        return precision.channelsPerSample();
    }

    /** Step code near the surface in the dive last packed. */
    int nearStep() {
        return precision.nearStep();
    }

    /** Step code below. */
    int deepStep() {
        return precision.deepStep();
    }
}
