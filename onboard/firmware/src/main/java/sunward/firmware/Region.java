package sunward.firmware;

import sunward.firmware.port.Flash;

/** A run of whole flash sectors with one purpose; keeps programs inside pages. Addresses count from its start. */
final class Region {
    private final Flash flash;
    private final int start;
    private final int bytes;

    /** A region of {@code bytes} bytes (whole sectors) from the absolute address {@code start} (a sector's first). */
    Region(Flash flash, int start, int bytes) {
        this.flash = flash;
        this.start = start;
        this.bytes = bytes;
    }

    /** Length in bytes. */
    int bytes() {
        return bytes;
    }

    /** Bytes of a sector. */
    int sectorBytes() {
        return flash.sectorBytes();
    }

    /** Programs bytes, page by page; they must have been erased (or only clear bits). */
    void write(int at, byte[] from, int offset, int length) {
        int page = flash.pageBytes();
        int done = 0;
        while (done < length) {
            int address = start + at + done;
            int step = Math.min(length - done, page - address % page);
            flash.program(address, from, offset + done, step);
            done += step;
        }
    }

    /** Reads bytes. */
    void read(int at, byte[] into, int offset, int length) {
        flash.read(start + at, into, offset, length);
    }

    /** Erases the sector that starts at {@code at}. */
    void erase(int at) {
        flash.erase(start + at);
    }

    /** Erases every sector that starts in {@code [from, to)}: what an append from {@code from} to {@code to} enters. */
    void eraseEntered(int from, int to) {
        int sector = flash.sectorBytes();
        int first = (from + sector - 1) / sector * sector;
        for (int at = first; at < to; at += sector) {
            erase(at);
        }
    }
}
