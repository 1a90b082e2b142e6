package sunward.profiles;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;
import sunward.protocol.schema.AncillaryProfile;

class ProcessingChainTest {
    private static final TestDive CLEAN = TestDive.of(1, false, TestDive.few());
    private static final TestDive NOISY = TestDive.of(2, true, TestDive.few());

    /** The invented sea comes back: the chain undoes exposure, responsivity, immersion, tare and lever arm; sun's path and shading are small. */
    @Test
    void inventedSeaComesBack() {
        DiveProduct product = ProcessingChain.process(CLEAN.messages(), CLEAN.inputs);
        SurfaceRadiance surface = product.surface();
        for (int k = 0; k < CLEAN.nm.length; k++) {
            double nm = CLEAN.nm[k];
            double ratio = surface.lu0().at(k) / TestDive.lu0(nm);
            assertEquals(
                    1,
                    ratio,
                    nm < 600 ? 0.006 : 0.03,
                    nm + " nm: " + surface.budget().largest(k, 3) + " "
                            + surface.lwRelative().at(k));
            assertEquals(
                    SurfaceTransfer.factor(nm, 27.96, 34.3),
                    surface.lw().at(k) / surface.lu0().at(k),
                    2e-5);
            assertTrue(
                    surface.lwRelative().at(k) < (nm < 560 ? 0.025 : 0.1),
                    nm + " nm: " + surface.lwRelative().at(k));
        }
        assertTrue(product.simulated() && product.unsealed());
        assertTrue(
                product.reasons().get(0).startsWith("simulated"),
                product.reasons().toString());
        assertEquals(34.7, product.place().sunZenithDeg(), 0.6);
        ProfileBin first = product.profile().bins().get(0);
        assertEquals(
                TestDive.radiance(CLEAN.nm[3], first.depthM()),
                first.radiance().at(3),
                0.004 * first.radiance().at(3));
    }

    /**
     * What the float says of successive scans sets what waves leave: six scans of which each is worth itself leave less than six at
     * one a second under a wave of three seconds (the assumption without that word: two), and scans that repeat one another more.
     */
    @Test
    void correlationOfSuccessiveScansSetsWhatWavesLeave() {
        double assumed = waves(CLEAN.messages());
        double free = waves(withCorrelation(0));
        double tied = waves(withCorrelation(85));
        assertTrue(free < 0.75 * assumed && free > assumed / Math.sqrt(3) - 1e-4, free + " beside " + assumed);
        assertTrue(tied > 1.2 * assumed, tied + " beside " + assumed);
        assertEquals(free, waves(withCorrelation(-60)), 1e-5, "never worth more than themselves");
    }

    private static double waves(List<Message> messages) {
        SurfaceRadiance surface =
                ProcessingChain.process(messages, CLEAN.inputs).surface();
        return surface.budget().contributions().stream()
                .filter(c -> c.name().equals("waves"))
                .mapToDouble(c -> c.factor().at(3))
                .findFirst()
                .orElseThrow();
    }

    private static List<Message> withCorrelation(int percent) {
        AncillaryProfile.Builder body = AncillaryProfile.newBuilder();
        for (int layer = 0; layer < 8; layer++) {
            body.addScansLayer(layer)
                    .addScanPairs(1_000_000)
                    .addLowerCorrelationPercent(percent)
                    .addMiddleCorrelationPercent(percent)
                    .addUpperCorrelationPercent(percent);
        }
        List<Message> messages = new ArrayList<>(CLEAN.messages());
        messages.removeIf(m -> m.block() == BlockType.ANCILLARY.number());
        messages.add(TestDive.accepted(TestDive.message(
                1, BlockType.ANCILLARY.number(), 0, body.build().toByteArray())));
        return messages;
    }

    @Test
    void anyOrderAndAnyCopiesGiveTheSameBytes() {
        byte[] once = bytes(NOISY.messages());
        for (int seed = 1; seed <= 3; seed++) {
            List<Message> mixed = new ArrayList<>(NOISY.messages());
            mixed.addAll(NOISY.messages().subList(0, 9));
            Collections.shuffle(mixed, new Random(seed));
            assertArrayEquals(once, bytes(mixed), "seed " + seed);
        }
    }

    private static byte[] bytes(List<Message> messages) {
        DiveProduct product = ProcessingChain.process(messages, NOISY.inputs);
        byte[] profile = new ProfileFile(product).build().toBytes();
        byte[] radiance = ProductFiles.radianceCsv(product).getBytes(StandardCharsets.UTF_8);
        byte[] both = new byte[profile.length + radiance.length];
        System.arraycopy(profile, 0, both, 0, profile.length);
        System.arraycopy(radiance, 0, both, profile.length, radiance.length);
        return both;
    }

    /** A fifth of the messages gone, ledger kept or not: gaps named, nothing invented, nowhere surer, less sure where bins near the surface went. */
    @Test
    void losingMessagesIsNeverAGain() {
        DiveProduct whole = ProcessingChain.process(NOISY.messages(), NOISY.inputs);
        assertTrue(
                whole.profile().gaps().stream().allMatch(g -> g.cause() == Gap.Cause.NO_SCANS),
                whole.profile().gaps().toString());
        for (int seed = 1; seed <= 12; seed++) {
            List<Message> left = new ArrayList<>(NOISY.messages());
            Collections.shuffle(left, new Random(seed));
            left = left.subList(left.size() / 5, left.size());
            DiveProduct less = ProcessingChain.process(left, NOISY.inputs);
            assertTrue(less.reasons().stream()
                    .anyMatch(r -> r.startsWith("messages missing") || r.startsWith("ledger missing")));
            assertTrue(less.profile().gaps().stream()
                    .anyMatch(g ->
                            g.cause() == Gap.Cause.NOT_RECEIVED || g.cause() == Gap.Cause.NOT_RECEIVED_OR_NO_SCANS));
            assertTrue(less.profile().bins().size() < whole.profile().bins().size());
            for (int k = 0; k < NOISY.nm.length; k++) {
                assertTrue(
                        less.surface().lwRelative().at(k)
                                >= whole.surface().lwRelative().at(k),
                        "seed " + seed + ", " + NOISY.nm[k] + " nm: "
                                + whole.surface().lwRelative().at(k) + " to "
                                + less.surface().lwRelative().at(k));
                assertTrue(
                        less.surface().lwUncertainty(k) >= whole.surface().lwUncertainty(k),
                        "seed " + seed + ", " + NOISY.nm[k] + " nm, absolute");
                assertTrue(
                        less.surface().attenuationUncertainty().at(k)
                                >= whole.surface().attenuationUncertainty().at(k),
                        "seed " + seed + ", " + NOISY.nm[k] + " nm, K_Lu");
            }
        }
    }

    @Test
    void oneFlippedBitRejectsThatMessageAlone() {
        Random random = new Random(5);
        byte[] spoilt = NOISY.bytes.get(4).clone();
        for (int trial = 0; trial < 200; trial++) {
            int bit = random.nextInt(8 * spoilt.length);
            spoilt[bit / 8] ^= (byte) (1 << bit % 8);
            assertTrue(MessageReader.read(spoilt, KeyRing.none()) instanceof Verdict.Rejected, "bit " + bit);
            spoilt[bit / 8] ^= (byte) (1 << bit % 8);
        }
    }

    @Test
    void messagesThatDisagreeAreBothLeftOut() {
        List<Message> messages = new ArrayList<>(NOISY.messages());
        int position = 5;
        messages.add(
                TestDive.accepted(TestDive.message(position, BlockType.BINS.number(), 3, new byte[] {0x10, 1, 2})));
        DiveProduct product = ProcessingChain.process(messages, NOISY.inputs);
        assertEquals(List.of(position), product.conflicts());
        assertTrue(product.profile().bins().stream().noneMatch(b -> b.position() == position));
        assertTrue(
                product.profile().gaps().stream().anyMatch(g -> g.cause() == Gap.Cause.CONFLICT),
                product.profile().gaps().toString());
        assertTrue(product.reasons().stream().anyMatch(r -> r.startsWith("messages disagree")));
    }

    @Test
    void anotherCalibrationGivesCountsOnly() {
        TestDive other = TestDive.ofOtherCalibration(TestDive.few());
        DiveProduct product = ProcessingChain.process(other.messages(), other.inputs);
        assertNull(product.surface());
        assertTrue(
                product.reasons().stream().anyMatch(r -> r.startsWith("other calibration")),
                product.reasons().toString());
        assertTrue(product.profile().bins().stream()
                .allMatch(b -> b.radiance() == null && b.counts().size() == other.nm.length));
        assertEquals(1, ProductFiles.radianceCsv(product).lines().count());
        assertTrue(new ProfileFile(product).build().toBytes().length > 1000);
    }

    @Test
    void unknownBlocksCodecsAndNonsenseAreNamed() {
        List<Message> messages = new ArrayList<>(CLEAN.messages());
        messages.add(
                TestDive.accepted(TestDive.message(100, BlockType.BINS.number(), 50, new byte[] {(byte) 0xF0, 1, 2})));
        messages.add(TestDive.accepted(TestDive.message(101, 9, 0, new byte[] {1, 2})));
        messages.add(TestDive.accepted(TestDive.message(102, BlockType.BINS.number(), 51, new byte[] {0x10, 1, 2})));
        messages.add(
                TestDive.accepted(TestDive.message(103, BlockType.ANCILLARY.number(), 5, new byte[] {0x0A, 120, 2})));
        String reasons = String.join(
                "\n", ProcessingChain.process(messages, CLEAN.inputs).reasons());
        for (String part : List.of("codec 15", "block 9", "position 102", "position 103")) {
            assertTrue(reasons.contains(part), part + " in " + reasons);
        }
    }

    @Test
    void withoutLedgerAndCastTheAnswerIsWiderAndSaysWhy() {
        List<Message> bare = CLEAN.messages().stream()
                .filter(m -> m.block() == BlockType.BINS.number())
                .toList();
        DiveProduct product = ProcessingChain.process(bare, CLEAN.inputs);
        DiveProduct whole = ProcessingChain.process(CLEAN.messages(), CLEAN.inputs);
        String reasons = String.join("\n", product.reasons());
        for (String part : List.of("ledger missing", "tare missing", "water not known", "sun not known")) {
            assertTrue(reasons.contains(part), part + " in " + reasons);
        }
        for (int k = 0; k < CLEAN.nm.length; k++) {
            assertTrue(product.surface().lwRelative().at(k)
                    > whole.surface().lwRelative().at(k));
            assertTrue(Double.isNaN(product.surface().rrs().at(k))
                    && Double.isNaN(product.surface().nlw().at(k)));
        }
    }
}
