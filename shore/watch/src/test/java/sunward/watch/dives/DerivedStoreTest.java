package sunward.watch.dives;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.concurrent.CompletableFuture;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import sunward.profiles.ProductFiles;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.KeyRing;
import sunward.watch.FlownDive;
import sunward.watch.MadeMessages;
import sunward.watch.store.Arrival;
import sunward.watch.store.MessageStore;
import sunward.watch.store.Receipt;
import sunward.watch.store.StoreException;

class DerivedStoreTest {
    @TempDir
    Path folder;

    private int number;

    /** A store that got these messages in this order, some of them through another door. */
    private MessageStore storeOf(List<byte[]> messages) throws Exception {
        MessageStore store = MessageStore.open(folder.resolve("messages-" + number + ".sqlite"), () -> {});
        List<CompletableFuture<Receipt>> receipts = new ArrayList<>();
        for (int i = 0; i < messages.size(); i++) {
            receipts.add(store.append(new Arrival(messages.get(i), i, i % 3 == 0 ? "http" : "tcp", "here")));
        }
        receipts.forEach(CompletableFuture::join);
        return store;
    }

    private DerivedStore derivedOf(MessageStore store, String madeWith) throws Exception {
        DerivedStore derived =
                DerivedStore.open(folder.resolve("derived-" + number++ + ".sqlite"), store, KeyRing.none(), madeWith);
        while (derived.follow() != null) {
            // one batch at a time
        }
        return derived;
    }

    @Test
    void anyOrderAndAnyRepetitionEndsInTheSameAssembledDigest() throws Exception {
        List<byte[]> all = new ArrayList<>();
        for (int dive = 0; dive < 5; dive++) {
            all.addAll(MadeMessages.dive(2, dive, 20, 1));
        }
        List<String> expected = null;
        int rounds = Integer.getInteger("watch.permutations", 60);
        for (int seed = 1; seed <= rounds; seed++) {
            Random random = new Random(seed);
            List<byte[]> deliveries = new ArrayList<>(all);
            for (int i = random.nextInt(60); i > 0; i--) {
                deliveries.add(all.get(random.nextInt(all.size())));
            }
            Collections.shuffle(deliveries, random);
            try (MessageStore store = storeOf(deliveries);
                    DerivedStore derived = derivedOf(store, "x")) {
                List<String> assembled = new ArrayList<>();
                for (int dive = 0; dive < 5; dive++) {
                    DiveState state = derived.dive(new DiveKey(2, dive));
                    assertEquals(20, state.received(), "seed " + seed);
                    assertEquals(0, state.missing(), "seed " + seed);
                    assembled.add(state.assembled());
                }
                expected = expected == null ? assembled : expected;
                assertEquals(expected, assembled, "seed " + seed);
            }
        }
    }

    @Test
    void tablesThatCannotFollowSayWhyAndCatchUpByThemselves() throws Exception {
        try (MessageStore store = storeOf(MadeMessages.dive(2, 1, 5, 1));
                DerivedStore derived = derivedOf(store, "x")) {
            assertEquals("", derived.trouble());
            long before = derived.lastMessageId();
            for (int dive = 2; dive < 22; dive++) {
                for (byte[] message : MadeMessages.dive(2, dive, 50, 1)) {
                    assertTrue(store.append(new Arrival(message, 0, "test", ""))
                            .join()
                            .kept());
                }
            }
            derived.pragma("PRAGMA max_page_count = 1"); // as few as it has now
            StoreException full = assertThrows(StoreException.class, derived::follow);
            assertTrue(full.getMessage().contains("the disk is full; make room"), full.getMessage());
            assertEquals(full.getMessage(), derived.trouble());
            assertEquals(before, derived.lastMessageId());
            assertNull(derived.dive(new DiveKey(2, 3)), "nothing of the group that failed");
            derived.pragma("PRAGMA max_page_count = 100000"); // as if room had been made
            assertEquals(20, derived.follow().size());
            assertEquals("", derived.trouble());
            assertEquals(50, derived.dive(new DiveKey(2, 3)).received());
        }
    }

    @Test
    void productFilesOfAFlownDiveAreTheSameBytesInAnyOrder() throws Exception {
        byte[] profile = null;
        byte[] radiance = null;
        int rounds = Integer.getInteger("watch.product_permutations", 3);
        for (int seed = 1; seed <= rounds; seed++) {
            List<byte[]> deliveries = new ArrayList<>(FlownDive.sent());
            deliveries.addAll(FlownDive.sent().subList(3, 9));
            Collections.shuffle(deliveries, new Random(seed));
            try (MessageStore store = storeOf(deliveries);
                    DerivedStore derived = derivedOf(store, "x")) {
                DiveState only = derived.newestDives().get(0);
                DiveProducts products = new DiveProducts(store, derived, KeyRing.none(), FlownDive.inputs(), List.of());
                var product = products.product(new DiveKey(only.floatNumber(), only.dive()));
                Path file = folder.resolve("file");
                ProductFiles.writeProfile(product, file);
                byte[] nowProfile = Files.readAllBytes(file);
                ProductFiles.writeRadiance(product, file);
                byte[] nowRadiance = Files.readAllBytes(file);
                profile = profile == null ? nowProfile : profile;
                radiance = radiance == null ? nowRadiance : radiance;
                assertArrayEquals(profile, nowProfile, "seed " + seed);
                assertArrayEquals(radiance, nowRadiance, "seed " + seed);
            }
        }
    }

    @Test
    void aDiveIsFirstClassFromItsFirstMessage() throws Exception {
        List<byte[]> dive = MadeMessages.dive(8, 4, 30, 1);
        try (MessageStore store = storeOf(List.of(dive.get(12)));
                DerivedStore derived = derivedOf(store, "x")) {
            DiveState early = derived.dive(new DiveKey(8, 4));
            assertNull(early.planned());
            assertEquals(13, early.expected());
            assertEquals(12, early.missing());
            assertNull(early.latitudeDeg());
            store.append(new Arrival(dive.get(0), 9, "tcp", "here")).join();
            store.append(new Arrival(MadeMessages.message(8, 4, 12, BlockType.BINS, 11, new byte[9]), 9, "tcp", "here"))
                    .join();
            derived.follow();
            DiveState later = derived.dive(new DiveKey(8, 4));
            assertEquals(30, later.planned());
            assertEquals(1, later.received());
            assertEquals(1, later.conflicting());
            assertEquals(28, later.missing());
            assertNotEquals(early.assembled(), later.assembled());
        }
    }

    @Test
    void tablesMadeWithOtherKeysAreMadeAgain() throws Exception {
        try (MessageStore store = storeOf(MadeMessages.dive(1, 1, 10, 1))) {
            derivedOf(store, "old keys").close();
            number--;
            try (DerivedStore derived = DerivedStore.open(
                    folder.resolve("derived-" + number + ".sqlite"), store, KeyRing.none(), "new keys")) {
                assertEquals(0, derived.lastMessageId());
                assertNull(derived.dive(new DiveKey(1, 1)));
                derived.follow();
                assertEquals(10, derived.dive(new DiveKey(1, 1)).received());
            }
        }
    }
}
