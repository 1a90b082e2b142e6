package sunward.bench;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.concurrent.CompletableFuture;
import sunward.profiles.Ancillary;
import sunward.profiles.DiveProduct;
import sunward.profiles.ProductFiles;
import sunward.profiles.ShoreInputs;
import sunward.protocol.message.KeyRing;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.Plan;
import sunward.protocol.schema.PlanFile;
import sunward.simulator.Dive;
import sunward.simulator.Seeds;
import sunward.watch.dives.DerivedStore;
import sunward.watch.dives.DiveKey;
import sunward.watch.dives.DiveProducts;
import sunward.watch.health.Metrics;
import sunward.watch.intake.Intake;
import sunward.watch.intake.Limits;
import sunward.watch.live.LiveFleet;
import sunward.watch.store.MessageStore;
import sunward.watch.store.Receipt;

/**
 * The same dives delivered again and again, each time in another order, with other repetitions, split otherwise over the doors
 * and judged at other moments: every time the digests, and of a flown dive the product files, of the delivery in order and once.
 */
final class WatchOrders {
    private static final int DIVES = 3;

    private final Path folder;
    private final List<byte[]> messages;
    private int number;

    /** {@code all} messages of {@value #DIVES} dives of float 1. */
    WatchOrders(Path folder, List<byte[]> all) {
        this.folder = folder;
        this.messages = all;
    }

    /** Runs {@code count} deliveries from seed {@code first} on. */
    void digests(int count, int first) throws Exception {
        Outcome assembled = (store, derived) -> {
            StringBuilder all = new StringBuilder();
            for (int dive = 0; dive < DIVES; dive++) {
                all.append(derived.dive(new DiveKey(1, dive)).assembled()).append(' ');
            }
            return all.toString();
        };
        String expected = deliver(messages, new Random(0), assembled);
        for (int seed = first; seed < first + count; seed++) {
            Random random = new Random(seed);
            require(expected.equals(deliver(shuffled(messages, random), random, assembled)), seed);
            if ((seed - first) % 5000 == 4999) {
                System.err.println(seed - first + 1 + " deliveries, all alike");
            }
        }
        figure("watch.permutations", count);
    }

    /** Runs {@code count} deliveries of a flown dive and writes its files each time. */
    void products(int count) throws Exception {
        PlanFile file = PlanReader.defaults();
        Plan plan = LiveFleet.thinned(file.getPlan());
        ShoreInputs inputs = new ShoreInputs(plan, file.getCalibration(), Ancillary.climatology());
        List<byte[]> sent = Dive.fly(
                        plan, file.getCalibration(), file.getScene(), Seeds.all(1), null, Dive.Progress.NONE)
                .sent();
        Outcome files = (store, derived) -> {
            DiveProducts products = new DiveProducts(store, derived, KeyRing.none(), inputs, List.of());
            DiveProduct product = products.product(derived.allDives().get(0));
            Path profile = folder.resolve("profile.nc");
            Path radiance = folder.resolve("radiance.csv");
            ProductFiles.writeProfile(product, profile);
            ProductFiles.writeRadiance(product, radiance);
            // Latin 1 keeps every byte.
            return Files.readString(profile, StandardCharsets.ISO_8859_1)
                    + Files.readString(radiance, StandardCharsets.ISO_8859_1);
        };
        String expected = deliver(sent, new Random(0), files);
        for (int seed = 1; seed <= count; seed++) {
            Random random = new Random(seed);
            require(expected.equals(deliver(shuffled(sent, random), random, files)), seed);
        }
        figure("watch.identical_products", count);
    }

    private interface Outcome {
        String of(MessageStore store, DerivedStore derived) throws Exception;
    }

    /** All in another order, some of them more than once. */
    private static List<byte[]> shuffled(List<byte[]> all, Random random) {
        List<byte[]> deliveries = new ArrayList<>(all);
        for (int i = random.nextInt(all.size() / 2); i > 0; i--) {
            deliveries.add(all.get(random.nextInt(all.size())));
        }
        Collections.shuffle(deliveries, random);
        return deliveries;
    }

    /** Through fresh stores, each delivery by one door or another; the random numbers choose it and the moments of judging. */
    private String deliver(List<byte[]> deliveries, Random random, Outcome outcome) throws Exception {
        Path raw = folder.resolve("orders-" + number + ".sqlite");
        Path made = folder.resolve("orders-derived-" + number++ + ".sqlite");
        String result;
        try (MessageStore store = MessageStore.open(raw, () -> {});
                DerivedStore derived = DerivedStore.open(made, store, KeyRing.none(), "orders")) {
            Intake intake = new Intake(store, Limits.defaults(), new Metrics(), () -> 0);
            Intake.Door[] doors = Intake.Door.values();
            List<CompletableFuture<Receipt>> receipts = new ArrayList<>();
            for (byte[] bytes : deliveries) {
                receipts.add(intake.accept(bytes, doors[random.nextInt(doors.length)], "bench"));
                if (random.nextInt(20) == 0) {
                    derived.follow();
                }
            }
            for (CompletableFuture<Receipt> receipt : receipts) {
                if (!receipt.join().kept()) {
                    throw new IllegalStateException(receipt.join().sentence());
                }
            }
            while (derived.follow() != null) {
                // follow() takes one batch at a time
            }
            result = outcome.of(store, derived);
        }
        delete(raw);
        delete(made);
        return result;
    }

    private static void delete(Path database) throws IOException {
        for (String suffix : List.of("", "-wal", "-shm")) {
            Files.deleteIfExists(database.resolveSibling(database.getFileName() + suffix));
        }
    }

    private static void require(boolean alike, long seed) {
        if (!alike) {
            throw new IllegalStateException("delivery of seed " + seed + " ends otherwise");
        }
    }

    private static void figure(String name, int value) {
        System.out.println(String.format(Locale.ROOT, "figure %s %d 1", name, value));
    }
}
