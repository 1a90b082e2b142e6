package sunward.planning;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import sunward.profiles.ResendChoice;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.message.Verdict;
import sunward.protocol.schema.Order;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.Resend;
import sunward.simulator.Delivery;
import sunward.simulator.Shore;

/** Shore's side of a rehearsed session: orders what would complete the dive, from what has arrived and nothing else. */
final class ResendOrders implements Shore {
    /** What the smallest link carries to a float, bytes; WIRE.md, section 7. */
    private static final int MOST_ORDER_BYTES = 270;

    private final KeyRing keys;
    private final int floatNumber;
    private final int orderBytes;
    private int orders;
    private int asked;

    /** Orders for the float of a plan, whose key the ring must have. */
    ResendOrders(Plan plan, KeyRing keys) {
        this.keys = keys;
        floatNumber = plan.getFloatNumber();
        orderBytes = Math.min(MOST_ORDER_BYTES, plan.getLink().getOrderBytes());
    }

    /** Orders made so far; the last one has this number. */
    int orders() {
        return orders;
    }

    /** Messages that these orders name, those named twice counted twice. */
    int asked() {
        return asked;
    }

    @Override
    public List<byte[]> orders(List<Delivery> delivered) {
        Map<Integer, List<Message>> dives = new TreeMap<>();
        for (Delivery delivery : delivered) {
            if (MessageReader.read(delivery.bytes(), keys) instanceof Verdict.Accepted accepted
                    && accepted.message().kind() != Kind.RECEIPT) {
                dives.computeIfAbsent(accepted.message().dive(), dive -> new ArrayList<>())
                        .add(accepted.message());
            }
        }
        List<byte[]> messages = new ArrayList<>();
        dives.forEach((dive, accepted) -> {
            List<Integer> wanted = ResendChoice.positions(accepted);
            asked += wanted.size();
            while (!wanted.isEmpty()) {
                Order.Builder order = Order.newBuilder().setNumber(++orders);
                int room = orderBytes - MessageLayout.HEADER_BYTES - MessageLayout.SEALED_BYTES;
                Resend part =
                        ResendChoice.part(dive, wanted, room - order.build().getSerializedSize() - 3);
                wanted = wanted.subList(positions(part), wanted.size());
                messages.add(sealed(order.addResend(part).build()));
            }
        });
        return messages;
    }

    private static int positions(Resend part) {
        int sum = 0;
        for (int i = 1; i < part.getRunsCount(); i += 2) {
            sum += part.getRuns(i);
        }
        return sum;
    }

    private byte[] sealed(Order order) {
        MessageWriter writer = keys.writer(floatNumber, orderBytes);
        writer.begin(Kind.ORDER, true, floatNumber, 0, order.getNumber() & MessageLayout.MAX_POSITION, 0, 0);
        byte[] body = order.toByteArray();
        System.arraycopy(body, 0, writer.buffer(), writer.bodyOffset(), body.length);
        return Arrays.copyOf(writer.buffer(), writer.finish(body.length));
    }
}
