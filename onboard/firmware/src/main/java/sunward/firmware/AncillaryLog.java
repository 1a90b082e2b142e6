package sunward.firmware;

import sunward.protocol.bits.BodyWriter;

/**
 * What the other sensors said of the water against raw port pressure, thinned as it comes: a point is kept when the
 * pressure has moved by the spacing since the last one kept; when the log is full every other point goes and the spacing
 * doubles. Beside them, how the float hung and turned, and how the brightness of successive scans hangs together.
 */
final class AncillaryLog {
    /** A value that is not there; WIRE.md, section 2. */
    static final int NO_VALUE = -32768;

    private static final int MOST_POINTS = 512;
    private static final int FIRST_SPACING_CDBAR = 25;
    private static final int COLUMNS = 5;

    private final int[][] columns = new int[COLUMNS][MOST_POINTS];
    private final boolean[] anyValue = new boolean[COLUMNS];
    private final AttitudeLog attitudes = new AttitudeLog();
    private final BrightnessLog brightness;
    private int size;
    private int spacing;

    AncillaryLog(int heads) {
        brightness = new BrightnessLog(heads);
    }

    int ramBytes() {
        return COLUMNS * (4 * MOST_POINTS + 1) + attitudes.ramBytes() + brightness.ramBytes();
    }

    void clear() {
        size = 0;
        spacing = FIRST_SPACING_CDBAR;
        for (int c = 0; c < COLUMNS; c++) {
            anyValue[c] = false;
        }
        attitudes.clear();
        brightness.clear();
    }

    int size() {
        return size;
    }

    /** Takes one moment's attitude at a port pressure above that of the air. */
    void attitude(double portDbar, Attitude attitude) {
        attitudes.add(portDbar, attitude);
    }

    /** Takes a dark of a head: the sums of its bands' counts. */
    void dark(int head, long[] bandSums) {
        brightness.dark(head, bandSums);
    }

    /** Takes a clear light scan of a head; see {@link BrightnessLog#light}. */
    void light(int head, int instant, int exposureCode, double portDbar, long[] bandSums) {
        brightness.light(head, instant, exposureCode, portDbar, bandSums);
    }

    /** Takes a reading; units as in WIRE.md, {@link RawScan#MISSING} where there is none. */
    void add(int pressure, int temperature, int salinity, int chlorophyll, int backscatter) {
        if (size > 0 && Math.abs(pressure - columns[0][size - 1]) < spacing) {
            return;
        }
        if (size == MOST_POINTS) {
            for (int[] column : columns) {
                for (int i = 0; i < MOST_POINTS / 2; i++) {
                    column[i] = column[2 * i];
                }
            }
            size = MOST_POINTS / 2;
            spacing *= 2;
        }
        set(0, pressure);
        set(1, temperature);
        set(2, salinity);
        set(3, chlorophyll);
        set(4, backscatter);
        size++;
    }

    private void set(int c, int value) {
        columns[c][size] = value == RawScan.MISSING ? NO_VALUE : value;
        anyValue[c] |= value != RawScan.MISSING;
    }

    /**
     * Writes every so manieth point as a body, newest (shallowest) first, thinned until it fits.
     *
     * <p>Of several parts each takes every other point and layer, so that a lost one thins the profile instead of cutting
     * it.
     *
     * @param part number of this part, below {@code parts}
     * @return the length of the body
     */
    int write(BodyWriter writer, byte[] body, int from, int to, int part, int parts) {
        for (int every = 1; every <= MOST_POINTS; every++) {
            writer.begin(body, from, to);
            for (int c = 0; c < COLUMNS; c++) {
                if (anyValue[c]) {
                    column(writer, c, part * every, parts * every);
                }
            }
            attitudes.write(writer, part, parts);
            brightness.write(writer, part, parts);
            if (!writer.overflowed()) {
                return writer.length();
            }
        }
        return 0;
    }

    private void column(BodyWriter writer, int c, int first, int stride) {
        int mark = writer.open(c + 1);
        int before = 0;
        for (int i = size - 1 - first; i >= 0; i -= stride) {
            writer.packedSint(columns[c][i] - before);
            before = columns[c][i];
        }
        writer.close(mark);
    }
}
