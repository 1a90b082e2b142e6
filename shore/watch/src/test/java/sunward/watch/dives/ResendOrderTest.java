package sunward.watch.dives;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;
import sunward.protocol.schema.Order;
import sunward.simulator.Dive;
import sunward.simulator.Seeds;
import sunward.watch.FlownDive;
import sunward.watch.store.Arrival;
import sunward.watch.store.MessageStore;

class ResendOrderTest {
    private static final byte[] KEY = "0123456789abcdef0123456789abcdef".getBytes(StandardCharsets.US_ASCII);

    @TempDir
    Path folder;

    private final KeyRing keys = KeyRing.of(Map.of(FlownDive.file().getPlan().getFloatNumber(), KEY));

    private Message message(byte[] bytes) {
        return ((Verdict.Accepted) MessageReader.read(bytes, keys)).message();
    }

    @Test
    void repairStandsInAsFarAsItGoesAndAnOrderAsksForTheRest() throws Exception {
        var file = FlownDive.file();
        List<byte[]> sent = Dive.fly(
                        file.getPlan(), file.getCalibration(), file.getScene(), Seeds.all(1), KEY, Dive.Progress.NONE)
                .sent();
        long data = sent.stream().filter(b -> message(b).kind() == Kind.DIVE).count();
        int repairs = (int) (sent.size() - data);
        List<byte[]> late = sent.subList(3, 3 + repairs + 2);
        List<byte[]> early = new ArrayList<>(sent);
        early.removeAll(late);
        DiveKey key = new DiveKey(
                message(sent.get(0)).floatNumber(), message(sent.get(0)).dive());
        try (MessageStore store = MessageStore.open(folder.resolve("messages.sqlite"), () -> {});
                DerivedStore derived = DerivedStore.open(folder.resolve("derived.sqlite"), store, keys, "test")) {
            DiveMessages messages = new DiveMessages(store, derived, keys);
            keep(store, derived, early);
            DiveState state = derived.dive(key);
            assertEquals(repairs, state.repairs());
            assertEquals(0, state.repaired(), "two more are missing than repair can make good");
            assertEquals(repairs + 2, state.missing());
            ResendOrder order = ResendOrder.of(key, messages.accepted(key), messages, file.getPlan());
            assertEquals(List.of(3, 4), order.wanted(), "no more than repair leaves open");
            assertTrue(order.possible());
            assertEquals(1, order.number());
            byte[] bytes = ResendOrder.bytes(key, 7, messages, file.getPlan());
            Message asked = message(bytes);
            assertEquals(Kind.ORDER, asked.kind());
            assertTrue(asked.simulated() && !asked.unsealed());
            Order body = Order.parseFrom(asked.body());
            assertEquals(7, body.getNumber());
            assertEquals(key.dive(), body.getResend(0).getDive());
            assertEquals(List.of(3, 2), body.getResend(0).getRunsList(), "skip three, send two");
            assertNull(ResendOrder.bytes(key, 0, messages, file.getPlan()));

            keep(store, derived, late.subList(0, 2));
            state = derived.dive(key);
            assertEquals(repairs, state.repaired());
            assertEquals(0, state.missing(), "what repair makes good is not missing");
            assertNull(ResendOrder.bytes(key, 8, messages, file.getPlan()));
            List<Message> repaired = DiveMessages.repaired(messages.accepted(key));
            for (Message one : repaired) {
                assertTrue(
                        late.stream().anyMatch(b -> Arrays.equals(message(b).body(), one.body())),
                        "position " + one.position());
            }
            DiveMessages keyless = new DiveMessages(store, derived, KeyRing.none());
            assertFalse(ResendOrder.of(key, List.of(), keyless, file.getPlan()).possible());
        }
        List<byte[]> kept = new ArrayList<>();
        MessageStore.each(folder.resolve("messages.sqlite"), kept::add);
        assertEquals(early.size() + 2, kept.size());
    }

    private static void keep(MessageStore store, DerivedStore derived, List<byte[]> messages) throws Exception {
        for (byte[] one : messages) {
            store.append(new Arrival(one, 0, "test", "")).get();
        }
        while (derived.follow() != null) {
            // follow() takes one batch at a time
        }
    }
}
