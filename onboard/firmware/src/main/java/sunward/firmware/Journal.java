package sunward.firmware;

import sunward.protocol.seal.Crc32c;

/**
 * Three numbers that must never fall back, whatever moment the power fails: the dive number, that of the last dive packed,
 * and the youngest outbox bank given up. Each change appends a small checksummed entry to one of two sectors; the value is the largest of all sound
 * entries. A full sector is left standing while the other is erased and opened with all values, so that a half-done erase can only
 * leave older, smaller entries behind.
 */
final class Journal {
    private static final int ENTRY_BYTES = 16;
    private static final int CHECKED_BYTES = 12;
    private static final int MAGIC = 0x5a31;

    private final Region region;
    private final byte[] entry = new byte[ENTRY_BYTES];
    private int next;
    private int dive;
    private int packed;
    private int retiredBank;

    /** A journal in a region of two sectors. */
    Journal(Region region) {
        this.region = region;
    }

    /** Reads what stands in flash. */
    void boot() {
        dive = 0;
        packed = 0;
        retiredBank = 0;
        int sector = region.sectorBytes();
        int best = -1;
        next = 0;
        for (int side = 0; side < 2; side++) {
            int free = 0;
            int newest = -1;
            for (int at = 0; at < sector; at += ENTRY_BYTES) {
                region.read(side * sector + at, entry, 0, ENTRY_BYTES);
                if (!blank()) {
                    free = at + ENTRY_BYTES; // sound or torn: never programmed again
                }
                if (sound()) {
                    int a = (int) LittleEndian.unsigned(entry, 2, 4);
                    int b = (int) LittleEndian.unsigned(entry, 6, 4);
                    int c = (int) LittleEndian.unsigned(entry, 10, 2);
                    dive = Math.max(dive, a);
                    packed = Math.max(packed, c);
                    retiredBank = Math.max(retiredBank, b);
                    newest = Math.max(newest, a + b + c);
                }
            }
            if (newest > best) {
                best = newest;
                next = side * sector + free;
            }
        }
        if (best < 0) {
            region.erase(0);
            next = 0;
        }
    }

    private boolean blank() {
        for (int i = 0; i < ENTRY_BYTES; i++) {
            if (entry[i] != (byte) 0xff) {
                return false;
            }
        }
        return true;
    }

    private boolean sound() {
        return LittleEndian.unsigned(entry, 0, 2) == MAGIC && LittleEndian.unsigned(entry, CHECKED_BYTES, 4) == check();
    }

    private long check() {
        return Crc32c.of(entry, 0, CHECKED_BYTES) & 0xffffffffL;
    }

    /** Dives begun so far. */
    int dive() {
        return dive;
    }

    /** Largest number of an outbox bank given up, or 0. */
    int retiredBank() {
        return retiredBank;
    }

    /** Starts the next dive and returns its number, never used before. */
    int nextDive() {
        append(dive + 1, packed, retiredBank);
        return dive;
    }

    /** True when the last dive begun is wholly in the outbox. */
    boolean packed() {
        return packed == dive;
    }

    /** Notes that the last dive begun is wholly in the outbox. */
    void notePacked() {
        append(dive, dive, retiredBank);
    }

    /** Notes that outbox banks up to this number hold nothing that matters. */
    void retireBank(int bank) {
        if (bank > retiredBank) {
            append(dive, packed, bank);
        }
    }

    private void append(int newDive, int newPacked, int newRetired) {
        int sector = region.sectorBytes();
        if (next % sector == 0 && next > 0) {
            // The sector before is full: the other one starts anew.
            int side = next / sector - 1;
            next = side == 0 ? sector : 0;
            region.erase(next);
        }
        LittleEndian.put(entry, 0, 2, MAGIC);
        LittleEndian.put(entry, 2, 4, newDive);
        LittleEndian.put(entry, 6, 4, newRetired);
        LittleEndian.put(entry, 10, 2, newPacked);
        LittleEndian.put(entry, CHECKED_BYTES, 4, check());
        region.write(next, entry, 0, ENTRY_BYTES);
        next += ENTRY_BYTES;
        dive = newDive;
        packed = newPacked;
        retiredBank = newRetired;
    }
}
