package sunward.simulator;

import java.util.Arrays;
import sunward.firmware.port.Flash;

/**
 * Serial NOR flash in memory, as strict as the real thing: programming only clears bits and stays inside one page, erasing
 * goes by whole sectors. Misuse is the firmware's fault and throws {@link IllegalArgumentException}. Power can be made to
 * fail at any programmed or erased byte. One owner; not for sharing between threads.
 */
public final class NorFlash implements Flash {
    /** Power failed: thrown out of the firmware, which must boot again. */
    public static final class PowerCut extends RuntimeException {
        private static final long serialVersionUID = 1;

        PowerCut() {
            super("power failed while the flash was written");
        }
    }

    private static final int REFERENCE_BYTES = 16 << 20;
    private static final int SECTOR_BYTES = 4096;
    private static final int PAGE_BYTES = 256;

    private final byte[] cells;
    private final int sectorBytes;
    private final int pageBytes;
    private long programmedBytes;
    private long erasedSectors;
    private long bytesUntilCut = Long.MAX_VALUE;

    /**
     * Erased flash.
     *
     * @param sizeBytes bytes in all, whole sectors
     * @param sectorBytes bytes erased together, a power of two
     * @param pageBytes bytes programmed together at most, a power of two no larger than a sector
     */
    public NorFlash(int sizeBytes, int sectorBytes, int pageBytes) {
        if (Integer.bitCount(sectorBytes) != 1
                || Integer.bitCount(pageBytes) != 1
                || pageBytes > sectorBytes
                || sizeBytes % sectorBytes != 0) {
            throw new IllegalArgumentException("flash of " + sizeBytes + " bytes cannot have sectors of " + sectorBytes
                    + " and pages of " + pageBytes + " bytes");
        }
        this.sectorBytes = sectorBytes;
        this.pageBytes = pageBytes;
        cells = new byte[sizeBytes];
        Arrays.fill(cells, (byte) 0xff);
    }

    /** The reference float's flash: 16 MiB, sectors of 4096 bytes, pages of 256. */
    public static NorFlash reference() {
        return new NorFlash(REFERENCE_BYTES, SECTOR_BYTES, PAGE_BYTES);
    }

    @Override
    public int sizeBytes() {
        return cells.length;
    }

    @Override
    public int sectorBytes() {
        return sectorBytes;
    }

    @Override
    public int pageBytes() {
        return pageBytes;
    }

    @Override
    public void read(int address, byte[] into, int offset, int length) {
        check(address, length);
        System.arraycopy(cells, address, into, offset, length);
    }

    @Override
    public void program(int address, byte[] from, int offset, int length) {
        check(address, length);
        if (length > 0 && address / pageBytes != (address + length - 1) / pageBytes) {
            throw new IllegalArgumentException(
                    "programming " + length + " bytes at " + address + " crosses a page of " + pageBytes + " bytes");
        }
        for (int i = 0; i < length; i++) {
            byte value = from[offset + i];
            if (--bytesUntilCut < 0) {
                // The byte that is cut is torn: some of its bits are down already, others are not.
                cells[address + i] &= (byte) (value | Noise.hash(programmedBytes, address));
                throw new PowerCut();
            }
            cells[address + i] &= value;
            programmedBytes++;
        }
    }

    @Override
    public void erase(int address) {
        check(address, sectorBytes);
        if (address % sectorBytes != 0) {
            throw new IllegalArgumentException("no sector of " + sectorBytes + " bytes starts at " + address);
        }
        for (int i = 0; i < sectorBytes; i++) {
            if (--bytesUntilCut < 0) {
                mixRest(address + i, address + sectorBytes);
                throw new PowerCut();
            }
            cells[address + i] = (byte) 0xff;
        }
        erasedSectors++;
    }

    private void mixRest(int from, int to) {
        for (int i = from; i < to; i++) {
            cells[i] |= (byte) Noise.hash(erasedSectors, i);
        }
    }

    /** Lets power fail when so many more bytes have been programmed or erased. */
    public void cutPowerAfter(long bytes) {
        bytesUntilCut = bytes;
    }

    /** Power is back and stays. */
    public void restorePower() {
        bytesUntilCut = Long.MAX_VALUE;
    }

    /** Bytes programmed since the flash was made. */
    public long programmedBytes() {
        return programmedBytes;
    }

    /** Sectors erased since the flash was made. */
    public long erasedSectors() {
        return erasedSectors;
    }

    private void check(int address, int length) {
        if (address < 0 || length < 0 || address > cells.length - length) {
            throw new IllegalArgumentException(
                    length + " bytes at " + address + " lie outside the flash of " + cells.length + " bytes");
        }
    }
}
