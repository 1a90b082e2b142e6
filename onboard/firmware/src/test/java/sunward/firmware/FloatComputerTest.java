package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import sunward.firmware.port.Modem;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;
import sunward.protocol.spectra.BinRecord;
import sunward.protocol.spectra.BlockCodec;
import sunward.protocol.spectra.BlockHeader;
import sunward.protocol.spectra.Codecs;

class FloatComputerTest {
    private static final byte[] KEY =
            "a key that only tests know, 32 b".getBytes(java.nio.charset.StandardCharsets.US_ASCII);

    /** Keeps what is sent. */
    private static final class Mailbox implements Modem {
        final List<byte[]> taken = new ArrayList<>();

        @Override
        public boolean send(byte[] message, int offset, int length) {
            taken.add(Arrays.copyOfRange(message, offset, offset + length));
            return true;
        }

        @Override
        public int receive(byte[] into, int offset, int limit) {
            return 0;
        }
    }

    /** Counts what is sent and keeps nothing. */
    private static final class Counter implements Modem {
        int messages;

        @Override
        public boolean send(byte[] message, int offset, int length) {
            messages++;
            return true;
        }

        @Override
        public int receive(byte[] into, int offset, int limit) {
            return 0;
        }
    }

    private static FloatPlan small(int heads, int channels) {
        FloatPlan plan = TestPlans.reference(heads, channels);
        plan.startDbar = 40;
        plan.dataMessages = 24;
        return plan;
    }

    private static List<byte[]> flySmall(FloatPlan plan, long seed) {
        Mailbox mailbox = new Mailbox();
        MadeUpDive dive = new MadeUpDive(plan, new TestFlash(1 << 22), mailbox, seed);
        dive.fly();
        while (dive.computer.sendNext(MadeUpDive.NOON)) {
            // until all are handed over
        }
        return mailbox.taken;
    }

    private static Message accepted(byte[] bytes, KeyRing keys) {
        Verdict verdict = MessageReader.read(bytes, keys);
        assertTrue(verdict instanceof Verdict.Accepted, verdict.toString());
        return ((Verdict.Accepted) verdict).message();
    }

    /** Value of a varint field at the top level of a Protocol Buffers body, or -1. */
    private static long varint(byte[] body, int field) {
        int[] at = {0};
        while (at[0] < body.length) {
            long tag = raw(body, at);
            long value = raw(body, at);
            if ((tag & 7) == 2) {
                at[0] += (int) value;
            } else if (tag >>> 3 == field) {
                return value;
            }
        }
        return -1;
    }

    private static long raw(byte[] body, int[] at) {
        long value = 0;
        for (int shift = 0; ; shift += 7) {
            int b = body[at[0]++];
            value |= (long) (b & 0x7f) << shift;
            if (b >= 0) {
                return value;
            }
        }
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 2, 3, 4})
    void everyBinMadeArrivesInItsPlace(int heads) {
        FloatPlan plan = small(heads, 40);
        plan.sealKey = KEY;
        Mailbox mailbox = new Mailbox();
        MadeUpDive dive = new MadeUpDive(plan, new TestFlash(1 << 23), mailbox, 11);
        dive.fly();
        int waiting = dive.computer.messagesWaiting();
        while (dive.computer.sendNext(MadeUpDive.NOON)) {
            // until all are handed over
        }
        assertEquals(waiting, mailbox.taken.size());
        assertTrue(waiting <= plan.dataMessages);
        KeyRing keys = KeyRing.of(Map.of(plan.floatNumber, KEY));
        BlockCodec.Decoder decoder = Codecs.ofNumber(1).decoder(1024);
        BlockHeader header = new BlockHeader();
        BinRecord bin = new BinRecord(1024);
        Set<Integer> seen = new HashSet<>();
        for (int p = 0; p < waiting; p++) {
            assertTrue(mailbox.taken.get(p).length <= plan.messageBytes);
            Message message = accepted(mailbox.taken.get(p), keys);
            assertEquals(p, message.position());
            assertEquals(1, message.dive());
            assertTrue(message.simulated());
            byte[] body = message.body();
            if (message.block() == BlockType.LEDGER.number()) {
                assertTrue(p == 1 || p == waiting - 1);
                assertEquals(waiting, varint(body, 11), "messages planned");
                assertEquals(0, varint(body, 16), "unsent reason");
            } else if (message.block() == BlockType.BINS.number()) {
                assertEquals(BlockCodec.Decoder.END, decoder.begin(body, 0, body.length, header));
                Set<Integer> nearParities = new HashSet<>();
                int result;
                while ((result = decoder.next(bin)) == BlockCodec.Decoder.BIN) {
                    assertTrue(seen.add(bin.head << 16 | bin.bin), "bin twice: " + bin.bin);
                    assertTrue(bin.used > 0 && bin.darkScans > 0 && !bin.shaded);
                    if (bin.bin < 60) {
                        nearParities.add(bin.bin % 2);
                    }
                }
                assertEquals(BlockCodec.Decoder.END, result);
                assertTrue(nearParities.size() <= 1, "even and odd near bins in one message");
            }
        }
        int made = dive.computer.binsMade();
        assertEquals(made, seen.size());
        assertTrue(made > 55 * heads, "bins made: " + made);
    }

    @Test
    void sameScansSameBytes() {
        List<byte[]> first = flySmall(small(2, 40), 5);
        List<byte[]> second = flySmall(small(2, 40), 5);
        List<byte[]> other = flySmall(small(2, 40), 6);
        assertEquals(first.size(), second.size());
        boolean different = first.size() != other.size();
        for (int i = 0; i < first.size(); i++) {
            assertArrayEquals(first.get(i), second.get(i));
            different |= i < other.size() && !Arrays.equals(first.get(i), other.get(i));
        }
        assertTrue(different, "another dive must differ");
    }

    @Test
    void aThinnedFloatKeepsItsChannelsApart() {
        FloatPlan plan = small(2, 7);
        plan.thinned = true;
        plan.dataMessages = 6;
        Mailbox mailbox = new Mailbox();
        MadeUpDive dive = new MadeUpDive(plan, new TestFlash(1 << 22), mailbox, 3);
        dive.fly();
        assertEquals(1, dive.computer.channelsPerSample());
        assertTrue(dive.computer.messagesWaiting() <= 6);
    }

    /** A plan's firmware state is at most 256 KiB for the reference float, counted by the JVM as by ourselves. */
    @Test
    void ramOfTheReferenceFloatIsWithinItsBudget() {
        ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        assumeTrue(threads.isThreadAllocatedMemorySupported());
        FloatPlan plan = TestPlans.reference(2, 720);
        plan.sealKey = KEY;
        TestFlash flash = new TestFlash(1 << 24);
        Counter modem = new Counter();
        long own = Thread.currentThread().getId();
        FloatComputer computer = new FloatComputer(plan, flash, modem, (h, e, s) -> {});
        long allocated = Long.MAX_VALUE;
        for (int round = 0; round < 6; round++) {
            long before = threads.getThreadAllocatedBytes(own);
            computer = new FloatComputer(plan, flash, modem, (h, e, s) -> {});
            // The JVM's own waste between its buffers differs from round to round.
            allocated = Math.min(allocated, threads.getThreadAllocatedBytes(own) - before);
        }
        System.out.println("figure firmware.ram_bytes " + computer.ramBytes() + " byte");
        System.out.println("figure firmware.ram_allocated_bytes " + allocated + " byte");
        assertTrue(allocated <= 256 * 1024, "allocated " + allocated);
        assertTrue(computer.ramBytes() <= allocated, computer.ramBytes() + " counted, " + allocated + " allocated");
        assertTrue(computer.ramBytes() > 0.95 * allocated, computer.ramBytes() + " of " + allocated + " counted");
    }

    /**
     * From boot to the end of the session, all events: not one byte. The JVM itself may charge the thread once or twice
     * for loading classes and for switching to compiled code; the rounds are alike, so what the firmware allocates would
     * show in every one.
     */
    @Test
    void nothingIsAllocatedInADive() {
        ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        assumeTrue(threads.isThreadAllocatedMemorySupported());
        FloatPlan plan = small(2, 40);
        plan.sealKey = KEY;
        long own = Thread.currentThread().getId();
        long least = Long.MAX_VALUE;
        for (int round = 0; round < 6; round++) {
            Counter modem = new Counter();
            MadeUpDive dive = new MadeUpDive(plan, new TestFlash(1 << 22), modem, 1);
            long before = threads.getThreadAllocatedBytes(own);
            dive.fly();
            while (dive.computer.sendNext(MadeUpDive.NOON)) {
                // until all are handed over
            }
            least = Math.min(least, threads.getThreadAllocatedBytes(own) - before);
            assertTrue(modem.messages > 6);
        }
        assertEquals(0, least);
    }

    /** The whole reference dive: 720 channels, two heads, 250 dbar, 52 messages. */
    @Test
    void theReferenceDiveFits() {
        FloatPlan plan = TestPlans.reference(2, 720);
        Mailbox mailbox = new Mailbox();
        MadeUpDive dive = new MadeUpDive(plan, new TestFlash(1 << 24), mailbox, 1);
        dive.computer.boot(MadeUpDive.NOON - 4_000_000);
        dive.profile();
        long before = System.nanoTime();
        dive.computer.pack();
        long packed = System.nanoTime() - before;
        FloatComputer computer = dive.computer;
        System.out.println("figure firmware.flash_bytes_per_dive " + computer.flashBytesUsed() + " byte");
        System.out.println("reference dive: " + computer.scansStored() + " scans, " + computer.binsMade() + " bins, "
                + computer.binsSent(0) + " + " + computer.binsSent(1) + " sent in " + computer.messagesWaiting()
                + " messages, " + computer.channelsPerSample() + " channels a sample, steps "
                + computer.nearStepCode() + " and " + computer.deepStepCode() + ", packed in " + packed / 1_000_000
                + " ms");
        assertTrue(computer.messagesWaiting() <= 52);
        assertTrue(computer.flashBytesUsed() <= 16 << 20);
        assertEquals(computer.binsMade(), computer.binsSent(0) + computer.binsSent(1));
        assertTrue(computer.binsMade() > 350);
    }

    @Test
    void diveNumbersAreNeverReused() {
        FloatPlan plan = small(1, 16);
        plan.startDbar = 3;
        TestFlash flash = new TestFlash(1 << 22);
        Map<Integer, Integer> seen = new HashMap<>();
        for (int i = 1; i <= 6; i++) {
            MadeUpDive dive = new MadeUpDive(plan, flash, new Counter(), i);
            dive.fly();
            seen.merge(dive.computer.diveNumber(), 1, Integer::sum);
            assertEquals(i, dive.computer.diveNumber());
        }
        assertEquals(6, seen.size());
    }

    /** The light grows by some octaves on the way up, and each change of exposure mixes one bin at most. */
    @Test
    void onlyBinsInWhichTheExposureHadToChangeMixExposures() {
        FloatPlan plan = TestPlans.reference(2, 32);
        MadeUpDive dive = new MadeUpDive(plan, new TestFlash(1 << 24), new Counter(), 3);
        dive.fly();
        BinRecord bin = new BinRecord(32);
        int mixed = 0;
        Set<Integer> codes = new HashSet<>();
        for (int i = 0; i < dive.computer.binsMade(); i++) {
            dive.computer.copyBin(i, bin);
            mixed += bin.mixedExposure ? 1 : 0;
            codes.add(16 * bin.head + bin.exposureCode);
        }
        int changes = codes.size() - 2;
        assertTrue(changes >= 4, "exposures used: " + codes);
        assertTrue(mixed <= changes, mixed + " bins mix exposures after " + changes + " changes");
        System.out.println("figure firmware.bins_with_mixed_exposure " + mixed + " 1");
    }

    /** A flash too small for the dive: the deepest scans make room, and the ledger says how many. */
    @Test
    void aFullMemoryKeepsTheScansNearTheSurface() {
        FloatPlan plan = TestPlans.reference(2, 200);
        plan.dataMessages = 30;
        Mailbox mailbox = new Mailbox();
        MadeUpDive dive = new MadeUpDive(plan, new TestFlash(1 << 20), mailbox, 3);
        dive.fly();
        BinRecord bin = new BinRecord(200);
        int deepest = 0;
        for (int i = 0; i < dive.computer.binsMade(); i++) {
            dive.computer.copyBin(i, bin);
            deepest = Math.max(deepest, bin.pressureMdbar);
            assertTrue(bin.darkScans > 0, "darks stay beside their scans");
        }
        dive.computer.copyBin(0, bin);
        assertTrue(bin.pressureMdbar < 1000, "the first bin lies at " + bin.pressureMdbar);
        assertTrue(deepest > 20_000 && deepest < 240_000, "deepest bin at " + deepest);
        while (dive.computer.sendNext(MadeUpDive.NOON)) {
            // all of it
        }
        byte[] ledger = mailbox.taken.stream()
                .map(message -> ((Verdict.Accepted) MessageReader.read(message, KeyRing.none())).message())
                .filter(message -> message.block() == BlockType.LEDGER.number())
                .findFirst()
                .orElseThrow()
                .body();
        List<List<Long>> dropped = LedgerTest.field(ledger, 18);
        assertTrue(dropped.get(0).get(0) > 1000, "told: " + dropped);
        assertTrue(LedgerTest.field(ledger, 14).get(0).contains((long) Ledger.SCANS_DROPPED));
    }

    @Test
    void aModemWithoutNetworkLosesNothing() {
        Mailbox mailbox = new Mailbox();
        boolean[] network = {false};
        Modem flaky = new Modem() {
            @Override
            public boolean send(byte[] message, int offset, int length) {
                return network[0] && mailbox.send(message, offset, length);
            }

            @Override
            public int receive(byte[] into, int offset, int limit) {
                return 0;
            }
        };
        FloatPlan plan = small(1, 16);
        plan.startDbar = 5;
        MadeUpDive dive = new MadeUpDive(plan, new TestFlash(1 << 22), flaky, 2);
        dive.fly();
        int waiting = dive.computer.messagesWaiting();
        assertFalse(dive.computer.sendNext(MadeUpDive.NOON));
        assertEquals(waiting, dive.computer.messagesWaiting());
        network[0] = true;
        dive.computer.boot(MadeUpDive.NOON);
        while (dive.computer.sendNext(MadeUpDive.NOON)) {
            // until all are handed over
        }
        assertEquals(waiting, mailbox.taken.size());
    }
}
