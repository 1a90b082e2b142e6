package sunward.simulator;

import sunward.protocol.schema.Atmosphere;

/**
 * Clear maritime sky: direct and diffuse irradiance at the sea by Gregg and Carder (1990, Limnol. Oceanogr. 35, 1657), with
 * the air mass of Kasten and Young (1989). All is given as a share of the extraterrestrial irradiance on a plane across the
 * sun's rays, so that the solar lines can be put in at any resolution. Gas tables reach from 300 to 880 nm (sources in the
 * table; outside Gregg and Carder's 350 to 700 nm their other formulas are carried on as they stand).
 */
public final class Sky {
    private static final Table GASES = Table.read("atmosphere-gases.csv");
    private static final double STANDARD_HPA = 1013.25;
    /** Below this elevation the plane-parallel model ends; further down the twilight law takes over. */
    private static final double LAST_ZENITH_DEG = 89.5;
    /** Fall of twilight per degree of solar depression: a rule from memory (a factor of about 150 over 6 degrees), no source. */
    private static final double TWILIGHT_PER_DEG = 0.83;
    /** Angular radius of the sun. */
    private static final double DISC_DEG = 0.266;

    private final Truths truths;
    private final double cosZenith;
    private final double airMass;
    private final double pressureAirMass;
    private final double ozonePathCm;
    private final double waterVapourCm;
    private final double turbidity;
    private final double angstrom;
    private final double asymmetry;
    private final double singleAlbedo;
    private final double forward;
    private final double directReflectance;
    private final double skyReflectance;
    private final double twilight;
    private final double discAboveHorizon;

    private Sky(Atmosphere atmosphere, double sunZenithDeg, Truths truths) {
        this.truths = truths;
        double zenith = Math.min(sunZenithDeg, LAST_ZENITH_DEG);
        discAboveHorizon = Math.max(0, Math.min(1, (90 + DISC_DEG - sunZenithDeg) / (2 * DISC_DEG)));
        twilight = StrictMath.exp(-TWILIGHT_PER_DEG * (sunZenithDeg - zenith));
        cosZenith = StrictMath.cos(StrictMath.toRadians(zenith));
        airMass = 1 / (cosZenith + 0.50572 * StrictMath.pow(96.07995 - zenith, -1.6364));
        pressureAirMass = airMass * atmosphere.getPressureHpa() / STANDARD_HPA;
        double ozoneMass = (1 + 22.0 / 6370) / Math.sqrt(cosZenith * cosZenith + 44.0 / 6370);
        ozonePathCm = atmosphere.getOzoneDu() / 1000 * ozoneMass;
        waterVapourCm = atmosphere.getWaterVapourCm();
        angstrom = angstrom(atmosphere);
        // Aerosol of 1 km scale height, its optical thickness at 550 nm from the visibility.
        turbidity = 3.91 / atmosphere.getVisibilityKm() * StrictMath.pow(0.55, angstrom);
        asymmetry = angstrom > 1.2 ? 0.65 : angstrom < 0 ? 0.82 : 0.82 - 0.1417 * angstrom;
        singleAlbedo = (0.972 - 0.0032 * atmosphere.getAirMassType())
                * StrictMath.exp(3.06e-4 * atmosphere.getHumidityPercent());
        forward = forwardShare(asymmetry, cosZenith);
        double foam = foam(atmosphere.getWindMPerS());
        directReflectance = Math.min(0.9, foam + directReflectance(zenith, atmosphere.getWindMPerS()));
        skyReflectance = foam + (atmosphere.getWindMPerS() <= 4 ? 0.066 : 0.057);
    }

    /** The sky by the published tables and formulas as they stand. */
    public static Sky published(Atmosphere atmosphere, double sunZenithDeg) {
        return new Sky(atmosphere, sunZenithDeg, Truths.published());
    }

    /** The sky of a dive's truth, whose tables differ from the published ones. */
    static Sky of(Atmosphere atmosphere, double sunZenithDeg, Truths truths) {
        return new Sky(atmosphere, sunZenithDeg, truths);
    }

    /** Aerosol size exponent from the three maritime modes (Gregg and Carder 1990, equations 22 to 27). */
    private static double angstrom(Atmosphere atmosphere) {
        double type = atmosphere.getAirMassType();
        double[] amount = {
            2000 * type * type,
            Math.max(0.5, 5.866 * (atmosphere.getMeanWindMPerS() - 2.2)),
            Math.max(1.4e-5, 0.01527 * (atmosphere.getWindMPerS() - 2.2) * 0.05)
        };
        double[] mode = {0.03, 0.24, 2.0};
        double humidity = atmosphere.getHumidityPercent() / 100;
        double growth = StrictMath.cbrt((2 - humidity) / (6 * (1 - humidity)));
        double[] logNumber = new double[3];
        for (int r = 0; r < 3; r++) {
            double radius = StrictMath.pow(10, r - 1);
            double number = 0;
            for (int i = 0; i < 3; i++) {
                double log = StrictMath.log(radius / (growth * mode[i]));
                number += amount[i] * StrictMath.exp(-log * log) / growth;
            }
            logNumber[r] = StrictMath.log10(number);
        }
        // Least-squares slope over radii of 0.1, 1 and 10 um, evenly spaced in logarithm.
        double slope = (logNumber[2] - logNumber[0]) / 2;
        return -(slope + 3);
    }

    private static double forwardShare(double asymmetry, double cosZenith) {
        double b3 = StrictMath.log(1 - asymmetry);
        double b1 = b3 * (1.459 + b3 * (0.1595 + 0.4129 * b3));
        double b2 = b3 * (0.0783 + b3 * (-0.3824 - 0.5874 * b3));
        return 1 - 0.5 * StrictMath.exp((b1 + b2 * cosZenith) * cosZenith);
    }

    private static double foam(double wind) {
        double airDensity = 1.2e3;
        if (wind <= 4) {
            return 0;
        }
        if (wind <= 7) {
            double drag = (0.62 + 1.56 / wind) * 1e-3;
            return airDensity * drag * 2.2e-5 * wind * wind - 4e-4;
        }
        double drag = (0.49 + 0.065 * wind) * 1e-3;
        return (airDensity * drag * 4.5e-5 - 4e-5) * wind * wind;
    }

    private static double directReflectance(double zenithDeg, double wind) {
        if (zenithDeg < 40 || wind < 2) {
            return SeaSurface.reflectance(1.341, zenithDeg);
        }
        return 0.0253 * StrictMath.exp((-7.14e-4 * wind + 0.0618) * (zenithDeg - 40));
    }

    /** Transmittances common to both parts, and those that split them. */
    private double absorbed(double wavelengthNm) {
        double oxygen = GASES.at(2, wavelengthNm) * pressureAirMass;
        double vapour = GASES.at(3, wavelengthNm) * waterVapourCm * airMass * truths.waterVapour();
        return Math.exp(-GASES.at(1, wavelengthNm) * ozonePathCm * truths.ozone(wavelengthNm)
                - 1.41 * oxygen / Math.pow(1 + 118.3 * oxygen, 0.45)
                - 0.2385 * vapour / Math.pow(1 + 20.07 * vapour, 0.45));
    }

    private double rayleigh(double wavelengthNm) {
        double square = wavelengthNm * wavelengthNm * 1e-6;
        return Math.exp(-pressureAirMass * truths.rayleigh() / (115.6406 * square * square - 1.335 * square));
    }

    private double aerosolDepth(double wavelengthNm) {
        return truths.aerosol(wavelengthNm) * turbidity * Math.pow(wavelengthNm / 1000, -angstrom) * airMass;
    }

    /** Direct irradiance on the sea's plane just above the surface over extraterrestrial irradiance. */
    public double direct(double wavelengthNm) {
        return twilight
                * discAboveHorizon
                * cosZenith
                * absorbed(wavelengthNm)
                * rayleigh(wavelengthNm)
                * Math.exp(-aerosolDepth(wavelengthNm));
    }

    /** Diffuse irradiance just above the surface over extraterrestrial irradiance. */
    public double diffuse(double wavelengthNm) {
        double rayleigh = rayleigh(wavelengthNm);
        double depth = aerosolDepth(wavelengthNm);
        double fromAir = 0.5 * (1 - Math.pow(rayleigh, 0.95));
        double fromAerosol = Math.pow(rayleigh, 1.5) * forward * (1 - Math.exp(-singleAlbedo * depth));
        return twilight
                * cosZenith
                * absorbed(wavelengthNm)
                * Math.exp(-(1 - singleAlbedo) * depth)
                * (fromAir + fromAerosol);
    }

    /** Share of direct light that the wind-roughened, foamy surface throws back. */
    public double directReflectance() {
        return directReflectance;
    }

    /** Share of diffuse light that the surface throws back. */
    public double skyReflectance() {
        return skyReflectance;
    }

    /** Relative air mass, not corrected for pressure. */
    public double airMass() {
        return airMass;
    }

    /** Exponent of the aerosol's optical thickness in wavelength. */
    public double angstromExponent() {
        return angstrom;
    }

    /** Asymmetry parameter of the aerosol's scattering. */
    public double asymmetry() {
        return asymmetry;
    }
}
