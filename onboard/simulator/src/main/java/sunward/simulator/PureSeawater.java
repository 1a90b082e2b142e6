package sunward.simulator;

import sunward.protocol.schema.PureWaterTable;

/** Absorption and scattering of seawater without particles or dissolved organic matter. */
final class PureSeawater {
    private static final Table ABSORPTION = Table.read("pure-water.csv");
    /** Depolarisation ratio, from Zhang, Hu and He (2009). */
    private static final double DEPOLARISATION = 0.039;

    private static final double BOLTZMANN = 1.3806503e-23;
    private static final double AVOGADRO = 6.0221417930e23;
    /** Molar mass of water, kg per mol. */
    private static final double WATER_MOLAR_KG = 0.018;
    /** The salinity and temperature terms never take away more than this share of the absorption. */
    private static final double LEAST_SHARE = 0.1;

    private static final Table ULTRAVIOLET = Table.read("pure-water-ultraviolet.csv");
    /** Other tables of the ultraviolet stand alone up to here and fade out towards the next, nm. */
    private static final double ULTRAVIOLET_ALONE_NM = 410;

    private static final double ULTRAVIOLET_END_NM = 440;

    private PureSeawater() {}

    /**
     * What another table makes of the absorption of {@link #absorption}: a factor, 1 from 440 nm up and for the table
     * that it is made from. Between rows, and from 410 nm on towards 1, it runs straight in logarithm.
     */
    static double ultravioletFactor(PureWaterTable table, double wavelengthNm) {
        int column = table == PureWaterTable.CONSENSUS_2018 ? 1 : table == PureWaterTable.SMITH_BAKER_1981 ? 2 : 0;
        if (column == 0 || wavelengthNm >= ULTRAVIOLET_END_NM) {
            return 1;
        }
        double below = 10 * Math.floor(wavelengthNm / 10);
        double share = (wavelengthNm - below) / 10;
        double ln = (1 - share) * Math.log(ULTRAVIOLET.at(column, below))
                + share * Math.log(ULTRAVIOLET.at(column, below + 10))
                - Math.log(ABSORPTION.at(1, wavelengthNm));
        double kept = (ULTRAVIOLET_END_NM - wavelengthNm) / (ULTRAVIOLET_END_NM - ULTRAVIOLET_ALONE_NM);
        return Math.exp(ln * Math.min(1, kept));
    }

    /**
     * Absorption, per m: Roettgers' compilation WOPP, version 3, with its temperature and salinity terms (sources in the table).
     *
     * @param wavelengthNm 300 to 900
     */
    static double absorption(double wavelengthNm, double temperatureDegC, double salinity) {
        double fresh = ABSORPTION.at(1, wavelengthNm);
        double corrected = fresh
                + ABSORPTION.at(2, wavelengthNm) * (temperatureDegC - 20)
                + ABSORPTION.at(3, wavelengthNm) * salinity;
        return Math.max(corrected, LEAST_SHARE * fresh);
    }

    /** Relative standard uncertainty of the absorption, from the table. */
    static double absorptionUncertainty(double wavelengthNm) {
        return ABSORPTION.at(4, wavelengthNm) / ABSORPTION.at(1, wavelengthNm);
    }

    /**
     * Scattering, per m: Zhang, Hu and He (2009, Opt. Express 17, 5698), fluctuations of density and of salt; half of it is
     * backward.
     */
    static double scattering(double wavelengthNm, double temperatureDegC, double salinity) {
        return 8
                * Math.PI
                / 3
                * scatteringAcross(wavelengthNm, temperatureDegC, salinity)
                * (2 + DEPOLARISATION)
                / (1 + DEPOLARISATION);
    }

    /** Volume scattering at 90 degrees, per m and sr. */
    static double scatteringAcross(double wavelengthNm, double temperatureDegC, double salinity) {
        double t = temperatureDegC;
        double air = airIndex(wavelengthNm);
        double n = air * SeaSurface.index(wavelengthNm, t, salinity);
        double slope = air * (1.779e-4 - 1.05e-6 * t + 1.6e-8 * t * t + 0.01155 / wavelengthNm);
        double metres = wavelengthNm * 1e-9;
        double fourth = metres * metres * metres * metres;
        double king = (6 + 6 * DEPOLARISATION) / (6 - 7 * DEPOLARISATION);

        double bracket = n / 3 - 1 / (3 * n);
        double densitySlope = (n * n - 1) * (1 + 2.0 / 3 * (n * n + 2) * bracket * bracket);
        double compressibility = 1e-5 / bulkModulusBar(t, salinity);
        double byDensity = Math.PI
                * Math.PI
                / 2
                * BOLTZMANN
                * (t + 273.15)
                * compressibility
                * densitySlope
                * densitySlope
                / fourth
                * king;
        double bySalt = 2
                * Math.PI
                * Math.PI
                * n
                * n
                * salinity
                * WATER_MOLAR_KG
                * slope
                * slope
                / (density(t, salinity) * -activitySlope(t, salinity) * AVOGADRO)
                / fourth
                * king;
        return byDensity + bySalt;
    }

    /** Refractive index of air: Ciddor (1996), as Zhang, Hu and He use it. */
    private static double airIndex(double wavelengthNm) {
        double perUm2 = 1e6 / (wavelengthNm * wavelengthNm);
        return 1 + (5792105 / (238.0185 - perUm2) + 167917 / (57.362 - perUm2)) * 1e-8;
    }

    /** Change of the logarithm of water's activity with salinity: Zhang, Hu and He (2009) after Millero and Leung (1976). */
    private static double activitySlope(double t, double salinity) {
        return (-5.58651e-4 + 2.40452e-7 * t - 3.12165e-9 * t * t + 2.40808e-11 * t * t * t)
                + 1.5
                        * (1.79613e-5 - 9.9422e-8 * t + 2.08919e-9 * t * t - 1.39872e-11 * t * t * t)
                        * Math.sqrt(salinity)
                + 2 * (-2.31065e-6 - 1.37674e-9 * t - 1.93316e-11 * t * t) * salinity;
    }

    /** Density at the surface, kg m-3: the international equation of state 1980 (UNESCO 1981). */
    static double density(double t, double salinity) {
        double water = 999.842594
                + t * (6.793952e-2 + t * (-9.095290e-3 + t * (1.001685e-4 + t * (-1.120083e-6 + t * 6.536332e-9))));
        double linear = 8.24493e-1 + t * (-4.0899e-3 + t * (7.6438e-5 + t * (-8.2467e-7 + t * 5.3875e-9)));
        double root = -5.72466e-3 + t * (1.0227e-4 - t * 1.6546e-6);
        return water + salinity * (linear + root * Math.sqrt(salinity) + 4.8314e-4 * salinity);
    }

    /** Secant bulk modulus at the surface, bar: the international equation of state 1980 (UNESCO 1981). */
    static double bulkModulusBar(double t, double salinity) {
        double water = 19652.21 + t * (148.4206 + t * (-2.327105 + t * (1.360477e-2 - t * 5.155288e-5)));
        double linear = 54.6746 + t * (-0.603459 + t * (1.09987e-2 - t * 6.1670e-5));
        double root = 7.944e-2 + t * (1.6483e-2 - t * 5.3009e-4);
        return water + salinity * (linear + root * Math.sqrt(salinity));
    }
}
