package sunward.profiles;

/**
 * Spectral irradiance at the surface under a cloudless sky: Bird and Riordan 1986 (J. Climate Appl. Meteorol. 25, 87),
 * equations 2-1 to 3-18; the formulas are from memory and are held to a worked output of the authors' program. Its own
 * resolution is about 10 nm, so what is taken from it are transmittances; the solar lines come from a 1-nm table.
 */
public final class ClearSky {
    /** Albedo of the sea below the sky, for light that goes up and comes back: 5 percent (common practice, no source). */
    public static final double SEA_ALBEDO = 0.05;

    private static final ReferenceTable TABLE = ReferenceTable.load("cloudless-sky.csv");
    private static final ReferenceTable LINES = ReferenceTable.load("solar-lines.csv");
    private static final double OZONE_HEIGHT_KM = 22;
    private static final double EARTH_RADIUS_KM = 6370;

    private final Ancillary day;
    private final double asymmetry;
    private final double albedo;

    /** A sky over the sea, aerosol asymmetry 0.65. */
    public ClearSky(Ancillary day) {
        this(day, 0.65, SEA_ALBEDO);
    }

    ClearSky(Ancillary day, double asymmetry, double albedo) {
        this.day = day;
        this.asymmetry = asymmetry;
        this.albedo = albedo;
    }

    /**
     * Irradiance as shares of the extraterrestrial irradiance on a plane facing the sun.
     *
     * @param directNormal direct beam, on a plane facing the sun
     * @param diffuse sky, on the horizontal
     * @param global both, on the horizontal
     */
    public record Shares(double directNormal, double diffuse, double global) {
        /** Share of the direct beam in the global irradiance. */
        public double directShare() {
            return 1 - diffuse / global;
        }
    }

    /** Shares at a wavelength and sun zenith below 90 degrees (air mass of Kasten 1965). */
    public Shares shares(double wavelengthNm, double sunZenithDeg) {
        double cosine = Math.cos(Math.toRadians(sunZenithDeg));
        double airMass = 1 / (cosine + 0.15 * Math.pow(93.885 - sunZenithDeg, -1.253));
        return shares(wavelengthNm, cosine, airMass);
    }

    Shares shares(double wavelengthNm, double cosine, double airMass) {
        double um = wavelengthNm / 1000;
        double ozoneMass = (1 + OZONE_HEIGHT_KM / EARTH_RADIUS_KM)
                / Math.sqrt(cosine * cosine + 2 * OZONE_HEIGHT_KM / EARTH_RADIUS_KM);
        Slant path = slant(wavelengthNm, um, airMass, ozoneMass);
        double direct = path.rayleigh * path.aerosol * path.vapour * path.ozone * path.mixed;

        double lg = Math.log(1 - asymmetry);
        double a = lg * (1.459 + lg * (0.1595 + lg * 0.4129));
        double b = lg * (0.0783 + lg * (-0.3824 - lg * 0.5874));
        double forward = 1 - 0.5 * Math.exp((a + b * cosine) * cosine);
        double gases = path.ozone * path.vapour * path.mixed * path.absorbed;
        double boost = um <= 0.45 ? Math.pow(um + 0.55, 1.8) : 1;
        double fromMolecules = cosine * gases * (1 - Math.pow(path.rayleigh, 0.95)) * 0.5;
        double fromAerosol = cosine * gases * Math.pow(path.rayleigh, 1.5) * (1 - path.scattered) * forward;

        Slant back = slant(wavelengthNm, um, 1.8, 1.8);
        double backForward = 1 - 0.5 * Math.exp((a + b / 1.8) / 1.8);
        double skyReflectance = back.ozone
                * back.vapour
                * back.absorbed
                * (0.5 * (1 - back.rayleigh) + (1 - backForward) * back.rayleigh * (1 - back.scattered));
        double fromGround = (direct * cosine + fromMolecules + fromAerosol)
                * skyReflectance
                * albedo
                / (1 - skyReflectance * albedo);
        double diffuse = (fromMolecules + fromAerosol + fromGround) * boost;
        return new Shares(direct, diffuse, direct * cosine + diffuse);
    }

    /** Transmittances of one path: all of aerosol, its absorbing and its scattering part, and the gases. */
    private record Slant(
            double rayleigh,
            double aerosol,
            double absorbed,
            double scattered,
            double vapour,
            double ozone,
            double mixed) {}

    private Slant slant(double nm, double um, double mass, double ozoneMass) {
        double pressureMass = mass * day.pressureHpa() / 1013;
        double um2 = um * um;
        double rayleigh = Math.exp(-pressureMass / (um2 * um2 * (115.6406 - 1.335 / um2)));
        double depth = day.aerosolDepth500() * Math.pow(um / 0.5, -day.aerosolExponent());
        double log = Math.log(um / 0.4);
        double albedoOfAerosol = 0.945 * Math.exp(-0.095 * log * log);
        double vapour = TABLE.at(nm, 2) * day.waterVapourCm() * mass;
        double mixed = TABLE.at(nm, 4) * pressureMass;
        return new Slant(
                rayleigh,
                Math.exp(-depth * mass),
                Math.exp(-(1 - albedoOfAerosol) * depth * mass),
                Math.exp(-albedoOfAerosol * depth * mass),
                Math.exp(-0.2385 * vapour / Math.pow(1 + 20.07 * vapour, 0.45)),
                Math.exp(-TABLE.at(nm, 3) * day.ozoneAtmCm() * ozoneMass),
                Math.exp(-1.41 * mixed / Math.pow(1 + 118.3 * mixed, 0.45)));
    }

    /** Extraterrestrial irradiance of the table of the model itself, mean distance, W m-2 nm-1. */
    static double coarseSolarIrradiance(double wavelengthNm) {
        return TABLE.at(wavelengthNm, 1);
    }

    /**
     * Extraterrestrial irradiance seen through a Gaussian line, at the mean distance of the sun, W m-2 nm-1.
     *
     * @param lineWidthNm full width at half maximum, nm
     */
    public static double solarIrradiance(double wavelengthNm, double lineWidthNm) {
        double sigma = Math.max(lineWidthNm / 2.3548200450309493, 0.2);
        double sum = 0;
        double weights = 0;
        for (double nm = Math.ceil(wavelengthNm - 4 * sigma); nm <= wavelengthNm + 4 * sigma; nm++) {
            double offset = (nm - wavelengthNm) / sigma;
            double weight = Math.exp(-0.5 * offset * offset);
            sum += weight * (nm < 350 || nm > 801 ? TABLE.at(nm, 1) : LINES.at(nm, 1));
            weights += weight;
        }
        return sum / weights;
    }

    /** Irradiance of the sun now over that at its mean distance (Spencer 1971), by day of the year from 0. */
    public static double distanceFactor(double dayOfYear) {
        double angle = 2 * Math.PI * dayOfYear / 365;
        return 1.00011
                + 0.034221 * Math.cos(angle)
                + 0.00128 * Math.sin(angle)
                + 0.000719 * Math.cos(2 * angle)
                + 0.000077 * Math.sin(2 * angle);
    }
}
