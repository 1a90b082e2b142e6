package sunward.firmware;

import sunward.protocol.bits.BodyWriter;

/**
 * Temperature and salinity against raw port pressure, thinned as it comes: a point is kept when the pressure has moved
 * by the spacing since the last one kept; when the log is full every other point goes and the spacing doubles.
 */
final class AncillaryLog {
    private static final int MOST_POINTS = 512;
    private static final int FIRST_SPACING_CDBAR = 25;

    private final int[] pressureCdbar = new int[MOST_POINTS];
    private final int[] temperatureMdegc = new int[MOST_POINTS];
    private final int[] salinityMpsu = new int[MOST_POINTS];
    private int size;
    private int spacing;

    int ramBytes() {
        return 3 * 4 * MOST_POINTS;
    }

    void clear() {
        size = 0;
        spacing = FIRST_SPACING_CDBAR;
    }

    int size() {
        return size;
    }

    void add(int pressure, int temperature, int salinity) {
        if (size > 0 && Math.abs(pressure - pressureCdbar[size - 1]) < spacing) {
            return;
        }
        if (size == MOST_POINTS) {
            for (int i = 0; i < MOST_POINTS / 2; i++) {
                move(2 * i, i);
            }
            size = MOST_POINTS / 2;
            spacing *= 2;
        }
        pressureCdbar[size] = pressure;
        temperatureMdegc[size] = temperature;
        salinityMpsu[size] = salinity;
        size++;
    }

    private void move(int from, int to) {
        pressureCdbar[to] = pressureCdbar[from];
        temperatureMdegc[to] = temperatureMdegc[from];
        salinityMpsu[to] = salinityMpsu[from];
    }

    /**
     * Writes every so manieth point as a body, newest (shallowest) first, thinned until it fits.
     *
     * <p>Of several parts each takes every other point, so that a lost one thins the profile instead of cutting it.
     *
     * @param part number of this part, below {@code parts}
     * @return the length of the body
     */
    int write(BodyWriter writer, byte[] body, int from, int to, int part, int parts) {
        for (int every = 1; every <= MOST_POINTS; every++) {
            writer.begin(body, from, to);
            column(writer, 1, pressureCdbar, part * every, parts * every);
            column(writer, 2, temperatureMdegc, part * every, parts * every);
            column(writer, 3, salinityMpsu, part * every, parts * every);
            if (!writer.overflowed()) {
                return writer.length();
            }
        }
        return 0;
    }

    private void column(BodyWriter writer, int field, int[] values, int first, int stride) {
        int mark = writer.open(field);
        int before = 0;
        for (int i = size - 1 - first; i >= 0; i -= stride) {
            writer.packedSint(values[i] - before);
            before = values[i];
        }
        writer.close(mark);
    }
}
