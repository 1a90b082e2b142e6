package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.LinkTruth;

class LinkTest {
    private static final LinkTruth SCENE = PlanReader.defaults().getScene().getLink();

    private static byte[] message(int position) {
        byte[] bytes = new byte[340];
        bytes[4] = (byte) (position >>> 8);
        bytes[5] = (byte) position;
        return bytes;
    }

    private static Link session(LinkTruth scene, int seed, int messages) {
        Link link = new Link(scene, seed);
        for (int i = 0; i < messages; i++) {
            link.setTime(20_000L * i);
            assertTrue(link.send(message(i), 0, 340));
        }
        return link;
    }

    private static void assertBinomial(String what, int n, double share, int found, int seeds) {
        assertEquals(n * share, found, 4 * Math.sqrt(n * share * (1 - share)), what + ", seeds 0 to " + (seeds - 1));
    }

    @Test
    void eventsAreAsOftenAsTheSceneSays() {
        int lost = 0;
        int duplicated = 0;
        int corrupted = 0;
        int arrived = 0;
        double delay = 0;
        for (int seed = 0; seed < 20; seed++) {
            Link link = session(SCENE, seed, 4000);
            lost += link.lost();
            duplicated += link.duplicated();
            corrupted += link.corrupted();
            for (Delivery delivery : link.deliveries()) {
                arrived++;
                delay += delivery.receivedMs() / 1000.0;
            }
        }
        int n = 80_000;
        assertBinomial("lost", n, 0.04, lost, 20);
        assertBinomial("duplicated", n - lost, 0.02, duplicated, 20);
        assertBinomial("corrupted", arrived, 0.01, corrupted, 20);
        // Delay: 15 s and an exponential of mean 20 s, beside the sending times of mean 20 s x 1999.5.
        double sentMean = 20 * 1999.5;
        assertEquals(sentMean + 35, delay / arrived, 4 * 20 * 4000 / Math.sqrt(12.0 * arrived));
    }

    @Test
    void arrivalIsInOrderOfTimeAndMixesTheSendingOrder() {
        List<Delivery> deliveries = session(SCENE, 5, 200).deliveries();
        int overtaken = 0;
        for (int i = 1; i < deliveries.size(); i++) {
            assertTrue(deliveries.get(i - 1).receivedMs() <= deliveries.get(i).receivedMs());
            int before = deliveries.get(i - 1).bytes()[5] & 0xff;
            overtaken += before > (deliveries.get(i).bytes()[5] & 0xff) ? 1 : 0;
        }
        assertTrue(overtaken > 10, "overtaken " + overtaken);
    }

    @Test
    void aCleanLinkDeliversEveryByte() {
        Link link = session(LinkTruth.getDefaultInstance(), 1, 50);
        assertEquals(50, link.deliveries().size());
        for (int i = 0; i < 50; i++) {
            assertArrayEquals(message(i), link.deliveries().get(i).bytes());
            assertArrayEquals(message(i), link.sent().get(i));
        }
    }

    @Test
    void switchingCorruptionOffChangesNoOtherEvent() {
        Link spoilt = session(SCENE, 9, 1000);
        Link clean = session(SCENE.toBuilder().setCorruptPercent(0).build(), 9, 1000);
        assertEquals(spoilt.lost(), clean.lost());
        assertEquals(spoilt.duplicated(), clean.duplicated());
        for (int i = 0; i < spoilt.deliveries().size(); i++) {
            assertEquals(
                    spoilt.deliveries().get(i).receivedMs(),
                    clean.deliveries().get(i).receivedMs());
        }
        assertEquals(0, clean.corrupted());
        assertTrue(spoilt.corrupted() > 0);
    }

    /** Orders are lost, doubled, damaged and late like messages, by numbers of their own; a short ear hears no long one. */
    @Test
    void ordersPassTheSameLink() {
        int heard = 0;
        int damaged = 0;
        byte[] ear = new byte[270];
        for (int seed = 0; seed < 4000; seed++) {
            Link link = new Link(SCENE, seed);
            byte[] order = Arrays.copyOf(message(1), 270);
            link.order(order);
            assertEquals(0, link.receive(ear, 0, ear.length), "nothing comes at once");
            link.setTime(1_000_000);
            int length;
            while ((length = link.receive(ear, 0, ear.length)) > 0) {
                assertEquals(270, length);
                heard++;
                damaged += Arrays.equals(order, ear) ? 0 : 1;
            }
            Link silent = session(SCENE, seed, 2);
            Link talking = new Link(SCENE, seed);
            talking.order(order);
            for (int i = 0; i < 2; i++) {
                talking.setTime(20_000L * i);
                talking.send(message(i), 0, 340);
            }
            assertEquals(silent.lost(), talking.lost(), "an order changes no message's fate, seed " + seed);
            talking.order(Arrays.copyOf(order, 271));
            talking.setTime(2_000_000);
            while ((length = talking.receive(ear, 0, ear.length)) > 0) {
                assertEquals(270, length, "an order too long for the link never comes");
            }
        }
        // Kept with 0.96, and then a second copy with 0.02: mean 0.9792.
        assertEquals(4000 * 0.96 * 1.02, heard, 4 * Math.sqrt(4000 * (0.96 * 0.04 + 0.02)));
        assertBinomial("damaged", heard, 0.01, damaged, 4000);
    }

    @Test
    void aSecondAttemptHasItsOwnFate() {
        LinkTruth half = LinkTruth.newBuilder().setLossPercent(50).build();
        int both = 0;
        for (int seed = 0; seed < 400; seed++) {
            Link link = new Link(half, seed);
            link.send(message(3), 0, 340);
            link.send(message(3), 0, 340);
            both += link.lost() == 2 ? 1 : 0;
        }
        assertBinomial("lost twice", 400, 0.25, both, 400);
    }
}
