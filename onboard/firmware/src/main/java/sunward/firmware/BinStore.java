package sunward.firmware;

import sunward.protocol.spectra.BinRecord;

/** Finished bins in flash, one slot each, heads one after another and from the surface down; a small index in RAM. */
final class BinStore {
    private static final int HEADER_BYTES = 42;
    private static final int NOISE_AT = 40;
    private static final int SAMPLE_BYTES = 3;

    /** Largest magnitude that a stored sample keeps: 2^23 - 1 sixty-fourths, twice what a 16-bit converter gives. */
    private static final int MOST = (1 << 23) - 1;

    private final Region region;
    private final int slotBytes;
    private final byte[] slot;
    private final char[] bins;
    private final byte[] heads;
    private int size;

    BinStore(Region region, int maxChannels, int mostBins) {
        this.region = region;
        slotBytes = slotBytes(maxChannels);
        slot = new byte[slotBytes];
        int capacity = Math.min(mostBins, region.bytes() / slotBytes);
        bins = new char[capacity];
        heads = new byte[capacity];
    }

    /** Bytes that a slot takes. */
    static int slotBytes(int channels) {
        return HEADER_BYTES + SAMPLE_BYTES * channels;
    }

    int ramBytes() {
        return slot.length + 2 * bins.length + heads.length;
    }

    void clear() {
        size = 0;
    }

    int size() {
        return size;
    }

    int flashBytesUsed() {
        return size * slotBytes;
    }

    int bin(int index) {
        return bins[index];
    }

    int head(int index) {
        return heads[index];
    }

    /** Keeps a bin; false when the flash is full. */
    boolean add(BinRecord bin) {
        if (size >= bins.length) {
            return false;
        }
        int at = put(0, 1, bin.head);
        at = put(at, 2, bin.bin);
        at = put(at, 1, bin.pass);
        at = put(at, 1, (bin.shaded ? 1 : 0) | (bin.mixedExposure ? 2 : 0));
        at = put(at, 1, bin.exposureCode);
        at = put(at, 2, bin.used);
        at = put(at, 2, bin.rejected);
        at = put(at, 2, bin.shadedScans);
        at = put(at, 4, bin.timeS);
        at = put(at, 4, bin.pressureMdbar);
        at = put(at, 2, bin.offsetMm);
        at = put(at, 2, Math.min(0xffff, bin.depthSdMm));
        at = put(at, 2, bin.tiltCdeg);
        at = put(at, 2, bin.antisunDeg);
        at = put(at, 1, bin.fallback);
        at = put(at, 2, bin.darkCounts);
        at = put(at, 1, bin.darkScans);
        for (int band = 0; band < BinRecord.SPREAD_BANDS; band++) {
            at = put(at, 2, bin.spread[band]);
        }
        at = put(at, 2, bin.samples);
        put(at, 2, bin.darkNoise);
        at = HEADER_BYTES;
        for (int i = 0; i < bin.samples; i++) {
            int value = Math.max(-MOST, Math.min(MOST, bin.counts[i]));
            slot[at] = (byte) value;
            slot[at + 1] = (byte) (value >> 8);
            slot[at + 2] = (byte) (value >> 16);
            at += SAMPLE_BYTES;
        }
        int from = size * slotBytes;
        region.eraseEntered(from, from + slotBytes);
        region.write(from, slot, 0, at);
        bins[size] = (char) bin.bin;
        heads[size] = (byte) bin.head;
        size++;
        return true;
    }

    private int put(int at, int bytes, long value) {
        LittleEndian.put(slot, at, bytes, value);
        return at + bytes;
    }

    /**
     * Reads a bin, its channels averaged in groups.
     *
     * @param channelsPerSample sample k is the mean of channels k g to (k + 1) g - 1; the last group may hold fewer
     */
    void load(int index, int channelsPerSample, BinRecord into) {
        region.read(index * slotBytes, slot, 0, slotBytes);
        into.head = (int) LittleEndian.unsigned(slot, 0, 1);
        into.bin = (int) LittleEndian.unsigned(slot, 1, 2);
        into.pass = (int) LittleEndian.unsigned(slot, 3, 1);
        into.shaded = (slot[4] & 1) != 0;
        into.mixedExposure = (slot[4] & 2) != 0;
        into.exposureCode = (int) LittleEndian.unsigned(slot, 5, 1);
        into.used = (int) LittleEndian.unsigned(slot, 6, 2);
        into.rejected = (int) LittleEndian.unsigned(slot, 8, 2);
        into.shadedScans = (int) LittleEndian.unsigned(slot, 10, 2);
        into.timeS = LittleEndian.unsigned(slot, 12, 4);
        into.pressureMdbar = (int) LittleEndian.signed(slot, 16, 4);
        into.offsetMm = (int) LittleEndian.signed(slot, 20, 2);
        into.depthSdMm = (int) LittleEndian.unsigned(slot, 22, 2);
        into.tiltCdeg = (int) LittleEndian.unsigned(slot, 24, 2);
        into.antisunDeg = (int) LittleEndian.signed(slot, 26, 2);
        into.fallback = (int) LittleEndian.unsigned(slot, 28, 1);
        into.darkCounts = (int) LittleEndian.unsigned(slot, 29, 2);
        into.darkScans = (int) LittleEndian.unsigned(slot, 31, 1);
        for (int band = 0; band < BinRecord.SPREAD_BANDS; band++) {
            into.spread[band] = (int) LittleEndian.unsigned(slot, 32 + 2 * band, 2);
        }
        int channels = (int) LittleEndian.unsigned(slot, 38, 2);
        into.darkNoise = (int) LittleEndian.unsigned(slot, NOISE_AT, 2);
        into.samples = samples(channels, channelsPerSample);
        int c = 0;
        for (int k = 0; k < into.samples; k++) {
            int to = Math.min(channels, c + channelsPerSample);
            int n = to - c;
            long sum = 0;
            while (c < to) {
                sum += (int) LittleEndian.signed(slot, HEADER_BYTES + SAMPLE_BYTES * c, SAMPLE_BYTES);
                c++;
            }
            into.counts[k] = (int) Math.floorDiv(2 * sum + n, 2L * n);
        }
    }

    /** Noise of a scan without light in a bin, 1/64 count. */
    int darkNoise(int index) {
        region.read(index * slotBytes + NOISE_AT, slot, NOISE_AT, 2);
        return (int) LittleEndian.unsigned(slot, NOISE_AT, 2);
    }

    /** Samples of so many channels averaged in groups. */
    static int samples(int channels, int channelsPerSample) {
        return (channels + channelsPerSample - 1) / channelsPerSample;
    }
}
