package sunward.profiles;

import sunward.protocol.schema.Ledger;

/**
 * Depth of an aperture from the raw port pressure: tare off, UNESCO 44, lever arm on.
 *
 * @param tareDbar raw pressure in air that is taken off
 * @param uncertaintyM one standard uncertainty of every depth of the dive, m, common to all
 * @param latitudeDeg latitude for gravity
 * @param words where the tare is from
 */
record HeadDepth(double tareDbar, double uncertaintyM, double latitudeDeg, String words) {
    /** Trim, housing and sensor: what remains with a fresh tare, m (assumed). */
    private static final double FRESH_M = 0.006;

    /** Weather since the tare before the dive, a few hPa (assumed), m. */
    private static final double STALE_M = 0.04;

    /** Without any tare: weather and drift (assumed), m. */
    private static final double NONE_M = 0.12;

    /** Weather, and drift of a gauge over years (assumed), 0.001 dbar. */
    private static final int MOST_TARE_MDBAR = 3000;

    private static final double MIDDLE_LATITUDE_DEG = 30;

    /** The best that a ledger allows; the tare after the dive is nearest in time to the surface. */
    static HeadDepth from(Ledger ledger, double latitudeDeg) {
        double latitude = Double.isNaN(latitudeDeg) ? MIDDLE_LATITUDE_DEG : latitudeDeg;
        if (ledger != null && ledger.hasTareAfterMdbar() && believed(ledger.getTareAfterMdbar())) {
            return new HeadDepth(ledger.getTareAfterMdbar() / 1000.0, FRESH_M, latitude, "taken after the dive");
        }
        if (ledger != null && ledger.hasTareBeforeMdbar() && believed(ledger.getTareBeforeMdbar())) {
            return new HeadDepth(ledger.getTareBeforeMdbar() / 1000.0, STALE_M, latitude, "taken before the dive");
        }
        return new HeadDepth(0, NONE_M, latitude, "missing");
    }

    /** False for what no sound gauge reads in air: a float that surfaces with a stuck one reads the depth where it stuck. */
    static boolean believed(int tareMdbar) {
        return Math.abs(tareMdbar) <= MOST_TARE_MDBAR;
    }

    boolean missing() {
        return words.equals("missing");
    }

    double depthM(double portPressureDbar, double offsetM) {
        return Seawater.depthM(portPressureDbar - tareDbar, latitudeDeg) + offsetM;
    }
}
