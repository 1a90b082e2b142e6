package sunward.profiles;

/** Properties of seawater that the corrections need. */
public final class Seawater {
    private Seawater() {}

    /**
     * Depth below the surface of a standard ocean (Fofonoff and Millard 1983, UNESCO Technical Papers in Marine Science
     * 44, p. 28).
     *
     * @param pressureDbar pressure of the sea alone, dbar
     * @param latitudeDeg latitude, -90 to 90
     * @return depth, m, positive down
     */
    public static double depthM(double pressureDbar, double latitudeDeg) {
        double sine = Math.sin(Math.toRadians(latitudeDeg));
        double x = sine * sine;
        double p = pressureDbar;
        double gravity = 9.780318 * (1 + (5.2788e-3 + 2.36e-5 * x) * x) + 1.092e-6 * p;
        return (((-1.82e-15 * p + 2.279e-10) * p - 2.2512e-5) * p + 9.72659) * p / gravity;
    }

    /**
     * Index of refraction of seawater relative to air (Quan and Fry 1995, Appl. Opt. 34, 3477, eq. 3; fitted from 400 to
     * 700 nm, 0 to 30 degC, salinity 0 to 35, used outside as it stands).
     */
    public static double refractiveIndex(double wavelengthNm, double temperatureDegC, double salinity) {
        double l = wavelengthNm;
        double t = temperatureDegC;
        double s = salinity;
        return 1.31405
                + (1.779e-4 - 1.05e-6 * t + 1.6e-8 * t * t) * s
                - 2.02e-6 * t * t
                + (15.868 + 0.01155 * s - 0.00423 * t) / l
                - 4382 / (l * l)
                + 1.1455e6 / (l * l * l);
    }
}
