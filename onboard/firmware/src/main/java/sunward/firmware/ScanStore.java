package sunward.firmware;

import sunward.protocol.seal.Crc32c;

/**
 * The scans of a dive in flash, in order of arrival, in slots of one size, with a few bytes of index each in RAM.
 *
 * <pre>
 *  slot: time ms 8 | pressure 1e-4 dbar 4 | sum of counts 4 | offset mm 2 | tilt 0.01 degree 2 | from anti-sun degree 2
 *        | fallback 1 | fix known 1, tare known 2 | head temperature 0.01 degC 2, -32768 missing | dive 4 | arrival 4
 *        | bin 2 | marks 2 | start of the dive s 4 | last fix s 4, 1e-5 degree 4, 4 | tare 1e-4 dbar 4
 *        | CRC-32C of the counts 4 | CRC-32C of all before 4 | counts 2 each
 * </pre>
 *
 * Each sector is erased as the first slot enters it. The slots form a ring: when all are full, the oldest scans make
 * room. A float rises, so those are the deepest, which tell least of the surface; how many went is counted.
 *
 * <p>A slot tells all that its scan needs to be binned, so that a dive cut short by a loss of power goes on from flash.
 */
final class ScanStore {
    /** Scans that the index can name. */
    static final int MOST_SCANS = 16_384;

    /** Stands for a temperature that the head did not give. */
    static final int NO_TEMPERATURE = -32768;

    private static final int HEADER_BYTES = 66;
    private static final int DIVE_AT = 26;
    private static final int ARRIVAL_AT = 30;
    private static final int BIN_AT = 34;
    private static final int MARKS_AT = 36;
    private static final int OPENING_AT = 38;
    private static final int COUNTS_CHECK_AT = 58;
    private static final int CHECK_AT = 62;
    private static final int NONE = -1;

    /** Slots stepped over at most behind the newest scan, since they cannot be written. */
    private static final int MOST_TORN = 8;

    private static final int DARK = 1 << 6;
    private static final int SHADED = 1 << 7;
    private static final int TILTED = 1 << 8;
    private static final int SATURATED = 1 << 9;
    private static final int PREFERRED = 1 << 10;
    private static final int DWELL = 1 << 11;

    /** Marks of a slot that did not come through: in no bin, and no dark. */
    private static final int SPOILT = TILTED;

    private final FloatPlan plan;
    private final Region region;
    private final int slotBytes;
    private final char[] bins;
    private final char[] marks;
    private final byte[] slot;
    private long arrived; // in this dive, those that are gone included: the next scan's number
    private int first; // place of the oldest that is left
    private int size;
    private long dropped;

    // What a dive began with.
    private int dive;
    private long startMs;
    private boolean fixKnown;
    private long fixMs;
    private int latitudeE5;
    private int longitudeE5;
    private boolean tareKnown;
    private int tareE4;

    // Header of the scan last loaded.
    private long timeMs;
    private int pressureE4Dbar;
    private int sum;
    private int offsetMm;
    private int tiltCdeg;
    private int antisunDeg;
    private int fallback;
    private int temperatureCdeg;

    ScanStore(FloatPlan plan, Region region, int maxChannels) {
        this.plan = plan;
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

    /** Forgets all scans. */
    void clear() {
        first = 0;
        size = 0;
        arrived = 0;
        dropped = 0;
        dive = 0;
    }

    /** A new dive begins: what each of its slots will tell of it. */
    void open(int number, Ledger ledger) {
        clear();
        dive = number;
        startMs = ledger.startMs();
        fixKnown = ledger.fixKnown();
        fixMs = ledger.fixMs();
        latitudeE5 = ledger.fixLatitudeE5();
        longitudeE5 = ledger.fixLongitudeE5();
        tareKnown = ledger.tareBeforeKnown();
        tareE4 = ledger.tareBeforeE4();
    }

    int size() {
        return size;
    }

    /** Scans of this dive that made room for others. */
    long dropped() {
        return dropped;
    }

    int flashBytesUsed() {
        return (int) Math.min(arrived, bins.length) * slotBytes;
    }

    /** Where a scan lies in the ring; {@code scan} counts from the oldest that is left. */
    private int place(int scan) {
        int at = first + scan;
        return at < bins.length ? at : at - bins.length;
    }

    /**
     * Keeps a scan.
     *
     * @param timeMs its time by the steadied clock
     * @param bin its bin, or {@link BinGrid#NO_BIN}
     */
    void add(
            RawScan scan,
            long timeMs,
            int bin,
            boolean shaded,
            boolean tilted,
            boolean saturated,
            boolean preferred,
            boolean dwell,
            int offset,
            int tilt,
            int antisun,
            int fallbackNumber) {
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
        LittleEndian.put(slot, 23, 1, (fixKnown ? 1 : 0) | (tareKnown ? 2 : 0));
        int known = Math.max(NO_TEMPERATURE + 1, Math.min(32767, scan.temperatureCdeg));
        LittleEndian.put(slot, 24, 2, scan.temperatureCdeg == RawScan.MISSING ? NO_TEMPERATURE : known);
        int mark = scan.exposureCode
                | scan.head << 4
                | (scan.shutterClosed ? DARK : 0)
                | (shaded ? SHADED : 0)
                | (tilted ? TILTED : 0)
                | (saturated ? SATURATED : 0)
                | (preferred ? PREFERRED : 0)
                | (dwell ? DWELL : 0);
        LittleEndian.put(slot, DIVE_AT, 4, dive);
        LittleEndian.put(slot, ARRIVAL_AT, 4, arrived);
        LittleEndian.put(slot, BIN_AT, 2, bin);
        LittleEndian.put(slot, MARKS_AT, 2, mark);
        LittleEndian.put(slot, OPENING_AT, 4, startMs / 1000);
        LittleEndian.put(slot, OPENING_AT + 4, 4, fixMs / 1000);
        LittleEndian.put(slot, OPENING_AT + 8, 4, latitudeE5);
        LittleEndian.put(slot, OPENING_AT + 12, 4, longitudeE5);
        LittleEndian.put(slot, OPENING_AT + 16, 4, tareE4);
        LittleEndian.put(slot, COUNTS_CHECK_AT, 4, Crc32c.of(slot, HEADER_BYTES, at - HEADER_BYTES));
        LittleEndian.put(slot, CHECK_AT, 4, Crc32c.of(slot, 0, CHECK_AT));
        int to = (int) (arrived % bins.length);
        makeRoom(to);
        region.write(to * slotBytes, slot, 0, at);
        take(to, bin, mark);
    }

    private void take(int to, int bin, int mark) {
        bins[to] = (char) bin;
        marks[to] = (char) mark;
        size++;
        arrived++;
    }

    /** Erases what a slot enters; the scans of the lap before that lie there are gone. */
    private void makeRoom(int to) {
        int from = to * slotBytes;
        int sector = region.sectorBytes();
        int erasedTo = (from + slotBytes + sector - 1) / sector * sector;
        int last = Math.min(bins.length, (erasedTo + slotBytes - 1) / slotBytes) - 1;
        while (size > 0 && place(0) >= to && place(0) <= last) {
            first = place(1);
            size--;
            dropped++;
        }
        region.eraseEntered(from, from + slotBytes);
    }

    /**
     * Finds what a dive left in flash when the power failed.
     *
     * @return false when there is no scan of it
     */
    boolean recover(int number) {
        clear();
        long newest = NONE;
        long oldest = Long.MAX_VALUE;
        for (int i = 0; i < bins.length; i++) {
            bins[i] = BinGrid.NO_BIN;
            marks[i] = SPOILT;
            if (sound(i, number)) {
                long arrival = LittleEndian.unsigned(slot, ARRIVAL_AT, 4);
                bins[i] = (char) LittleEndian.unsigned(slot, BIN_AT, 2);
                marks[i] = (char) LittleEndian.unsigned(slot, MARKS_AT, 2);
                newest = Math.max(newest, arrival);
                oldest = Math.min(oldest, arrival);
            }
        }
        while (oldest < newest && !whole((int) (oldest % bins.length), number)) {
            oldest++; // it was being erased when the power failed,
        }
        while (newest >= oldest && !whole((int) (newest % bins.length), number)) {
            newest--; // and this one written
        }
        if (newest < oldest) {
            return false;
        }
        dive = number;
        startMs = 1000 * LittleEndian.unsigned(slot, OPENING_AT, 4);
        fixKnown = (slot[23] & 1) != 0;
        tareKnown = (slot[23] & 2) != 0;
        fixMs = 1000 * LittleEndian.unsigned(slot, OPENING_AT + 4, 4);
        latitudeE5 = (int) LittleEndian.signed(slot, OPENING_AT + 8, 4);
        longitudeE5 = (int) LittleEndian.signed(slot, OPENING_AT + 12, 4);
        tareE4 = (int) LittleEndian.signed(slot, OPENING_AT + 16, 4);
        arrived = newest + 1;
        first = (int) (oldest % bins.length);
        size = (int) Math.min(bins.length, arrived - oldest);
        dropped = oldest;
        for (int i = 0; i < MOST_TORN && !clean((int) (arrived % bins.length)); i++) {
            int torn = (int) (arrived % bins.length);
            makeRoom(torn);
            take(torn, BinGrid.NO_BIN, SPOILT);
        }
        return true;
    }

    /** Loads a slot's header; true when it is one of this dive. */
    private boolean sound(int at, int number) {
        region.read(at * slotBytes, slot, 0, HEADER_BYTES);
        return LittleEndian.unsigned(slot, DIVE_AT, 4) == number
                && (int) LittleEndian.signed(slot, CHECK_AT, 4) == Crc32c.of(slot, 0, CHECK_AT)
                && LittleEndian.unsigned(slot, ARRIVAL_AT, 4) % bins.length == at;
    }

    private boolean whole(int at, int number) {
        if (!sound(at, number)) {
            return false;
        }
        int channels = plan.heads[marks[at] >> 4 & 3].channels;
        region.read(at * slotBytes, slot, 0, HEADER_BYTES + 2 * channels);
        return (int) LittleEndian.signed(slot, COUNTS_CHECK_AT, 4) == Crc32c.of(slot, HEADER_BYTES, 2 * channels);
    }

    /** True when the bytes of a slot that its writing does not erase can be written. */
    private boolean clean(int at) {
        int from = at * slotBytes;
        int sector = region.sectorBytes();
        int length = Math.min(slotBytes, (sector - from % sector) % sector);
        region.read(from, slot, 0, length);
        for (int i = 0; i < length; i++) {
            if (slot[i] != (byte) 0xff) {
                return false;
            }
        }
        return true;
    }

    /** Tells a ledger what the dive in flash began with, and counts its scans again. */
    void tell(Ledger ledger) {
        ledger.start(startMs);
        if (fixKnown) {
            ledger.fix(fixMs, latitudeE5, longitudeE5);
        }
        if (tareKnown) {
            ledger.tareBefore(tareE4);
        }
        for (int i = 0; i < size; i++) {
            int mark = marks[place(i)];
            if ((mark & DARK) != 0) {
                ledger.dark(head(i));
            } else if (mark != SPOILT) {
                load(i, 0);
                ledger.light(
                        head(i),
                        (mark & SATURATED) != 0,
                        (mark & TILTED) != 0,
                        (mark & SHADED) != 0,
                        (mark & PREFERRED) != 0,
                        fallback);
            }
        }
    }

    /** Takes the last so many scans out of their bins: where they were is not known. */
    void dropFromBins(int last) {
        for (int i = Math.max(0, size - last); i < size; i++) {
            bins[place(i)] = (char) BinGrid.NO_BIN;
        }
    }

    int bin(int scan) {
        return bins[place(scan)];
    }

    int exposureCode(int scan) {
        return marks[place(scan)] & 0xf;
    }

    int head(int scan) {
        return marks[place(scan)] >> 4 & 3;
    }

    boolean dark(int scan) {
        return (marks[place(scan)] & DARK) != 0;
    }

    /** Pass through its bin: 0 the ascent, 1 the dwell. */
    int pass(int scan) {
        return (marks[place(scan)] & DWELL) == 0 ? 0 : 1;
    }

    boolean shaded(int scan) {
        return (marks[place(scan)] & SHADED) != 0;
    }

    /** Too tilted or saturated. */
    boolean unfit(int scan) {
        return (marks[place(scan)] & (TILTED | SATURATED)) != 0;
    }

    /** True for a dark of this head and exposure. */
    boolean darkOf(int scan, int head, int exposureCode) {
        return (marks[place(scan)] & (DARK | 0x3f)) == (DARK | head << 4 | exposureCode);
    }

    /** Loads a scan's header, and its counts for {@link #count} when {@code channels > 0}. */
    void load(int scan, int channels) {
        region.read(place(scan) * slotBytes, slot, 0, HEADER_BYTES + 2 * channels);
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
