package sunward.firmware;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.junit.jupiter.api.Test;

/** Scans in a ring of slots, cut by losses of power, against what was put in. Common practice, no published source. */
class ScanStoreTest {
    private static final int CHANNELS = 40;
    private static final int SECTORS = 6;

    private final FloatPlan plan = TestPlans.reference(2, CHANNELS);
    private final TestFlash flash = new TestFlash(1 << 17);
    private final Region region = new Region(flash, 4096, SECTORS * 4096);
    private final RawScan scan = TestPlans.scan(CHANNELS, 0, 0, 0);
    private final Ledger ledger = new Ledger(plan);
    private ScanStore store = new ScanStore(plan, region, CHANNELS);

    /** Scan number i of a dive: everything in it follows from the number. */
    private void add(int i) {
        scan.head = i % 2;
        scan.exposureCode = i % 10;
        scan.shutterClosed = i % 7 == 0;
        scan.timeMs = 700_000_000_000L + 1000L * i;
        scan.pressureE4Dbar = 2_000_000 - 100 * i;
        scan.temperatureCdeg = 1000 + i;
        for (int c = 0; c < CHANNELS; c++) {
            scan.counts[c] = (char) (31 * i + c);
        }
        store.add(
                scan,
                scan.timeMs,
                i % 900,
                i % 5 == 0,
                i % 11 == 0,
                false,
                i % 3 == 0,
                false,
                i % 400,
                i % 90,
                -20,
                i % 9);
    }

    /** The scans from the oldest left on are those numbered so and on. */
    private void holds(int oldest, int count) {
        assertEquals(count, store.size());
        for (int k = 0; k < count; k++) {
            int i = oldest + k;
            assertEquals(i % 900, store.bin(k), "bin of scan " + i);
            assertEquals(i % 2, store.head(k));
            assertEquals(i % 10, store.exposureCode(k));
            assertEquals(i % 7 == 0, store.dark(k));
            assertEquals(i % 5 == 0, store.shaded(k));
            assertEquals(i % 11 == 0, store.unfit(k));
            store.load(k, CHANNELS);
            assertEquals(700_000_000_000L + 1000L * i, store.timeMs());
            assertEquals(2_000_000 - 100 * i, store.pressureE4Dbar());
            assertEquals(i % 9, store.fallback());
            assertEquals((char) (31 * i + CHANNELS - 1), store.count(CHANNELS - 1), "counts of scan " + i);
        }
    }

    private void open(int dive) {
        ledger.boot(690_000_000_000L);
        ledger.fix(690_000_001_000L, 1_100_000, -14_200_000);
        ledger.tareBefore(523);
        store.open(dive, ledger);
    }

    @Test
    void whenTheRingIsFullTheOldestMakeRoomAndAreCounted() {
        int slots = SECTORS * 4096 / ScanStore.slotBytes(CHANNELS);
        open(1);
        for (int i = 0; i < 1000; i++) {
            add(i);
            assertEquals(i + 1, store.size() + store.dropped());
            assertTrue(store.size() == i + 1 || store.size() >= slots - 4096 / ScanStore.slotBytes(CHANNELS) - 2);
        }
        holds(1000 - store.size(), store.size());
    }

    @Test
    void aFullIndexIsARingToo() {
        ScanStore tiny = new ScanStore(plan, new Region(flash, 0, 4096), CHANNELS);
        store = tiny;
        open(1);
        for (int i = 0; i < 100; i++) {
            add(i);
            holds(i + 1 - store.size(), store.size());
        }
        assertTrue(store.size() > 0);
    }

    /** Power fails at a place of the writing; the store found in flash holds every scan that was whole, and goes on. */
    @Test
    void afterACutEveryWholeScanIsThereAgain() {
        Random random = new Random(23);
        int dive = 0;
        for (int trial = 0; trial < 400; trial++) {
            dive++;
            open(dive);
            int before = random.nextInt(300);
            for (int i = 0; i < before; i++) {
                add(i);
            }
            flash.cutAfter(1 + random.nextInt(4 * ScanStore.slotBytes(CHANNELS)));
            int whole = before;
            try {
                for (int i = before; ; i++) {
                    add(i);
                    whole = i + 1;
                }
            } catch (TestFlash.PowerCut cut) {
                flash.restore();
            }
            String where = "seed 23, trial " + trial + ", whole " + whole;
            int kept = store.size();
            store = new ScanStore(plan, region, CHANNELS);
            assertEquals(whole > 0, store.recover(dive), where);
            if (whole == 0) {
                continue;
            }
            assertFalse(store.size() > whole + 3 || store.size() < kept - 4, where + ", found " + store.size());
            int first = (int) store.dropped();
            int sound = whole - first;
            check(first, sound, where);
            int torn = store.size() - sound;
            for (int i = whole + torn; i < whole + torn + 30; i++) {
                add(i);
            }
            int dropped = (int) store.dropped() - first;
            check(first + dropped, sound - dropped, where);
            Ledger after = new Ledger(plan);
            store.tell(after);
            assertEquals(1_100_000, after.fixLatitudeE5());
            assertEquals(-14_200_000, after.fixLongitudeE5());
            assertEquals(523, after.tareBeforeE4());
            assertEquals(690_000_001_000L, after.fixMs());
        }
    }

    private void check(int first, int sound, String where) {
        for (int k = 0; k < sound; k++) {
            store.load(k, CHANNELS);
            assertEquals(700_000_000_000L + 1000L * (first + k), store.timeMs(), where);
            assertEquals((char) (31 * (first + k) + 5), store.count(5), where);
        }
    }

    @Test
    void theScansOfAnotherDiveAreNotTakenForThisOne() {
        open(1);
        for (int i = 0; i < 50; i++) {
            add(i);
        }
        assertFalse(new ScanStore(plan, region, CHANNELS).recover(2));
        assertTrue(new ScanStore(plan, region, CHANNELS).recover(1));
    }
}
