package sunward.firmware;

import java.util.Arrays;
import java.util.Random;
import sunward.firmware.port.Flash;

/** A serial NOR flash in memory that checks its use and can lose power at any byte. */
final class TestFlash implements Flash {
    /** The power is gone. */
    static final class PowerCut extends RuntimeException {
        private static final long serialVersionUID = 1;
    }

    private static final int SECTOR = 4096;
    private static final int PAGE = 256;

    private final byte[] bytes;
    private final Random garble = new Random(9);
    private long left = Long.MAX_VALUE;
    private long programmed;

    TestFlash(int size) {
        bytes = new byte[size];
        Arrays.fill(bytes, (byte) 0xff);
    }

    /** Lets so many more bytes be programmed (a sector's erase counts as 16), then fails in the middle. */
    void cutAfter(long steps) {
        left = steps;
    }

    /** Power is back. */
    void restore() {
        left = Long.MAX_VALUE;
    }

    /** Steps (bytes programmed, 16 for an erase) since the start. */
    long steps() {
        return programmed;
    }

    @Override
    public int sizeBytes() {
        return bytes.length;
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
        System.arraycopy(bytes, address, into, offset, length);
    }

    @Override
    public void program(int address, byte[] from, int offset, int length) {
        if (length < 1 || address / PAGE != (address + length - 1) / PAGE) {
            throw new IllegalStateException("program of " + length + " bytes at " + address + " leaves its page");
        }
        for (int i = 0; i < length; i++) {
            if (left <= 0) {
                bytes[address + i] &= (byte) (from[offset + i] | garble.nextInt(256)); // some bits of the last byte
                throw new PowerCut();
            }
            left--;
            programmed++;
            bytes[address + i] &= from[offset + i];
        }
    }

    @Override
    public void erase(int address) {
        if (address % SECTOR != 0) {
            throw new IllegalStateException("erase at " + address + " is not at a sector's start");
        }
        programmed += 16;
        left -= 16;
        boolean cut = left <= 0;
        for (int i = 0; i < SECTOR; i++) {
            // Half-done, an erase leaves any mixture of old and set bits.
            bytes[address + i] |= (byte) (cut ? garble.nextInt(256) : 0xff);
        }
        if (cut) {
            throw new PowerCut();
        }
    }
}
