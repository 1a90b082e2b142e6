package sunward.profiles;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.Message;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Codecs;
import sunward.protocol.spectra.SamplesEncoder;

/** Messages of the samples tier on shore: with their base, before it, without it, and when they do not fit it. */
class RefinementsTest {
    private final TestDive dive = TestDive.of(3, true, TestDive.few());
    private final Map<Integer, List<BinRecord>> own = new HashMap<>();
    private final List<Message> refining = new ArrayList<>();

    /** Every bins message of the dive gets refinements to bins that differ from it by up to six deviations. */
    RefinementsTest() {
        Random random = new Random(9);
        int position = dive.bytes.size();
        for (Message base : dive.messages()) {
            if (base.block() != BlockType.BINS.number()) {
                continue;
            }
            BlockHeader header = new BlockHeader();
            List<BinRecord> told = decoded(base.body(), header);
            List<BinRecord> bins = new ArrayList<>();
            for (BinRecord bin : told) {
                BinRecord other = new BinRecord(bin.counts.length);
                other.copyFrom(bin);
                for (int c = 0; c < bin.samples; c++) {
                    other.counts[c] += (int) (64 * sigma(bin.counts[c], bin.used) * 12 * (random.nextDouble() - 0.5));
                }
                bins.add(other);
            }
            own.put(base.position(), bins);
            SamplesEncoder encoder = new SamplesEncoder(told.size(), told.size() * header.samples);
            encoder.begin(header, told.size(), 0, 16 * header.readNoiseQuarters);
            for (int i = 0; i < told.size(); i++) {
                assertTrue(encoder.add(bins.get(i), told.get(i)));
            }
            byte[] body = new byte[60];
            while (!encoder.done()) {
                int length = encoder.write(body, 0, body.length, base.position());
                refining.add(TestDive.accepted(TestDive.message(
                        position++, BlockType.SAMPLES.number(), refining.size(), Arrays.copyOf(body, length))));
            }
        }
    }

    private static double sigma(int counts, int used) {
        return Math.sqrt((Math.max(0, counts / 64.0) / 3.8 + 64 + 1.0 / 12) / used);
    }

    private static List<BinRecord> decoded(byte[] body, BlockHeader header) {
        BlockCodec.Decoder decoder = Codecs.ofBody(body).decoder(64);
        List<BinRecord> bins = new ArrayList<>();
        int state = decoder.begin(body, 0, body.length, header);
        while (true) {
            BinRecord bin = new BinRecord(64);
            state = decoder.next(bin);
            if (state != BlockCodec.Decoder.BIN) {
                assertEquals(BlockCodec.Decoder.END, state);
                return bins;
            }
            bins.add(bin);
        }
    }

    private static AssembledDive assembled(List<Message> messages) {
        return Assembler.assemble(messages, Codecs::ofNumber);
    }

    private List<Message> all() {
        List<Message> all = new ArrayList<>(dive.messages());
        all.addAll(refining);
        return all;
    }

    @Test
    void everySampleIsWithinItsNoiseInAnyOrderOfArrival() {
        for (int seed = 1; seed <= 3; seed++) {
            List<Message> shuffled = all();
            Collections.shuffle(shuffled, new Random(seed));
            AssembledDive whole = assembled(shuffled);
            assertTrue(whole.unreadable().isEmpty(), whole.unreadable().toString());
            assertTrue(whole.waiting().isEmpty(), "seed " + seed);
            int samples = 0;
            for (DecodedBin bin : whole.bins()) {
                assertEquals(bin.record().samples, bin.refined().cardinality());
                BinRecord was = own.get(bin.position()).stream()
                        .filter(o -> o.bin == bin.record().bin)
                        .findFirst()
                        .orElseThrow();
                for (int c = 0; c < was.samples; c++) {
                    double off = (bin.record().counts[c] - was.counts[c]) / 64.0 / sigma(was.counts[c], was.used);
                    assertTrue(Math.abs(off) <= 1, "seed " + seed + ": " + off + " deviations");
                    samples++;
                }
            }
            assertEquals(own.values().stream().mapToInt(List::size).sum() * 24, samples);
        }
    }

    @Test
    void aLostBaseIsSaidAndNothingIsGuessed() {
        int lost = own.keySet().iterator().next();
        List<Message> messages = all();
        messages.removeIf(m -> m.position() == lost);
        AssembledDive without = assembled(messages);
        int of = refining.size() - without.waiting().size();
        assertTrue(of > 0 && of < refining.size(), of + " refine others");
        without.waiting().values().forEach(base -> assertEquals(lost, base));
        assertTrue(without.bins().stream().noneMatch(bin -> bin.position() == lost));
        DiveProduct product = ProcessingChain.process(messages, dive.inputs);
        assertTrue(
                product.reasons().stream().anyMatch(r -> r.startsWith("samples wait:")),
                product.reasons().toString());
        assertTrue(
                product.profile().bins().stream().allMatch(bin -> bin.refined().cardinality() == 24));
    }

    @Test
    void oneThatDoesNotFitItsBaseIsLeftOut() {
        Message first = refining.get(0);
        byte[] body = first.body().clone();
        body[3] |= (byte) 0xf0; // channels beyond the base's
        List<Message> messages = all();
        messages.set(
                messages.indexOf(first),
                TestDive.accepted(TestDive.message(first.position(), BlockType.SAMPLES.number(), 0, body)));
        // The same channels a second time.
        messages.add(TestDive.accepted(TestDive.message(
                dive.bytes.size() + refining.size(),
                BlockType.SAMPLES.number(),
                4095,
                refining.get(1).body())));
        AssembledDive read = assembled(messages);
        assertEquals(
                List.of(first.position(), dive.bytes.size() + refining.size()),
                List.copyOf(read.unreadable().keySet()));
        read.unreadable().values().forEach(s -> assertTrue(s.contains("does not fit the bins"), s));
    }
}
