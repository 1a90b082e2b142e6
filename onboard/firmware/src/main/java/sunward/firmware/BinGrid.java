package sunward.firmware;

/** The pressure bins of a plan: numbers from the surface down, edges in dbar of head pressure. */
final class BinGrid {
    /** No bin: above the surface or below the last zone. */
    static final int NO_BIN = 0xffff;

    private static final int MOST_BINS = 1024;

    private final double[] zoneTo;
    private final double[] zoneWidth;
    private final int[] zoneBins;
    private final int bins;

    BinGrid(FloatPlan plan) {
        int zones = plan.zoneToDbar.length;
        zoneTo = plan.zoneToDbar.clone();
        zoneWidth = plan.zoneWidthDbar.clone();
        zoneBins = new int[zones];
        double from = 0;
        int sum = 0;
        for (int z = 0; z < zones; z++) {
            // A hair off, so that 10 / 0.2 makes 50 bins and not 51.
            int n = (int) Math.ceil((zoneTo[z] - from) / zoneWidth[z] - 1e-6);
            zoneBins[z] = Math.max(0, Math.min(n, MOST_BINS - sum));
            sum += zoneBins[z];
            from = zoneTo[z];
        }
        bins = sum;
    }

    /** Bins in all, at most 1024. */
    int bins() {
        return bins;
    }

    /** The bin that holds a pressure, or {@link #NO_BIN}. */
    int binOf(double headDbar) {
        if (!(headDbar >= 0)) {
            return NO_BIN;
        }
        double from = 0;
        int first = 0;
        for (int z = 0; z < zoneBins.length; z++) {
            if (headDbar < zoneTo[z]) {
                int within = (int) ((headDbar - from) / zoneWidth[z]);
                return within < zoneBins[z] ? first + within : zoneBins[z] > 0 ? first + zoneBins[z] - 1 : NO_BIN;
            }
            from = zoneTo[z];
            first += zoneBins[z];
        }
        return NO_BIN;
    }

    /** Pressure of a bin's upper edge, dbar. */
    double topDbar(int bin) {
        double from = 0;
        int first = 0;
        for (int z = 0; z < zoneBins.length; z++) {
            if (bin < first + zoneBins[z]) {
                return from + (bin - first) * zoneWidth[z];
            }
            first += zoneBins[z];
            from = zoneTo[z];
        }
        return from;
    }
}
