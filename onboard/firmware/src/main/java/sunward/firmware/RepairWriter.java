package sunward.firmware;

import sunward.protocol.message.Kind;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.repair.ErasureCode;
import sunward.protocol.repair.RepairEncoder;
import sunward.protocol.repair.RepairLayout;

/**
 * Appends the repair messages of a dive to the outbox, reading the dive's data messages back from it. The data, in order of
 * position, are cut into as few groups of nearly equal size as {@link ErasureCode#MAX_SYMBOLS} allows; repair messages are
 * shared among the groups alike. Their positions follow the data, group after group.
 */
final class RepairWriter {
    private final FloatPlan plan;
    private final Outbox outbox;
    private final MessageWriter messages;
    private final RepairEncoder encoder;
    private final byte[] data;

    RepairWriter(FloatPlan plan, Outbox outbox, MessageWriter messages) {
        this.plan = plan;
        this.outbox = outbox;
        this.messages = messages;
        boolean wanted = plan.repairMessages > 0;
        data = new byte[wanted ? plan.messageBytes : 0];
        encoder = new RepairEncoder(data.length);
    }

    int ramBytes() {
        return data.length + encoder.ramBytes();
    }

    /** How much shorter bodies of data must be so that repair messages can protect them. */
    int reservedBytes() {
        return plan.repairMessages > 0 ? RepairLayout.RESERVED_BYTES : 0;
    }

    /** Repair messages for a dive of so many data messages: the plan's share, rounded up, held to what fits. */
    int count(int dataMessages, int room) {
        int wanted = (plan.repairMessages * dataMessages + plan.dataMessages - 1) / plan.dataMessages;
        return Math.max(0, Math.min(wanted, Math.min(room, MessageLayout.MAX_POSITION + 1 - dataMessages)));
    }

    /**
     * Appends them.
     *
     * @param first where the dive's first message lies in the outbox ({@link Outbox#next()} before it was appended)
     * @return false when the outbox refused one
     */
    boolean append(int dive, int first, int dataMessages, int repairs) {
        int groups = (dataMessages + repairs + ErasureCode.MAX_SYMBOLS - 1) / ErasureCode.MAX_SYMBOLS;
        boolean taken = true;
        int address = first;
        for (int g = 0; g < groups && repairs > 0; g++) {
            int from = share(dataMessages, g, groups);
            int to = share(dataMessages, g + 1, groups);
            int repairFrom = share(repairs, g, groups);
            int repairTo = share(repairs, g + 1, groups);
            encoder.begin(from, to - from, repairTo - repairFrom, longest(address, to - from));
            int next = address;
            for (int i = from; i < to; i++) {
                int length = outbox.read(next, data);
                encoder.cover(data, 0, bodyLength(length));
                next = Outbox.after(next, length);
            }
            for (int r = repairFrom; r < repairTo; r++) {
                taken &= appendOne(dive, dataMessages + r, r - repairFrom, address, to - from);
            }
            address = next;
        }
        return taken;
    }

    private static int share(int of, int group, int groups) {
        return of * group / groups;
    }

    private int longest(int first, int count) {
        int longest = 0;
        int address = first;
        for (int i = 0; i < count; i++) {
            int length = outbox.read(address, data);
            longest = Math.max(longest, bodyLength(length));
            address = Outbox.after(address, length);
        }
        return longest;
    }

    private boolean appendOne(int dive, int position, int repair, int first, int count) {
        messages.begin(Kind.REPAIR, plan.simulated, plan.floatNumber, dive, position, 0, repair);
        int bodyLength = encoder.start(repair, messages.buffer(), messages.bodyOffset());
        int address = first;
        for (int i = 0; i < count; i++) {
            int length = outbox.read(address, data);
            encoder.add(i, data, 0, bodyLength(length));
            address = Outbox.after(address, length);
        }
        return outbox.append(position, messages.buffer(), messages.finish(bodyLength));
    }

    private int bodyLength(int messageLength) {
        return messageLength - messages.bodyOffset() - (plan.messageBytes - messages.bodyLimit());
    }
}
