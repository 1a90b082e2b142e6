package sunward.watch.dives;

import java.util.List;
import java.util.Locale;
import sunward.planning.OrderWriter;
import sunward.profiles.ResendChoice;
import sunward.protocol.message.Message;
import sunward.protocol.schema.Link;
import sunward.protocol.schema.Order;
import sunward.protocol.schema.Plan;
import sunward.watch.store.StoreException;

/**
 * The order that would complete a dive, as far as one order can. Made when somebody asks, never sent from here.
 *
 * @param wanted positions to be sent again, ascending; empty when nothing is missing or repair stands in for it
 * @param number the number it takes unless somebody knows of a later order
 * @param possible false: the float's key is not here, and orders are always sealed
 * @param cost what it costs the float, in words
 */
public record ResendOrder(List<Integer> wanted, int number, boolean possible, String cost) {
    /** What is to be asked for of a dive. */
    public static ResendOrder of(DiveKey key, List<Message> accepted, DiveMessages messages, Plan plan)
            throws StoreException {
        List<Integer> wanted = accepted.isEmpty() ? List.of() : ResendChoice.positions(accepted);
        Link link = plan.getLink();
        return new ResendOrder(
                wanted,
                messages.lastOrder(key.floatNumber()) + 1,
                messages.hasKey(key.floatNumber()),
                String.format(
                        Locale.ROOT,
                        "%d %s more: about %.0f J and %.0f s more at the surface",
                        wanted.size(),
                        wanted.size() == 1 ? "message" : "messages",
                        wanted.size() * link.getJoulesPerMessage(),
                        wanted.size() * link.getMessageS()));
    }

    /** The sealed order, ready for the satellite service; null when there is nothing to ask for or no key. */
    public static byte[] bytes(DiveKey key, int number, DiveMessages messages, Plan plan) throws StoreException {
        List<Message> accepted = messages.accepted(key);
        List<Integer> wanted = accepted.isEmpty() ? List.of() : ResendChoice.positions(accepted);
        if (number < 1 || wanted.isEmpty() || !messages.hasKey(key.floatNumber())) {
            return null;
        }
        OrderWriter writer = new OrderWriter(messages.keys(), key.floatNumber(), plan);
        Order order = writer.resend(number, key.dive(), wanted);
        return writer.sealed(order, accepted.stream().anyMatch(Message::simulated));
    }
}
