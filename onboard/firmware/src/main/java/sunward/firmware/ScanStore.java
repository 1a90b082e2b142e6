package sunward.firmware;

/**
 * The scans of a dive in flash, in order of arrival, in slots of one size, with a few bytes of index each in RAM.
 *
 * <pre>
 *  slot: time ms 8 | pressure 1e-4 dbar 4 | sum of counts 4 | offset mm 2 | tilt 0.01 degree 2 | from anti-sun degree 2
 *        | fallback 1 | unused 1 | head temperature 0.01 degC 2, -32768 missing | counts 2 each
 * </pre>
 *
 * Each sector is erased as the first slot enters it.
 */
final class ScanStore {
    /** Scans that the index can name. */
    static final int MOST_SCANS = 16_384;

    /** Stands for a temperature that the head did not give. */
    static final int NO_TEMPERATURE = -32768;

    private static final int HEADER_BYTES = 26;
    private static final int DARK = 1 << 6;
    private static final int SHADED = 1 << 7;
    private static final int TILTED = 1 << 8;
    private static final int SATURATED = 1 << 9;

    private final Region region;
    private final int slotBytes;
    private final char[] bins;
    private final char[] marks;
    private final byte[] slot;
    private int size;

    // Header of the scan last loaded.
    private long timeMs;
    private int pressureE4Dbar;
    private int sum;
    private int offsetMm;
    private int tiltCdeg;
    private int antisunDeg;
    private int fallback;
    private int temperatureCdeg;

    ScanStore(Region region, int maxChannels) {
        this.region = region;
        slotBytes = HEADER_BYTES + 2 * maxChannels;
        int capacity = Math.min(MOST_SCANS, region.bytes() / slotBytes);
        bins = new char[capacity];
        marks = new char[capacity];
        slot = new byte[slotBytes];
    }

    /** Bytes that a slot takes. */
    static int slotBytes(int channels) {
        return HEADER_BYTES + 2 * channels;
    }

    int ramBytes() {
        return 2 * bins.length + 2 * marks.length + slot.length;
    }

    /** Forgets all scans: a new dive begins. */
    void clear() {
        size = 0;
    }

    int size() {
        return size;
    }

    int flashBytesUsed() {
        return size * slotBytes;
    }

    /**
     * Keeps a scan.
     *
     * @param timeMs its time by the steadied clock
     * @param bin its bin, or {@link BinGrid#NO_BIN}
     * @return false when the flash is full
     */
    boolean add(
            RawScan scan,
            long timeMs,
            int bin,
            boolean shaded,
            boolean tilted,
            boolean saturated,
            int offset,
            int tilt,
            int antisun,
            int fallbackNumber) {
        if (size >= bins.length) {
            return false;
        }
        int counts = 0;
        int at = HEADER_BYTES;
        for (int c = 0; c < scan.channels; c++) {
            int value = scan.counts[c];
            counts += value;
            slot[at] = (byte) value;
            slot[at + 1] = (byte) (value >>> 8);
            at += 2;
        }
        LittleEndian.put(slot, 0, 8, timeMs);
        LittleEndian.put(slot, 8, 4, scan.pressureE4Dbar);
        LittleEndian.put(slot, 12, 4, counts);
        LittleEndian.put(slot, 16, 2, Math.max(-32768, Math.min(32767, offset)));
        LittleEndian.put(slot, 18, 2, tilt);
        LittleEndian.put(slot, 20, 2, antisun);
        LittleEndian.put(slot, 22, 1, fallbackNumber);
        LittleEndian.put(slot, 23, 1, 0xff);
        int known = Math.max(NO_TEMPERATURE + 1, Math.min(32767, scan.temperatureCdeg));
        LittleEndian.put(slot, 24, 2, scan.temperatureCdeg == RawScan.MISSING ? NO_TEMPERATURE : known);
        int from = size * slotBytes;
        region.eraseEntered(from, from + slotBytes);
        region.write(from, slot, 0, at);
        bins[size] = (char) bin;
        marks[size] = (char) (scan.exposureCode
                | scan.head << 4
                | (scan.shutterClosed ? DARK : 0)
                | (shaded ? SHADED : 0)
                | (tilted ? TILTED : 0)
                | (saturated ? SATURATED : 0));
        size++;
        return true;
    }

    /** Takes the last so many scans out of their bins: where they were is not known. */
    void dropFromBins(int last) {
        for (int i = Math.max(0, size - last); i < size; i++) {
            bins[i] = (char) BinGrid.NO_BIN;
        }
    }

    int bin(int scan) {
        return bins[scan];
    }

    int exposureCode(int scan) {
        return marks[scan] & 0xf;
    }

    int head(int scan) {
        return marks[scan] >> 4 & 3;
    }

    boolean dark(int scan) {
        return (marks[scan] & DARK) != 0;
    }

    boolean shaded(int scan) {
        return (marks[scan] & SHADED) != 0;
    }

    /** Too tilted or saturated. */
    boolean unfit(int scan) {
        return (marks[scan] & (TILTED | SATURATED)) != 0;
    }

    /** True for a dark of this head and exposure. */
    boolean darkOf(int scan, int head, int exposureCode) {
        return (marks[scan] & (DARK | 0x3f)) == (DARK | head << 4 | exposureCode);
    }

    /** Loads a scan's header, and its counts for {@link #count} when {@code channels > 0}. */
    void load(int scan, int channels) {
        region.read(scan * slotBytes, slot, 0, HEADER_BYTES + 2 * channels);
        timeMs = LittleEndian.signed(slot, 0, 8);
        pressureE4Dbar = (int) LittleEndian.signed(slot, 8, 4);
        sum = (int) LittleEndian.signed(slot, 12, 4);
        offsetMm = (int) LittleEndian.signed(slot, 16, 2);
        tiltCdeg = (int) LittleEndian.unsigned(slot, 18, 2);
        antisunDeg = (int) LittleEndian.signed(slot, 20, 2);
        fallback = (int) LittleEndian.unsigned(slot, 22, 1);
        temperatureCdeg = (int) LittleEndian.signed(slot, 24, 2);
    }

    /** Raw count of a channel of the scan last loaded. */
    int count(int channel) {
        int at = HEADER_BYTES + 2 * channel;
        return slot[at] & 0xff | (slot[at + 1] & 0xff) << 8;
    }

    long timeMs() {
        return timeMs;
    }

    int pressureE4Dbar() {
        return pressureE4Dbar;
    }

    int sum() {
        return sum;
    }

    int offsetMm() {
        return offsetMm;
    }

    int tiltCdeg() {
        return tiltCdeg;
    }

    int antisunDeg() {
        return antisunDeg;
    }

    int fallback() {
        return fallback;
    }

    /** Temperature of the head, 0.01 degC, or {@link #NO_TEMPERATURE}. */
    int temperatureCdeg() {
        return temperatureCdeg;
    }
}
