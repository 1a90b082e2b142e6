package sunward.simulator;

import java.time.Duration;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.ZonedDateTime;
import java.util.List;

/**
 * The Earth's main magnetic field: World Magnetic Model 2025 (NOAA NCEI and British Geological Survey 2024), spherical
 * harmonics to degree 12 in Schmidt semi-normalisation, on the WGS 84 ellipsoid.
 */
public final class MagneticField {
    private static final long EPOCH_2000_MS =
            Instant.parse("2000-01-01T00:00:00Z").toEpochMilli();
    private static final int DEGREE = 12;
    private static final double EPOCH = 2025.0;
    private static final double LAST_YEAR = 2030.0;
    /** Reference radius of the expansion, km. */
    private static final double REFERENCE_KM = 6371.2;
    /** WGS 84. */
    private static final double EQUATORIAL_KM = 6378.137;

    private static final double FLATTENING = 1 / 298.257223563;
    /** At the poles themselves east and north lose their meaning; stay this far off. */
    private static final double MAX_LATITUDE_DEG = 89.999999;

    private static final double[][] G = new double[DEGREE + 1][DEGREE + 1];
    private static final double[][] H = new double[DEGREE + 1][DEGREE + 1];
    private static final double[][] G_RATE = new double[DEGREE + 1][DEGREE + 1];
    private static final double[][] H_RATE = new double[DEGREE + 1][DEGREE + 1];

    static {
        List<double[]> rows = Table.rows("geomagnetic-2025.csv");
        for (double[] row : rows) {
            int n = (int) row[0];
            int m = (int) row[1];
            G[n][m] = row[2];
            H[n][m] = row[3];
            G_RATE[n][m] = row[4];
            H_RATE[n][m] = row[5];
        }
    }

    private MagneticField() {}

    /**
     * The field at one place and time.
     *
     * @param declinationDeg from true north, east positive
     * @param inclinationDeg dip below the horizontal
     * @param horizontalNt horizontal intensity, nT
     * @param totalNt total intensity, nT
     * @param northNt component to true north, nT
     * @param eastNt component to the east, nT
     * @param downNt component downward, nT
     * @param withinModelYears whether the time lies in the model's years, 2025.0 to 2030.0
     */
    public record Field(
            double declinationDeg,
            double inclinationDeg,
            double horizontalNt,
            double totalNt,
            double northNt,
            double eastNt,
            double downNt,
            boolean withinModelYears) {}

    /** A time as a decimal year, for example 2026.95: ms since 2000-01-01T00:00:00Z turned into year and share of it. */
    public static double decimalYear(long millis2000) {
        ZonedDateTime utc = ZonedDateTime.ofInstant(Instant.ofEpochMilli(EPOCH_2000_MS + millis2000), ZoneOffset.UTC);
        ZonedDateTime start = ZonedDateTime.of(utc.getYear(), 1, 1, 0, 0, 0, 0, ZoneOffset.UTC);
        double day = Duration.between(start, utc).toMillis() / 86_400_000.0;
        return utc.getYear() + day / utc.toLocalDate().lengthOfYear();
    }

    /**
     * The field at a geodetic place.
     *
     * @param latitudeDeg geodetic, -90 to 90
     * @param longitudeDeg east positive
     * @param heightKm above the WGS 84 ellipsoid
     * @param decimalYear for example 2026.95
     */
    public static Field at(double latitudeDeg, double longitudeDeg, double heightKm, double decimalYear) {
        double latitude = StrictMath.toRadians(Math.max(-MAX_LATITUDE_DEG, Math.min(MAX_LATITUDE_DEG, latitudeDeg)));
        double sin = StrictMath.sin(latitude);
        double cos = StrictMath.cos(latitude);
        double e2 = FLATTENING * (2 - FLATTENING);
        double normalKm = EQUATORIAL_KM / Math.sqrt(1 - e2 * sin * sin);
        double axisKm = (normalKm + heightKm) * cos;
        double polarKm = (normalKm * (1 - e2) + heightKm) * sin;
        double radiusKm = Math.sqrt(axisKm * axisKm + polarKm * polarKm);
        double geocentric = StrictMath.asin(polarKm / radiusKm);
        double[] field = geocentric(geocentric, StrictMath.toRadians(longitudeDeg), radiusKm, decimalYear - EPOCH);

        double turn = geocentric - latitude;
        double north = field[0] * StrictMath.cos(turn) - field[2] * StrictMath.sin(turn);
        double down = field[0] * StrictMath.sin(turn) + field[2] * StrictMath.cos(turn);
        double east = field[1];
        double horizontal = Math.sqrt(north * north + east * east);
        return new Field(
                StrictMath.toDegrees(StrictMath.atan2(east, north)),
                StrictMath.toDegrees(StrictMath.atan2(down, horizontal)),
                horizontal,
                Math.sqrt(horizontal * horizontal + down * down),
                north,
                east,
                down,
                decimalYear >= EPOCH && decimalYear <= LAST_YEAR);
    }

    /** North, east and down components (nT) in the geocentric frame, at a geocentric latitude (radians). */
    private static double[] geocentric(double latitude, double longitude, double radiusKm, double years) {
        double x = StrictMath.sin(latitude);
        double s = StrictMath.cos(latitude);
        double[][] p = legendre(x, s);
        double north = 0;
        double east = 0;
        double down = 0;
        double ratio = REFERENCE_KM / radiusKm;
        double power = ratio * ratio;
        for (int n = 1; n <= DEGREE; n++) {
            power *= ratio;
            for (int m = 0; m <= n; m++) {
                double g = G[n][m] + years * G_RATE[n][m];
                double h = H[n][m] + years * H_RATE[n][m];
                double cosM = StrictMath.cos(m * longitude);
                double sinM = StrictMath.sin(m * longitude);
                double below = m < n ? p[n - 1][m] : 0;
                // Derivative with respect to colatitude.
                double slope = (n * x * p[n][m] - Math.sqrt(n * n - m * m) * below) / s;
                north += power * (g * cosM + h * sinM) * slope;
                east += power * m * (g * sinM - h * cosM) * p[n][m] / s;
                down -= power * (n + 1) * (g * cosM + h * sinM) * p[n][m];
            }
        }
        return new double[] {north, east, down};
    }

    /** Schmidt semi-normalised associated Legendre functions of x = sin(latitude), s = cos(latitude). */
    private static double[][] legendre(double x, double s) {
        double[][] p = new double[DEGREE + 1][DEGREE + 1];
        p[0][0] = 1;
        for (int n = 1; n <= DEGREE; n++) {
            p[n][n] = (n == 1 ? 1 : Math.sqrt((2.0 * n - 1) / (2.0 * n))) * s * p[n - 1][n - 1];
            for (int m = 0; m < n; m++) {
                double below = m < n - 1 ? Math.sqrt((n - 1) * (n - 1) - m * m) * p[n - 2][m] : 0;
                p[n][m] = ((2 * n - 1) * x * p[n - 1][m] - below) / Math.sqrt(n * n - m * m);
            }
        }
        return p;
    }
}
