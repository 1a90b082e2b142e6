package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.message.Verdict;
import sunward.protocol.repair.Repair;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Codecs;
import sunward.protocol.spectra.FirstLook;
import sunward.protocol.spectra.FirstLookCodec;

/** The packer alone, on made-up bins. */
class PackerTest {
    private static final int BINS = 100;
    private static final int NEAR = 60; // 20 dbar by the reference zones: 50 of 0.2 dbar and 10 of 1 dbar

    private final FloatPlan plan;
    private final BinStore bins;
    private final Ledger ledger;
    private final AncillaryLog ancillary = new AncillaryLog(2);
    private final BinRecord[][] made;

    PackerTest() {
        plan = TestPlans.reference(2, 64);
        TestFlash flash = new TestFlash(1 << 20);
        bins = new BinStore(new Region(flash, 0, 1 << 20), 64, 430);
        ledger = new Ledger(plan);
        made = new BinRecord[2][BINS];
        fillBins(64);
    }

    private void fillBins(int channels) {
        Random random = new Random(8);
        ledger.start(MadeUpDive.NOON);
        ledger.fix(MadeUpDive.NOON, 1_100_000, 14_200_000);
        ledger.tareBefore(500);
        ledger.tareAfter(600);
        ancillary.clear();
        for (int i = 0; i < 300; i++) {
            ancillary.add(25_000 - 80 * i, 20_000 + 30 * i, 34_900 - i, 80 + i % 7, 400 - i % 5);
        }
        for (int h = 0; h < 2; h++) {
            for (int b = 0; b < BINS; b++) {
                BinRecord bin = new BinRecord(channels);
                bin.head = h;
                bin.bin = b;
                bin.exposureCode = 4;
                bin.used = 7;
                bin.timeS = MadeUpDive.NOON / 1000 - 7L * b;
                bin.pressureMdbar = 200 * b;
                bin.offsetMm = 250;
                bin.depthSdMm = 58;
                bin.tiltCdeg = 150;
                bin.antisunDeg = 170;
                bin.darkCounts = 905;
                bin.darkScans = 16;
                bin.darkNoise = b < BINS / 2 ? 16 * (33 + b % 7) + 15 : 16 * (44 - b / 16);
                bin.samples = channels;
                for (int c = 0; c < channels; c++) {
                    double counts = 40_000 * Math.exp(-b * (0.01 + 0.002 * c));
                    double noise = Math.sqrt((counts / 3.8 + 64) / 7) * random.nextGaussian();
                    bin.counts[c] = (int) Math.rint(64 * (counts + noise));
                }
                made[h][b] = bin;
                assertTrue(bins.add(bin));
                ledger.binMade(h);
            }
        }
    }

    /** What arrived of a pack: bins by head, messages in all. */
    private record Arrived(
            Set<Integer> first, Set<Integer> second, List<Set<Integer>> byMessage, int messages, Packer packer) {
        int bins() {
            return first.size() + second.size();
        }
    }

    private Arrived pack(int budget, int messageBytes) {
        plan.dataMessages = budget;
        plan.messageBytes = messageBytes;
        TestFlash flash = new TestFlash(1 << 21);
        Journal journal = new Journal(new Region(flash, 0, 8192));
        Outbox outbox =
                new Outbox(new Region(flash, 8192, 1 << 19), new Region(flash, 8192 + (1 << 19), 1 << 19), journal);
        journal.boot();
        outbox.boot();
        MessageWriter writer = new MessageWriter(plan.sealKey, messageBytes);
        Packer packer = new Packer(plan, new BinGrid(plan), bins, ancillary, ledger, outbox, writer, 64);
        int messages = packer.pack(3);
        String where = budget + " messages of " + messageBytes;
        assertEquals(messages, outbox.waiting(), where);
        assertTrue(messages <= budget && messages >= 1, where);
        Arrived arrived = new Arrived(new TreeSet<>(), new TreeSet<>(), new ArrayList<>(), messages, packer);
        byte[] buffer = new byte[messageBytes];
        for (int p = 0; p < messages; p++) {
            int length = outbox.peek(buffer);
            outbox.handedOver();
            KeyRing keys = plan.sealKey == null ? KeyRing.none() : KeyRing.of(Map.of(plan.floatNumber, plan.sealKey));
            Verdict verdict = MessageReader.read(Arrays.copyOf(buffer, length), keys);
            assertTrue(verdict instanceof Verdict.Accepted, where + ": " + verdict);
            Message message = ((Verdict.Accepted) verdict).message();
            assertEquals(p, message.position());
            if (message.block() == BlockType.BINS.number()) {
                decode(message.body(), arrived, where);
            }
        }
        assertEquals(arrived.first.size(), ledger.binsSentOf(0), where);
        assertEquals(arrived.second.size(), ledger.binsSentOf(1), where);
        return arrived;
    }

    /**
     * By hand: the made-up bins of channel c are 40000 exp(-b (0.01 + 0.002 c)) at z = 0.25 + 0.2 b m in 64 ms, so K = 0.05 +
     * 0.01 c per m and the surface exp(0.25 K) brighter than the first bin; the first message says so.
     */
    @Test
    void firstLookFindsTheMadeUpSurface() {
        plan.dataMessages = 20;
        plan.messageBytes = 340;
        TestFlash flash = new TestFlash(1 << 21);
        Journal journal = new Journal(new Region(flash, 0, 8192));
        Outbox outbox =
                new Outbox(new Region(flash, 8192, 1 << 19), new Region(flash, 8192 + (1 << 19), 1 << 19), journal);
        journal.boot();
        outbox.boot();
        MessageWriter writer = new MessageWriter(null, 340);
        new Packer(plan, new BinGrid(plan), bins, ancillary, ledger, outbox, writer, 64).pack(3);
        byte[] buffer = new byte[340];
        int length = outbox.peek(buffer);
        Verdict verdict = MessageReader.read(Arrays.copyOf(buffer, length), KeyRing.none());
        Message message = ((Verdict.Accepted) verdict).message();
        assertEquals(BlockType.FIRST_LOOK.number(), message.block());
        assertEquals(0, message.position());
        FirstLook look = new FirstLook(FirstLook.MAX_HEADS, 1024);
        byte[] body = message.body();
        assertTrue(new FirstLookCodec(1024).decode(body, 0, body.length, new BlockHeader(), look));
        assertEquals(2, look.heads);
        assertEquals(1100, look.latitudeCdeg);
        assertEquals(50, look.tareMdbar);
        assertEquals(outbox.waiting(), look.messagesPlanned + look.repairMessages);
        for (int h = 0; h < 2; h++) {
            FirstLook.Head head = look.head(h);
            assertEquals(64, head.samples);
            assertEquals(25, head.topCm);
            for (int c = 0; c < 64; c++) {
                double k = 0.05 + 0.01 * c;
                assertTrue(head.lit[c]);
                double surface = Math.exp(head.logSurface[c] / (double) FirstLook.LOG_ONE);
                assertEquals(1, surface / (40_000 / 0.064 * Math.exp(0.25 * k)), 0.01, "channel " + c);
                double found = Math.exp(head.logAttenuation[c] / (double) FirstLook.LOG_ONE);
                assertEquals(1, found / k, 0.02, "channel " + c);
            }
        }
    }

    /** Any loss of up to the plan's repair messages is made good from the others, whatever is lost. */
    @ParameterizedTest
    @ValueSource(ints = {3, 12, 52, 300})
    void repairMessagesRestoreAnyLossTheyAreMeantFor(int budget) {
        plan.repairMessages = (budget + 3) / 4;
        plan.dataMessages = budget;
        plan.messageBytes = 100;
        TestFlash flash = new TestFlash(1 << 21);
        Journal journal = new Journal(new Region(flash, 0, 8192));
        Outbox outbox =
                new Outbox(new Region(flash, 8192, 1 << 19), new Region(flash, 8192 + (1 << 19), 1 << 19), journal);
        journal.boot();
        outbox.boot();
        MessageWriter writer = new MessageWriter(plan.sealKey, plan.messageBytes);
        Packer packer = new Packer(plan, new BinGrid(plan), bins, ancillary, ledger, outbox, writer, 64);
        int all = packer.pack(3);
        List<Message> sent = new ArrayList<>();
        byte[] buffer = new byte[plan.messageBytes];
        for (int p = 0; p < all; p++) {
            int length = outbox.peek(buffer);
            outbox.handedOver();
            KeyRing keys = plan.sealKey == null ? KeyRing.none() : KeyRing.of(Map.of(plan.floatNumber, plan.sealKey));
            sent.add(((Verdict.Accepted) MessageReader.read(Arrays.copyOf(buffer, length), keys)).message());
        }
        int repairs = (int) sent.stream().filter(m -> m.kind() == Kind.REPAIR).count();
        assertTrue(repairs >= 1, "budget " + budget);
        Random random = new Random(budget);
        for (int trial = 0; trial < 5; trial++) {
            // A loss within one group; a dive of several groups holds its repair messages apart.
            List<Message> arrived = new ArrayList<>(sent);
            int lost = budget > 250 ? repairs / 3 : repairs;
            for (int i = 0; i < lost; i++) {
                arrived.remove(random.nextInt(arrived.size()));
            }
            Repair.Restored restored = Repair.restore(arrived);
            assertEquals(List.of(), restored.failures());
            Map<Integer, byte[]> bodies = new TreeMap<>();
            arrived.stream().filter(m -> m.kind() == Kind.DIVE).forEach(m -> bodies.put(m.position(), m.body()));
            restored.messages().forEach(m -> bodies.put(m.position(), m.body()));
            for (Message message : sent.subList(0, all - repairs)) {
                String where = "budget " + budget + " trial " + trial + " position " + message.position();
                assertArrayEquals(message.body(), bodies.get(message.position()), where);
            }
        }
    }

    private void decode(byte[] body, Arrived into, String where) {
        BlockCodec codec = Codecs.ofNumber(1);
        BlockCodec.Decoder decoder = codec.decoder(64);
        BlockHeader header = new BlockHeader();
        BinRecord bin = new BinRecord(64);
        assertEquals(BlockCodec.Decoder.END, decoder.begin(body, 0, body.length, header), where);
        Set<Integer> here = new HashSet<>();
        into.byMessage.add(here);
        int result = decoder.next(bin);
        while (result == BlockCodec.Decoder.BIN) {
            assertTrue((bin.head == 0 ? into.first : into.second).add(bin.bin), where + ": twice " + bin.bin);
            here.add(bin.head * BINS + bin.bin);
            checkSamples(bin, header.channelsPerSample, codec.errorBoundSigma(decoder.stepCode()), where);
            result = decoder.next(bin);
        }
        assertEquals(BlockCodec.Decoder.END, result, where);
    }

    /** Each sample is the mean of its channels to within the codec's bound, the noise taken from the formula and the bin's own dark. */
    private void checkSamples(BinRecord bin, int group, double bound, String where) {
        BinRecord truth = made[bin.head][bin.bin];
        assertTrue(bin.darkNoise <= truth.darkNoise, where + ": states more noise than bin " + bin.bin + " has");
        double dark = truth.darkNoise / 64.0;
        assertEquals((64 + group - 1) / group, bin.samples, where);
        for (int k = 0; k < bin.samples; k++) {
            double sum = 0;
            int n = 0;
            for (int c = k * group; c < Math.min(64, (k + 1) * group); c++) {
                sum += truth.counts[c] / 64.0;
                n++;
            }
            double mean = sum / n;
            double larger = Math.max(0, Math.max(mean, bin.counts[k] / 64.0));
            double sigma = Math.sqrt((larger / 3.8125 + dark * dark + 1 / 12.0) / (bin.used * group));
            assertEquals(mean, bin.counts[k] / 64.0, bound * sigma + 2 / 64.0, where + ", bin " + bin.bin);
        }
    }

    /** From 3 messages to 200 it always fits, and what stays behind is the deep end. */
    @ParameterizedTest
    @CsvSource({"64, false", "340, false", "340, true", "1960, true"})
    void everyBudgetFits(int messageBytes, boolean sealed) {
        plan.sealKey = sealed ? new byte[32] : null;
        int before = 0;
        int finest = 0;
        for (int budget = 3; budget <= 200; budget += budget < 12 ? 1 : 17) {
            Arrived arrived = pack(budget, messageBytes);
            String where = budget + " messages of " + messageBytes + ": ";
            assertTrue(arrived.bins() > 0, where + "nothing sent");
            assertTrue(arrived.bins() >= before, where + arrived.bins() + " bins, fewer than with less room");
            before = arrived.bins();
            deepEndStaysBehind(arrived.first, where);
            deepEndStaysBehind(arrived.second, where);
            finest = arrived.packer.channelsPerSample();
        }
        assertEquals(2 * BINS, before, "200 messages carry all");
        assertTrue(messageBytes < 340 || finest == 1);
    }

    private static void deepEndStaysBehind(Set<Integer> sent, String where) {
        Set<Integer> deep = new HashSet<>(sent);
        deep.removeIf(bin -> bin < NEAR);
        for (int bin : deep) {
            assertTrue(bin == NEAR || sent.contains(bin - 1) || bin - 1 < NEAR, where + "hole above bin " + bin);
        }
        for (int side = 0; side < 2; side++) {
            boolean gap = false;
            for (int bin = side; bin < NEAR; bin += 2) {
                assertTrue(!gap || !sent.contains(bin), where + "near hole above bin " + bin);
                gap |= !sent.contains(bin);
            }
        }
    }

    @Test
    void moreRoomIsSpentOnPrecision() {
        Arrived tight = pack(14, 340);
        Arrived ample = pack(40, 340);
        assertTrue(ample.packer.channelsPerSample() <= tight.packer.channelsPerSample());
        assertTrue(ample.packer.channelsPerSample() < tight.packer.channelsPerSample()
                || ample.packer.nearStep() < tight.packer.nearStep());
        assertTrue(ample.packer.nearStep() <= ample.packer.deepStep());
    }

    /** By hand: 40 messages of 340 bytes at 12 J and 20 s each; every limit is held by the whole dive, and used up to it. */
    @ParameterizedTest
    @CsvSource({"4000, 0, 0, 11", "0, 150, 0, 12", "0, 0, 299, 14", "4000, 150, 300, 11", "100, 1, 1, 1"})
    void bytesJoulesAndTimeAtTheSurfaceAreLimits(double bytes, double joules, double seconds, int most) {
        plan.mostBytes = bytes;
        plan.mostJoules = joules;
        plan.mostSurfaceS = seconds;
        plan.messageS = 20;
        Arrived arrived = pack(40, 340);
        assertTrue(arrived.messages <= most && arrived.messages >= most - 1, arrived.messages + " messages");
        assertEquals(most, Allowance.all(plan, 1000));
    }

    /** Repair messages are paid for out of the same limits: 9 of data and 3 of repair where 40 have 13. */
    @Test
    void repairMessagesShareTheLimits() {
        plan.repairMessages = 13;
        plan.mostJoules = 150;
        plan.dataMessages = 40;
        plan.messageBytes = 340;
        TestFlash flash = new TestFlash(1 << 21);
        Journal journal = new Journal(new Region(flash, 0, 8192));
        Outbox outbox =
                new Outbox(new Region(flash, 8192, 1 << 19), new Region(flash, 8192 + (1 << 19), 1 << 19), journal);
        journal.boot();
        outbox.boot();
        MessageWriter writer = new MessageWriter(null, 340);
        assertEquals(12, new Packer(plan, new BinGrid(plan), bins, ancillary, ledger, outbox, writer, 64).pack(3));
    }

    /** Room for few bins is spent on those near the surface, and not at the coarsest step. */
    @Test
    void fewMessagesGoToTheSurface() {
        plan.channelsPerSample = 1;
        Arrived few = pack(5, 150);
        String got = few.bins() + " bins at step " + few.packer.nearStep();
        assertTrue(few.packer.nearStep() < 15 && few.bins() < 2 * BINS, got);
        assertTrue(few.first.contains(0) && few.second.contains(0), few.first + " and " + few.second);
    }

    @Test
    void aPlanMayFixTheChannelsPerSample() {
        plan.channelsPerSample = 4;
        assertEquals(4, pack(60, 340).packer.channelsPerSample());
    }

    /** Losing any one message of bins leaves, of each head, no hole of more than one bin near the surface. */
    @Test
    void oneLostMessageThinsTheNearSurface() {
        Arrived whole = pack(24, 340);
        assertEquals(2 * BINS, whole.bins());
        assertTrue(whole.byMessage.size() > 8);
        for (Set<Integer> lost : whole.byMessage) {
            for (int key : lost) {
                boolean near = key % BINS < NEAR - 1;
                assertTrue(!near || !lost.contains(key + 1), "lost together: bins " + key + " and the next");
            }
        }
    }
}
