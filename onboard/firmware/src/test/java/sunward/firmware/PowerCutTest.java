package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.Test;
import sunward.firmware.port.Flash;
import sunward.firmware.port.Modem;
import sunward.protocol.bits.BodyWriter;
import sunward.protocol.message.Kind;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.order.PlanSetting;

/**
 * Power fails while the float computer writes its flash: wherever, the float boots, sends what was whole and unsent, never
 * anything else under a number already used, takes a new dive number, and holds the whole of an order or nothing of it. A
 * dive that was not packed to its end is packed anew from the scans in flash.
 */
class PowerCutTest {
    private static final byte[] KEY = "a key that only tests know, 32 b".getBytes(StandardCharsets.US_ASCII);
    private static final int WRITTEN = 0xfe;
    private static final int HANDED_OVER = 0xfc;

    private static int tried;
    private static int failed;

    @AfterAll
    static void figures() {
        System.out.println("figure firmware.power_cuts_tried " + tried + " 1");
        System.out.println("figure firmware.power_cuts_failed " + failed + " 1");
    }

    /** A life of dives and orders on one tape, and what is so at a place of it. */
    private static class Life implements Modem {
        final FlashTape flash;
        final int bankFrom;
        final int binsFrom;
        private final int channels;
        private final int messages;
        private final List<byte[]> sent = new ArrayList<>(); // in the order of appending, which is that of sending
        private final List<byte[]> orders = new ArrayList<>();
        private final FloatPlan plan;
        private int ordersTaken;
        private int divesBegun;
        private int written;
        private boolean unpacked;
        private int scansWhole;
        private int writtenBefore;
        private boolean packAgain;
        private byte[] waitingOrder;
        private MadeUpDive flyer;

        Life(int flashBytes, int channels, int messages) {
            this.channels = channels;
            this.messages = messages;
            flash = new FlashTape(flashBytes);
            plan = plan();
            FlashPlan parts = new FlashPlan(plan, flash, channels, 2 * new BinGrid(plan).bins());
            bankFrom = 4 * flash.sectorBytes();
            binsFrom = bankFrom + parts.firstBank.bytes() + parts.secondBank.bytes();
        }

        final FloatPlan plan() {
            FloatPlan fresh = TestPlans.reference(2, channels);
            fresh.dataMessages = messages;
            fresh.repairMessages = 2;
            fresh.sealKey = KEY;
            return fresh;
        }

        void boot() {
            flyer = new MadeUpDive(plan, flash, this, 3);
            flyer.afterScan = this::noteScan;
            flyer.computer.boot(MadeUpDive.NOON - 4_000_000);
        }

        private void noteScan() {
            int whole = flyer.computer.scansStored();
            int number = flyer.computer.diveNumber();
            flash.note(() -> {
                writtenBefore = unpacked ? writtenBefore : written;
                unpacked = true;
                scansWhole = whole;
                divesBegun = number;
            });
        }

        void order() {
            int number = orders.size() + 1;
            orders.add(orderOf(number));
            waitingOrder = orders.get(number - 1);
            assertEquals(1, flyer.computer.hear(MadeUpDive.NOON));
            flash.note(() -> ordersTaken = number);
            assertTrue(flyer.computer.sendNext(MadeUpDive.NOON), "the receipt");
        }

        void dive(double startDbar) {
            plan.startDbar = startDbar;
            flyer.profile();
            flyer.computer.pack();
            flash.note(() -> unpacked = false);
        }

        void send(int most) {
            for (int i = 0; i < most && flyer.computer.sendNext(MadeUpDive.NOON); i++) {
                // one by one
            }
        }

        @Override
        public boolean send(byte[] message, int offset, int length) {
            if ((message[offset] & 0x0f) != Kind.RECEIPT.number()) {
                sent.add(Arrays.copyOfRange(message, offset, offset + length));
            }
            return true;
        }

        @Override
        public int receive(byte[] into, int offset, int limit) {
            if (waitingOrder == null) {
                return 0;
            }
            System.arraycopy(waitingOrder, 0, into, offset, waitingOrder.length);
            int length = waitingOrder.length;
            waitingOrder = null;
            return length;
        }

        private boolean marks(FlashTape.Entry entry, int state) {
            return entry.data() != null
                    && entry.address() >= bankFrom
                    && entry.address() < binsFrom
                    && entry.data().length == 1
                    && (entry.data()[0] & 0xff) == state;
        }

        /** Cuts power at the entries and ways that are asked for, boots, and lets the float finish. */
        void cutEverywhere(Cuts cuts) {
            byte[] cells = flash.blank();
            Random random = new Random(5);
            ordersTaken = 0;
            divesBegun = 0;
            written = 0;
            unpacked = false;
            int handed = 0;
            for (int i = 0; i < flash.tape.size(); i++) {
                FlashTape.Entry entry = flash.tape.get(i);
                for (int way : cuts.of(this, i, entry)) {
                    Flash after = FlashTape.cut(cells, entry, way, random);
                    tried++;
                    packAgain = tried % cuts.packEvery() == 0;
                    String wrong = finish(after, handed, entry);
                    failed += wrong == null ? 0 : 1;
                    assertEquals(null, wrong, "tape " + i + " of " + flash.tape.size() + ", cut at " + way);
                }
                FlashTape.apply(cells, entry);
                written += marks(entry, WRITTEN) ? 1 : 0;
                handed += marks(entry, HANDED_OVER) ? 1 : 0;
            }
            assertEquals(sent.size(), handed);
        }

        /** Boots on what the cut left and flies one more, empty, dive; returns what is wrong, or null. */
        private String finish(Flash after, int handed, FlashTape.Entry cut) {
            FloatPlan again = plan();
            Mailbox mail = new Mailbox();
            FloatComputer computer = new FloatComputer(again, after, mail, (head, code, dark) -> {});
            computer.boot(MadeUpDive.NOON);
            boolean goesOn = computer.unpacked();
            boolean sure = cut.address() >= 2 * flash.sectorBytes(); // not at the journal's note of having packed
            if (unpacked && sure && !goesOn) {
                return "the dive under way, " + scansWhole + " scans, is gone";
            }
            if (unpacked
                    && goesOn
                    && (computer.scansStored() < scansWhole || computer.scansStored() > scansWhole + 3)) {
                return computer.scansStored() + " scans found, " + scansWhole + " were whole";
            }
            send(computer);
            String wrong = wrongInSending(
                    mail.sent, unpacked && goesOn ? writtenBefore : written, handed, marks(cut, HANDED_OVER));
            wrong = wrong == null ? wrongInOrders(computer, again, mail) : wrong;
            if (wrong != null || goesOn && !packAgain) {
                return wrong;
            }
            int before = mail.sent.size();
            if (goesOn) {
                computer.pack();
                int packed = computer.messagesWaiting();
                send(computer);
                if (packed < 1 || mail.sent.size() != before + packed) {
                    return "the dive cut short did not report";
                }
                divesBegun = Math.max(divesBegun, computer.diveNumber()); // its first scan may be the one that was cut
            }
            int waitingBefore = mail.sent.size();
            computer.startProfile(MadeUpDive.NOON);
            if (computer.diveNumber() <= divesBegun) {
                return "dive number " + computer.diveNumber() + " again";
            }
            computer.endProfile(MadeUpDive.NOON + 1);
            computer.pack();
            int waiting = computer.messagesWaiting();
            send(computer);
            if (waiting < 1 || mail.sent.size() != waitingBefore + waiting) {
                return "the dive after the cut did not report: " + waiting + " messages waiting, "
                        + (mail.sent.size() - waitingBefore) + " sent";
            }
            return newAsOld(mail.sent.subList(0, before), mail.sent.subList(before, mail.sent.size()), handed);
        }

        private static void send(FloatComputer computer) {
            while (computer.sendNext(MadeUpDive.NOON)) {
                // all that waits
            }
        }

        /** Exactly what was whole and unsent must go out, in order; the one in work may be there or not. */
        private String wrongInSending(List<byte[]> now, int whole, int handed, boolean marking) {
            for (int first = handed; first <= handed + (marking ? 1 : 0); first++) {
                for (int end = whole; end <= Math.min(whole + 1, sent.size()); end++) {
                    boolean same = now.size() == Math.max(0, end - first);
                    for (int i = 0; same && i < now.size(); i++) {
                        same = Arrays.equals(sent.get(first + i), now.get(i));
                    }
                    if (same) {
                        return null;
                    }
                }
            }
            return now.size() + " messages sent after the cut; " + whole + " were whole and " + handed + " handed over";
        }

        private String wrongInOrders(FloatComputer computer, FloatPlan again, Mailbox mail) {
            int kept = kept(again.dataMessages);
            if (kept != ordersTaken && kept != ordersTaken + 1) {
                return "order " + kept + " in force, " + ordersTaken + " taken";
            }
            for (int number = 1; number <= kept; number++) {
                mail.order = orders.get(number - 1);
                if (computer.hear(MadeUpDive.NOON) != 0) {
                    return "order " + number + " taken again";
                }
            }
            if (kept < orders.size()) {
                mail.order = orders.get(kept);
                if (computer.hear(MadeUpDive.NOON) != 1 || kept(again.dataMessages) != kept + 1) {
                    return "order " + (kept + 1) + " not taken after the cut";
                }
                while (computer.sendNext(MadeUpDive.NOON)) {
                    // its receipt
                }
            }
            return null;
        }

        private int kept(int dataMessages) {
            return messages - dataMessages;
        }

        /** No message of the dive after the cut goes under the number and place of another one. */
        private String newAsOld(List<byte[]> waiting, List<byte[]> fresh, int handed) {
            Set<Integer> used = new HashSet<>();
            sent.subList(0, handed).forEach(m -> used.add(place(m)));
            waiting.forEach(m -> used.add(place(m)));
            for (byte[] message : fresh) {
                if (!used.add(place(message))) {
                    return "place " + place(message) + " used again for something new";
                }
            }
            return null;
        }

        private static int place(byte[] message) {
            return (message[3] & 0xff) << 16 | (message[4] & 0xff) << 8 | message[5] & 0xff;
        }

        /** Each order takes one data message off: the plan in force tells which orders hold. */
        private byte[] orderOf(int number) {
            MessageWriter writer = new MessageWriter(KEY, 270);
            writer.begin(Kind.ORDER, true, plan.floatNumber, 0, number, 0, 0);
            BodyWriter body = new BodyWriter();
            body.begin(writer.buffer(), writer.bodyOffset(), writer.bodyLimit());
            body.varint(1, number);
            int mark = body.open(3);
            body.varint(1, PlanSetting.DATA_MESSAGES.number());
            body.sint(2, messages - number);
            body.close(mark);
            return Arrays.copyOf(writer.buffer(), writer.finish(body.length()));
        }
    }

    /** Keeps what is sent but receipts. */
    private static final class Mailbox implements Modem {
        final List<byte[]> sent = new ArrayList<>();
        byte[] order;

        @Override
        public boolean send(byte[] message, int offset, int length) {
            if ((message[offset] & 0x0f) != Kind.RECEIPT.number()) {
                sent.add(Arrays.copyOfRange(message, offset, offset + length));
            }
            return true;
        }

        @Override
        public int receive(byte[] into, int offset, int limit) {
            if (order == null) {
                return 0;
            }
            int length = order.length;
            System.arraycopy(order, 0, into, offset, length);
            order = null;
            return length;
        }
    }

    /** Which cuts of an entry are tried, and after how many of them an unpacked dive is packed to its end. */
    private record Cuts(int packEvery, Which which) {
        private interface Which {
            Set<Integer> of(Life life, int index, FlashTape.Entry entry);
        }

        Set<Integer> of(Life life, int index, FlashTape.Entry entry) {
            return which.of(life, index, entry);
        }
    }

    private static Set<Integer> every(FlashTape.Entry entry) {
        Set<Integer> ways = new TreeSet<>();
        for (int way = 0; way < FlashTape.waysToCut(entry); way++) {
            ways.add(way);
        }
        return ways;
    }

    private static Set<Integer> several(FlashTape.Entry entry) {
        int ways = FlashTape.waysToCut(entry);
        return ways <= 4 ? every(entry) : new TreeSet<>(List.of(0, 1, ways / 2, ways - 1));
    }

    /** Exhaustive: every byte of every program and every erase of a life around a dive of 40 scans with 32 channels. */
    @Test
    void aSmallDiveIsCutAtEveryByte() {
        Life life = new Life(1 << 19, 32, 9);
        life.boot();
        life.order();
        life.dive(0.72);
        assertEquals(40, life.flyer.computer.scansStored());
        life.send(2);
        life.boot();
        life.send(99);
        for (int more = 0; more < 4; more++) {
            life.order();
            life.dive(0.20);
            life.send(more == 2 ? 1 : 99);
        }
        life.send(99);
        life.cutEverywhere(new Cuts(37, (of, index, entry) -> every(entry)));
    }

    /** Wear: serial flash stands some 100 000 erases of a sector (common practice, no source), a dive costs each one at most. */
    private static int mostErases(FlashTape flash) {
        Map<Integer, Integer> erases = new HashMap<>();
        for (FlashTape.Entry entry : flash.tape) {
            if (entry.erases()) {
                erases.merge(entry.address(), 1, Integer::sum);
            }
        }
        int most = erases.values().stream().mapToInt(Integer::intValue).max().orElse(0);
        System.out.println("figure firmware.most_erases_of_a_sector_per_dive " + most + " 1");
        return most;
    }

    /**
     * The dive of the default plan: all writes of journal, orders and outbox, and every 50th page of scans and bins, each
     * torn at its first, second, middle and last byte; erases half done in four ways.
     */
    @Test
    void theDefaultDiveIsCutWhereItMatters() {
        Life life = new Life(1 << 24, 720, 52);
        life.boot();
        life.order();
        life.dive(250);
        life.send(20);
        life.order();
        life.boot();
        life.send(999);
        assertEquals(1, mostErases(life.flash), "no sector is erased twice in a dive");
        Map<Boolean, Integer> pages = new HashMap<>();
        life.cutEverywhere(new Cuts(401, (of, index, entry) -> {
            boolean scans = entry.address() >= of.binsFrom;
            if (entry.note() == null && scans && pages.merge(entry.erases(), 1, Integer::sum) % 50 != 1) {
                return Set.of();
            }
            return several(entry);
        }));
    }
}
