package sunward.simulator;

/** Optics of the boundary between air and sea. */
public final class SeaSurface {
    private SeaSurface() {}

    /**
     * Refractive index of seawater relative to air: Quan and Fry (1995, Appl. Opt. 34, 3477, equation 3), a fit over 400 to
     * 700 nm, 0 to 30 degC, salinity 0 to 35; used outside as it stands, where it is less certain.
     *
     * @param wavelengthNm in air
     */
    public static double index(double wavelengthNm, double temperatureDegC, double salinity) {
        double t = temperatureDegC;
        double l = wavelengthNm;
        return 1.31405
                + (1.779e-4 - 1.05e-6 * t + 1.6e-8 * t * t) * salinity
                - 2.02e-6 * t * t
                + (15.868 + 0.01155 * salinity - 0.00423 * t) / l
                - 4382 / (l * l)
                + 1.1455e6 / (l * l * l);
    }

    /** Zenith angle in the water of a ray that comes from the air at an angle (Snell's law), degrees. */
    public static double refractedDeg(double index, double zenithInAirDeg) {
        return StrictMath.toDegrees(StrictMath.asin(StrictMath.sin(StrictMath.toRadians(zenithInAirDeg)) / index));
    }

    /**
     * Reflectance of a flat surface for unpolarised light from the air (Fresnel's equations).
     *
     * @param zenithInAirDeg 0 to 90
     */
    public static double reflectance(double index, double zenithInAirDeg) {
        double cosAir = StrictMath.cos(StrictMath.toRadians(zenithInAirDeg));
        double sinWater = StrictMath.sin(StrictMath.toRadians(zenithInAirDeg)) / index;
        double cosWater = Math.sqrt(1 - sinWater * sinWater);
        double across = (cosAir - index * cosWater) / (cosAir + index * cosWater);
        double along = (index * cosAir - cosWater) / (index * cosAir + cosWater);
        return 0.5 * (across * across + along * along);
    }

    /** Mean square slope of a clean sea's waves in any direction: Cox and Munk (1954, J. Opt. Soc. Am. 44, 838). */
    static double meanSquareSlope(double windMPerS) {
        return 0.003 + 0.00512 * windMPerS;
    }

    /** Nadir radiance just above a flat surface over that just below: (1 - rho) / n^2. */
    public static double upwardTransmission(double index) {
        double amplitude = (index - 1) / (index + 1);
        return (1 - amplitude * amplitude) / (index * index);
    }
}
