package sunward.simulator;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import sunward.firmware.FloatComputer;
import sunward.firmware.FloatPlan;
import sunward.firmware.RawScan;
import sunward.firmware.port.Modem;
import sunward.firmware.port.Sensors;
import sunward.protocol.schema.Calibration;
import sunward.protocol.schema.Plan;
import sunward.protocol.spectra.BinRecord;

/** The card of a recovered float: its recording, played into the float's own firmware under the number that the dive had. */
public final class CardReplay {
    /** Time of the dives before, ms since 2000: they only count. */
    private static final long BEFORE_MS = 0;

    /**
     * What the firmware made of it.
     *
     * @param messages all of the dive, as they were packed
     * @param bins with every channel flown
     * @param scans on the card
     * @param otherExposures scans on the card that this firmware would have exposed otherwise: 0 when firmware and plan are
     *     those of the float
     */
    public record Made(List<byte[]> messages, List<BinRecord> bins, int scans, int otherExposures) {}

    private CardReplay() {}

    /**
     * Plays a card.
     *
     * @param simulated the mark that the float's messages carry
     * @param dive the dive's number, 1 or more
     * @param key that sealed its messages, or null
     */
    public static Made of(Plan plan, Calibration calibration, Recording card, byte[] key, boolean simulated, int dive) {
        FloatPlan floatPlan = PlanMapping.floatPlan(plan, calibration, simulated, key);
        Mailbox mailbox = new Mailbox();
        Asked asked = new Asked(floatPlan.heads.length);
        FloatComputer computer = new FloatComputer(floatPlan, NorFlash.reference(), mailbox, asked);
        computer.boot(BEFORE_MS);
        for (int before = 1; before < dive; before++) {
            computer.startProfile(BEFORE_MS); // takes a number
        }
        card.play(new Both(asked, new ComputerEvents(computer)));
        computer.pack();
        while (computer.sendNext(BEFORE_MS)) {
            // until the outbox is empty
        }
        int channels = 0;
        for (FloatPlan.Head head : floatPlan.heads) {
            channels = Math.max(channels, head.channels);
        }
        List<BinRecord> bins = new ArrayList<>();
        for (int i = 0; i < computer.binsMade(); i++) {
            BinRecord bin = new BinRecord(channels);
            computer.copyBin(i, bin);
            bins.add(bin);
        }
        return new Made(mailbox.sent, List.copyOf(bins), card.scans(), asked.others);
    }

    /** Keeps what is sent. */
    private static final class Mailbox implements Modem {
        private final List<byte[]> sent = new ArrayList<>();

        @Override
        public boolean send(byte[] message, int offset, int length) {
            sent.add(Arrays.copyOfRange(message, offset, offset + length));
            return true;
        }

        @Override
        public int receive(byte[] into, int offset, int limit) {
            return 0;
        }
    }

    /** Holds each scan of the card against what the firmware asked for. */
    private static final class Asked extends MemoryRecording implements Sensors {
        private final int[] exposure;
        private int others;

        Asked(int heads) {
            exposure = new int[heads];
        }

        @Override
        public void expose(int head, int exposureCode, boolean shutterClosed) {
            exposure[head] = 2 * exposureCode + (shutterClosed ? 1 : 0);
        }

        @Override
        public void scan(RawScan scan) {
            boolean known = scan.head >= 0 && scan.head < exposure.length;
            boolean same = known && exposure[scan.head] == 2 * scan.exposureCode + (scan.shutterClosed ? 1 : 0);
            others += same ? 0 : 1;
        }
    }
}
