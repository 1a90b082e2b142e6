package sunward.simulator;

import java.util.EnumMap;
import java.util.Map;

/**
 * How the true sea and sky differ from the published tables: smooth factors within the tables' uncertainty, drawn from the
 * scene's seed. Shore uses published tables too, so without these it could be exact merely by sharing one. Where a table
 * states no uncertainty, the size here is a judgement of this project (common practice, no source).
 */
final class Truths {
    private static final int TERMS = 24;
    /** Shapes are tabulated here and run straight between; their correlation lengths are far longer than a step. */
    private static final double FIRST_NM = 300;

    private static final double STEP_NM = 2;
    /** So far outside its range the fit of the refractive index is twice as uncertain as within (a judgement). */
    private static final double INDEX_DOUBLES_NM = 40;

    private static final int STEPS = 291;

    /** Deviation by wavelength, relative or in units of the table's uncertainty; empty: as published. */
    private final Map<Part, double[]> deviations = new EnumMap<>(Part.class);

    /** What is perturbed: relative standard deviation of level and of shape, correlation length of the shape in nm. */
    private enum Part {
        SUN(0.005, 0.005, 60),
        OZONE(0.02, 0.01, 60),
        RAYLEIGH(0.003, 0, 100),
        AEROSOL(0.05, 0.02, 150),
        WATER_VAPOUR(0.05, 0, 100),
        /** Drawn in units of the table's own uncertainty. */
        PURE_WATER(0.5, 0.8, 25),
        MOLECULAR_SCATTERING(0.02, 0, 100),
        PHYTOPLANKTON(0.05, 0.05, 30),
        DISSOLVED_SLOPE(0.06, 0, 100),
        BACKSCATTER(0.05, 0.03, 150),
        REFLECTANCE(0.02, 0.01, 100),
        RAMAN(0.04, 0.01, 60),
        RAMAN_EXPONENT(0.04, 0, 100),
        FLUORESCENCE(0.25, 0, 100),
        INDEX(1e-4, 5e-5, 100),
        /** What a flat-surface transmission leaves out. */
        SURFACE(0.001, 0, 100);

        private final double levelSd;
        private final double shapeSd;
        private final double correlationNm;

        Part(double levelSd, double shapeSd, double correlationNm) {
            this.levelSd = levelSd;
            this.shapeSd = shapeSd;
            this.correlationNm = correlationNm;
        }
    }

    private Truths() {}

    /** The tables as published. */
    static Truths published() {
        return new Truths();
    }

    /** The tables as they are in the sea and sky of one scene seed. */
    static Truths drawn(long sceneSeed) {
        Truths truths = new Truths();
        for (Part part : Part.values()) {
            // The name, not the place in the list, is the address: adding a part leaves the others' numbers alone.
            long address = Noise.hash(sceneSeed, part.name().hashCode());
            // Levels beyond two and a half standard deviations would be another sea, not this one's uncertainty.
            double level = Math.max(-2.5, Math.min(2.5, Noise.gaussian(Noise.hash(address, 2))));
            SmoothRandom shape = SmoothRandom.correlated(Noise.hash(address, 1), TERMS, part.correlationNm);
            double[] deviation = new double[STEPS];
            for (int i = 0; i < STEPS; i++) {
                deviation[i] = part.levelSd * level + part.shapeSd * shape.at(FIRST_NM + STEP_NM * i);
            }
            truths.deviations.put(part, deviation);
        }
        return truths;
    }

    private double deviation(Part part, double wavelengthNm) {
        double[] deviation = deviations.get(part);
        if (deviation == null) {
            return 0;
        }
        double place = Math.max(0, Math.min(STEPS - 1.001, (wavelengthNm - FIRST_NM) / STEP_NM));
        int i = (int) place;
        return deviation[i] + (place - i) * (deviation[i + 1] - deviation[i]);
    }

    private double factor(Part part, double wavelengthNm) {
        return StrictMath.exp(deviation(part, wavelengthNm));
    }

    double sun(double wavelengthNm) {
        return factor(Part.SUN, wavelengthNm);
    }

    double ozone(double wavelengthNm) {
        return factor(Part.OZONE, wavelengthNm);
    }

    double rayleigh() {
        return factor(Part.RAYLEIGH, 0);
    }

    double aerosol(double wavelengthNm) {
        return factor(Part.AEROSOL, wavelengthNm);
    }

    double waterVapour() {
        return factor(Part.WATER_VAPOUR, 0);
    }

    /** Factor on pure-water absorption whose relative standard uncertainty is given. */
    double pureWater(double wavelengthNm, double relativeUncertainty) {
        return StrictMath.exp(relativeUncertainty * deviation(Part.PURE_WATER, wavelengthNm));
    }

    double molecularScattering() {
        return factor(Part.MOLECULAR_SCATTERING, 0);
    }

    double phytoplankton(double wavelengthNm) {
        return factor(Part.PHYTOPLANKTON, wavelengthNm);
    }

    double dissolvedSlope() {
        return factor(Part.DISSOLVED_SLOPE, 0);
    }

    double backscatter(double wavelengthNm) {
        return factor(Part.BACKSCATTER, wavelengthNm);
    }

    /** Factor on the reflectance that the optical properties give: shape of the scattering, sun height, polarisation. */
    double reflectance(double wavelengthNm) {
        return factor(Part.REFLECTANCE, wavelengthNm);
    }

    double raman(double wavelengthNm) {
        return factor(Part.RAMAN, wavelengthNm);
    }

    double ramanExponent() {
        return factor(Part.RAMAN_EXPONENT, 0);
    }

    /** Factor on the refractive index of seawater, whose published fit holds from 400 to 700 nm and is less sure the further outside. */
    double index(double wavelengthNm) {
        double outside = Math.max(0, Math.max(400 - wavelengthNm, wavelengthNm - 700));
        return StrictMath.exp((1 + outside / INDEX_DOUBLES_NM) * deviation(Part.INDEX, wavelengthNm));
    }

    /** Factor on the transmission of upwelling radiance through the surface. */
    double surface() {
        return factor(Part.SURFACE, 0);
    }

    double fluorescence() {
        return factor(Part.FLUORESCENCE, 0);
    }
}
