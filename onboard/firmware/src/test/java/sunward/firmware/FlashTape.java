package sunward.firmware;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import sunward.firmware.port.Flash;

/**
 * A flash that keeps a tape of what was done to it, with notes between, so that power can be cut afterwards at any place of
 * the tape without flying the dive again.
 */
final class FlashTape implements Flash {
    private static final int SECTOR = 4096;
    private static final int PAGE = 256;

    /**
     * One thing on the tape.
     *
     * @param data bytes programmed; null for an erase or a note
     * @param note what was noted; null for a program or an erase
     */
    @SuppressWarnings("ArrayRecordComponent") // never compared
    record Entry(int address, byte[] data, Runnable note) {
        boolean erases() {
            return data == null && note == null;
        }
    }

    final List<Entry> tape = new ArrayList<>();
    private final byte[] cells;

    FlashTape(int size) {
        cells = new byte[size];
        Arrays.fill(cells, (byte) 0xff);
    }

    /** Notes that something is so from here on; run again when the tape is replayed. */
    void note(Runnable note) {
        tape.add(new Entry(0, null, note));
    }

    /** Fresh cells: what was there before the tape began. */
    byte[] blank() {
        byte[] blank = new byte[cells.length];
        Arrays.fill(blank, (byte) 0xff);
        return blank;
    }

    @Override
    public int sizeBytes() {
        return cells.length;
    }

    @Override
    public int sectorBytes() {
        return SECTOR;
    }

    @Override
    public int pageBytes() {
        return PAGE;
    }

    @Override
    public void read(int address, byte[] into, int offset, int length) {
        System.arraycopy(cells, address, into, offset, length);
    }

    @Override
    public void program(int address, byte[] from, int offset, int length) {
        if (length < 1 || address / PAGE != (address + length - 1) / PAGE) {
            throw new IllegalStateException("program of " + length + " bytes at " + address + " leaves its page");
        }
        Entry entry = new Entry(address, Arrays.copyOfRange(from, offset, offset + length), null);
        tape.add(entry);
        apply(cells, entry);
    }

    @Override
    public void erase(int address) {
        if (address % SECTOR != 0) {
            throw new IllegalStateException("erase at " + address + " is not at a sector's start");
        }
        Entry entry = new Entry(address, null, null);
        tape.add(entry);
        apply(cells, entry);
    }

    /** Does a whole entry to some cells. */
    static void apply(byte[] cells, Entry entry) {
        if (entry.note != null) {
            entry.note.run();
        } else if (entry.data == null) {
            Arrays.fill(cells, entry.address, entry.address + SECTOR, (byte) 0xff);
        } else {
            for (int i = 0; i < entry.data.length; i++) {
                cells[entry.address + i] &= entry.data[i];
            }
        }
    }

    /** How many ways of cutting an entry there are: before each byte of a program; mixtures of an erase. */
    static int waysToCut(Entry entry) {
        return entry.note != null ? 0 : entry.data == null ? 4 : entry.data.length;
    }

    /**
     * The flash after power failed within an entry; the cells given are not touched.
     *
     * @param way for a program the byte at which it stopped, some of whose bits are down; for an erase the mixture
     */
    static Flash cut(byte[] cells, Entry entry, int way, Random random) {
        Overlay after = new Overlay(cells);
        if (entry.erases()) {
            byte[] sector = after.own(entry.address / SECTOR);
            for (int i = 0; i < SECTOR; i++) {
                boolean done =
                        way == 0 ? random.nextInt(100) == 0 : way == 1 ? i < SECTOR / 2 : way == 2 || i < SECTOR - 3;
                sector[i] |= (byte) (way == 2 ? random.nextInt(256) : done ? 0xff : 0);
            }
        } else {
            for (int i = 0; i <= way; i++) {
                int at = entry.address + i;
                byte value = (byte) (i < way ? entry.data[i] : entry.data[i] | random.nextInt(256));
                after.own(at / SECTOR)[at % SECTOR] &= value;
            }
        }
        return after;
    }

    /** Cells with changes of its own above them. */
    private static final class Overlay implements Flash {
        private final byte[] below;
        private final Map<Integer, byte[]> changed = new HashMap<>();

        Overlay(byte[] below) {
            this.below = below;
        }

        byte[] own(int sector) {
            return changed.computeIfAbsent(sector, s -> Arrays.copyOfRange(below, s * SECTOR, (s + 1) * SECTOR));
        }

        @Override
        public int sizeBytes() {
            return below.length;
        }

        @Override
        public int sectorBytes() {
            return SECTOR;
        }

        @Override
        public int pageBytes() {
            return PAGE;
        }

        @Override
        public void read(int address, byte[] into, int offset, int length) {
            int done = 0;
            while (done < length) {
                int at = address + done;
                int step = Math.min(length - done, SECTOR - at % SECTOR);
                byte[] own = changed.get(at / SECTOR);
                System.arraycopy(own == null ? below : own, own == null ? at : at % SECTOR, into, offset + done, step);
                done += step;
            }
        }

        @Override
        public void program(int address, byte[] from, int offset, int length) {
            byte[] sector = own(address / SECTOR);
            for (int i = 0; i < length; i++) {
                sector[address % SECTOR + i] &= from[offset + i];
            }
        }

        @Override
        public void erase(int address) {
            Arrays.fill(own(address / SECTOR), (byte) 0xff);
        }
    }
}
