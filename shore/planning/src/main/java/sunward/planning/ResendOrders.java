package sunward.planning;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import sunward.profiles.ResendChoice;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;
import sunward.protocol.schema.Order;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.Resend;
import sunward.simulator.Delivery;
import sunward.simulator.Shore;

/** Shore's side of a rehearsed session: orders what would complete the dive, from what has arrived and nothing else. */
final class ResendOrders implements Shore {
    private final KeyRing keys;
    private final OrderWriter writer;
    private int orders;
    private int asked;

    /** Orders for the float of a plan, whose key the ring must have. */
    ResendOrders(Plan plan, KeyRing keys) {
        this.keys = keys;
        writer = new OrderWriter(keys, plan.getFloatNumber(), plan);
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
                Order order = writer.resend(++orders, dive, wanted);
                wanted = wanted.subList(positions(order.getResend(0)), wanted.size());
                messages.add(writer.sealed(order, true));
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
}
