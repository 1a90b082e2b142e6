package sunward.simulator;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import org.junit.jupiter.api.Test;

class NorFlashTest {
    private final NorFlash flash = new NorFlash(8192, 1024, 256);

    private byte[] read(int address, int length) {
        byte[] into = new byte[length];
        flash.read(address, into, 0, length);
        return into;
    }

    @Test
    void programmingOnlyClearsBitsAndErasingSetsThem() {
        assertArrayEquals(new byte[] {-1, -1}, read(100, 2));
        flash.program(100, new byte[] {0x0f, 0x33}, 0, 2);
        flash.program(100, new byte[] {0x55, (byte) 0xff}, 0, 2);
        assertArrayEquals(new byte[] {0x05, 0x33}, read(100, 2));
        flash.erase(0);
        assertArrayEquals(new byte[] {-1, -1}, read(100, 2));
        assertEquals(4, flash.programmedBytes());
        assertEquals(1, flash.erasedSectors());
    }

    @Test
    void misuseIsRefused() {
        byte[] bytes = new byte[512];
        assertThrows(IllegalArgumentException.class, () -> flash.program(255, bytes, 0, 2), "crosses a page");
        assertThrows(IllegalArgumentException.class, () -> flash.program(8191, bytes, 0, 2), "beyond the end");
        assertThrows(IllegalArgumentException.class, () -> flash.erase(100), "not a sector's start");
        assertThrows(IllegalArgumentException.class, () -> read(-1, 2), "before the start");
        assertThrows(IllegalArgumentException.class, () -> new NorFlash(1000, 1024, 256));
        assertThrows(IllegalArgumentException.class, () -> new NorFlash(3000, 1000, 256));
    }

    @Test
    void aPowerCutTearsOneByteAndLeavesTheRest() {
        flash.cutPowerAfter(3);
        assertThrows(NorFlash.PowerCut.class, () -> flash.program(0, new byte[8], 0, 8));
        flash.restorePower();
        assertArrayEquals(new byte[] {0, 0, 0}, read(0, 3));
        assertArrayEquals(new byte[] {-1, -1, -1, -1}, read(4, 4));
        flash.program(3, new byte[1], 0, 1);
        assertArrayEquals(new byte[4], read(0, 4));
    }

    @Test
    void aCutEraseLeavesAMixtureThatASecondEraseClears() {
        for (int page = 0; page < 1024; page += 256) {
            flash.program(page, new byte[256], 0, 256);
        }
        flash.cutPowerAfter(512);
        assertThrows(NorFlash.PowerCut.class, () -> flash.erase(0));
        int zeros = 0;
        for (byte cell : read(512, 512)) {
            zeros += 8 - Integer.bitCount(cell & 0xff);
        }
        assertEquals(512 * 4, zeros, 400, "about half of the bits");
        flash.restorePower();
        flash.erase(0);
        assertEquals(-1, read(700, 1)[0]);
    }
}
