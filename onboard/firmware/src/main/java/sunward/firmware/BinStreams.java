package sunward.firmware;

/**
 * The bins of a dive in the order of sending: for each head those near the surface with even numbers, those with odd
 * ones, and the deeper ones, each from the surface down. A place is an index into the bin store.
 */
final class BinStreams {
    static final int EVEN = 0;
    static final int ODD = 1;
    static final int DEEP = 2;

    private static final int STREAMS = 3;

    private final BinStore bins;
    private final int nearBins;
    private final int[] places;
    private final int[] sent;

    /**
     * Streams over a store.
     *
     * @param nearDbar bins whose upper edge lies above this pressure are near the surface
     */
    BinStreams(BinStore bins, BinGrid grid, double nearDbar, int heads) {
        this.bins = bins;
        int near = 0;
        while (near < grid.bins() && grid.topDbar(near) < nearDbar) {
            near++;
        }
        nearBins = near;
        places = new int[STREAMS * heads];
        sent = new int[heads];
    }

    int ramBytes() {
        return 4 * (places.length + sent.length);
    }

    /** Heads that the streams are of. */
    int heads() {
        return sent.length;
    }

    /** Back to the first bin of every stream. */
    void restart() {
        for (int h = 0; h < sent.length; h++) {
            sent[h] = 0;
            for (int stream = 0; stream < STREAMS; stream++) {
                seek(h, stream, 0);
            }
        }
    }

    /** True when a stream holds a bin that was not passed yet. */
    boolean holds(int head, int stream) {
        return places[STREAMS * head + stream] >= 0;
    }

    /** Where a stream stands. */
    int place(int head, int stream) {
        return places[STREAMS * head + stream];
    }

    /** Passes the bin where a stream stands. */
    void pass(int head, int stream, boolean taken) {
        sent[head] += taken ? 1 : 0;
        seek(head, stream, place(head, stream) + 1);
    }

    /** Passes up to so many bins that are not tried; returns how many there were. */
    int skip(int head, int stream, int most) {
        int skipped = 0;
        while (skipped < most && holds(head, stream)) {
            pass(head, stream, false);
            skipped++;
        }
        return skipped;
    }

    private void seek(int head, int stream, int from) {
        int place = -1;
        for (int i = from; i < bins.size() && place < 0; i++) {
            place = bins.head(i) == head && streamOf(bins.bin(i)) == stream ? i : -1;
        }
        places[STREAMS * head + stream] = place;
    }

    /** Least noise of a scan without light among the next bins of a stream, so many at most, 1/64 count; it holds a bin. */
    int leastDarkNoise(int head, int stream, int most) {
        int least = Integer.MAX_VALUE;
        int seen = 0;
        for (int i = place(head, stream); i < bins.size() && seen < most; i++) {
            if (bins.head(i) == head && streamOf(bins.bin(i)) == stream) {
                least = Math.min(least, bins.darkNoise(i));
                seen++;
            }
        }
        return least;
    }

    private int streamOf(int bin) {
        return bin >= nearBins ? DEEP : bin % 2 == 0 ? EVEN : ODD;
    }

    /** Bins of a head that were passed and taken. */
    int sent(int head) {
        return sent[head];
    }

    /** True when every bin of the store was taken. */
    boolean allSent() {
        return taken() == bins.size();
    }

    /** Share of the store's bins that were taken. */
    double sentShare() {
        return taken() / (double) Math.max(1, bins.size());
    }

    private int taken() {
        int all = 0;
        for (int count : sent) {
            all += count;
        }
        return all;
    }
}
