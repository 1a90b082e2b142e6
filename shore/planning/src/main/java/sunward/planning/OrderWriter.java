package sunward.planning;

import java.util.Arrays;
import java.util.List;
import sunward.profiles.ResendChoice;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.MessageLayout;
import sunward.protocol.message.MessageWriter;
import sunward.protocol.schema.Order;
import sunward.protocol.schema.Plan;

/** Makes orders to one float: whose key the ring must have, for orders are always sealed. */
public final class OrderWriter {
    /** What every order is to be read with. */
    public static final String CAUTION =
            "An order reaches a float that nobody can stop. Have a second person read these"
                    + " words before it is sent, and keep to the rules of the ship, the operator and the coast.";

    /** What the smallest link carries to a float, bytes; WIRE.md, section 7. */
    private static final int MOST_ORDER_BYTES = 270;

    private final KeyRing keys;
    private final int floatNumber;
    private final int orderBytes;

    /** Orders over the link of this plan. */
    public OrderWriter(KeyRing keys, int floatNumber, Plan plan) {
        this.keys = keys;
        this.floatNumber = floatNumber;
        this.orderBytes = Math.min(MOST_ORDER_BYTES, plan.getLink().getOrderBytes());
    }

    /** An order that asks for as many of these positions, the first ones, as one order can name. */
    public Order resend(int number, int dive, List<Integer> positions) {
        Order.Builder order = Order.newBuilder().setNumber(number);
        int room = orderBytes - MessageLayout.HEADER_BYTES - MessageLayout.SEALED_BYTES;
        int left = room - order.build().getSerializedSize() - 3;
        return order.addResend(ResendChoice.part(dive, positions, left)).build();
    }

    /**
     * The order's message.
     *
     * @param simulated for a simulated float only: a float at sea does not obey it
     */
    public byte[] sealed(Order order, boolean simulated) {
        MessageWriter writer = keys.writer(floatNumber, orderBytes);
        writer.begin(Kind.ORDER, simulated, floatNumber, 0, order.getNumber() & MessageLayout.MAX_POSITION, 0, 0);
        byte[] body = order.toByteArray();
        System.arraycopy(body, 0, writer.buffer(), writer.bodyOffset(), body.length);
        return Arrays.copyOf(writer.buffer(), writer.finish(body.length));
    }
}
