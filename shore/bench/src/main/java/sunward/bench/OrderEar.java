package sunward.bench;

import java.util.Arrays;
import sunward.firmware.FloatComputer;
import sunward.firmware.FloatPlan;
import sunward.firmware.port.Flash;
import sunward.firmware.port.Modem;
import sunward.protocol.message.Kind;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;

/** A float that hears one order after another, each as if it were its first: for mutated orders by the million. */
final class OrderEar implements Modem, Flash {
    private static final int SECTOR = 4096;
    private static final int PAGE = 256;

    private final byte[] bytes = new byte[256 * 1024];
    private final FloatComputer computer;
    private byte[] order = new byte[0];
    private byte[] sent;
    private int programs;

    OrderEar() {
        FloatPlan plan = new FloatPlan();
        plan.floatNumber = MadeUpWire.FLOAT;
        plan.simulated = true;
        plan.sealKey = MadeUpWire.KEY.clone();
        FloatPlan.Head head = new FloatPlan.Head();
        head.upwelling = true;
        head.channels = 16;
        head.gainElectronsPerCount = 3.8;
        head.readNoiseCounts = 8;
        head.fullScaleCounts = 65535;
        plan.heads = new FloatPlan.Head[] {head};
        plan.startDbar = 20;
        plan.parkDbar = 1000;
        plan.slowAboveDbar = 10;
        plan.speedMPerS = 0.1;
        plan.slowSpeedMPerS = 0.03;
        plan.zoneToDbar = new double[] {20};
        plan.zoneWidthDbar = new double[] {1};
        plan.maxTiltDeg = 10;
        plan.rejectSigma = 6;
        plan.shortestMs = 4;
        plan.octaves = 9;
        plan.scanIntervalMs = 1000;
        plan.longScanIntervalMs = 2500;
        plan.longAboveMs = 500;
        plan.raiseBelowShare = 0.4;
        plan.lowerAboveShare = 0.9;
        plan.darkEvery = 20;
        plan.darkEveryCdeg = 100;
        plan.shadedLoss = 0.005;
        plan.hysteresisLoss = 0.001;
        plan.tiltDisagreementDeg = 3;
        plan.staleFixS = 36 * 3600;
        plan.staleDeclinationDays = 400;
        plan.attenuation555PerM = 0.07;
        plan.messageBytes = 340;
        plan.dataMessages = 52;
        Arrays.fill(bytes, (byte) 0xff);
        computer = new FloatComputer(plan, this, this, (h, code, closed) -> {});
        computer.boot(0);
    }

    /**
     * Lets the float hear a message.
     *
     * @return true when it answered
     * @throws IllegalStateException when it answered what is no order, changed anything without an answer, or answered in a
     *     way that shore cannot read
     */
    boolean hear(byte[] message, boolean mayBeTaken) {
        order = message;
        programs = 0;
        int taken = computer.hear(0);
        if (taken == 0) {
            if (programs > 0 || computer.sendNext(0)) {
                throw new IllegalStateException("an order that was not taken changed the float");
            }
            return false;
        }
        if (!mayBeTaken || taken > 1) {
            throw new IllegalStateException("the float took an order that was not sealed with its key");
        }
        sent = null;
        boolean receipt = computer.sendNext(0)
                && MessageReader.read(sent, MadeUpWire.KEYS) instanceof Verdict.Accepted accepted
                && accepted.message().kind() == Kind.RECEIPT;
        if (!receipt) {
            throw new IllegalStateException("the float did not answer an order that it took");
        }
        Arrays.fill(bytes, 0, 8 * SECTOR, (byte) 0xff); // journal, orders and the first of the outbox
        computer.boot(0);
        return true;
    }

    @Override
    public boolean send(byte[] message, int offset, int length) {
        sent = Arrays.copyOfRange(message, offset, offset + length);
        return true;
    }

    @Override
    public int receive(byte[] into, int offset, int limit) {
        int length = Math.min(limit, order.length);
        System.arraycopy(order, 0, into, offset, length);
        order = new byte[0];
        return length;
    }

    @Override
    public int sizeBytes() {
        return bytes.length;
    }

    @Override
    public int sectorBytes() {
        return SECTOR;
    }

    @Override
    public int pageBytes() {
        return PAGE;
    }

    @Override
    public void read(int address, byte[] into, int offset, int length) {
        System.arraycopy(bytes, address, into, offset, length);
    }

    @Override
    public void program(int address, byte[] from, int offset, int length) {
        programs++;
        for (int i = 0; i < length; i++) {
            bytes[address + i] &= from[offset + i];
        }
    }

    @Override
    public void erase(int address) {
        programs++;
        Arrays.fill(bytes, address, address + SECTOR, (byte) 0xff);
    }
}
