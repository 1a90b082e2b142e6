package sunward.simulator;

import java.nio.file.Path;

/**
 * Optical properties of the water column: pure seawater, phytoplankton, dissolved and detrital matter, and particles, all
 * bound to one chlorophyll profile (a constant background and a Gaussian deep maximum, or a user's file) and to the cast.
 */
public final class Water {
    private static final Table PHYTOPLANKTON = Table.read("phytoplankton.csv");
    /** Where the dissolved and detrital share is told, nm. */
    private static final double REFERENCE_NM = 440;
    /** Slope of dissolved and detrital absorption, per nm: Morel (1991). */
    private static final double DISSOLVED_SLOPE = 0.014;
    /** Fall of the red chlorophyll band beyond 700 nm, nm: stands in for a table, no source. */
    private static final double RED_EDGE_NM = 12;

    private final sunward.protocol.schema.Water scene;
    private final Cast cast;
    private final double latitudeDeg;
    private final Truths truths;
    /** Stands instead of background and maximum; null: none. */
    private final DepthProfile profile;

    Water(sunward.protocol.schema.Water scene, Cast cast, double latitudeDeg, Truths truths) {
        this.scene = scene;
        this.cast = cast;
        this.latitudeDeg = latitudeDeg;
        this.truths = truths;
        String file = scene.getChlorophyllProfile();
        profile = file.isEmpty() ? null : DepthProfile.read(Path.of(file), "chlorophyll_mg_per_m3", 0.001, 100);
    }

    /** The water by the published tables as they stand. */
    public static Water published(sunward.protocol.schema.Water scene, Cast cast, double latitudeDeg) {
        return new Water(scene, cast, latitudeDeg, Truths.published());
    }

    /**
     * What the water does to light of one wavelength at one depth, all per m.
     *
     * @param absorption total
     * @param phytoplankton part of the absorption by phytoplankton
     * @param backscatter total
     * @param particleScattering scattering by particles in all directions
     * @param scattering by water and particles in all directions
     */
    public record Properties(
            double absorption,
            double phytoplankton,
            double backscatter,
            double particleScattering,
            double scattering) {}

    /** Chlorophyll, mg m-3, at a depth. */
    public double chlorophyll(double depthM) {
        if (profile != null) {
            return profile.at(depthM);
        }
        double away = (depthM - scene.getMaximumDepthM()) / scene.getMaximumWidthM();
        return scene.getSurfaceChlorophyllMgPerM3()
                + scene.getMaximumChlorophyllMgPerM3() * Math.exp(-0.5 * away * away);
    }

    /** Temperature at a depth, degC. */
    public double temperatureDegC(double depthM) {
        return cast.temperatureDegC(Seawater.pressureDbar(depthM, latitudeDeg));
    }

    /** Practical salinity at a depth. */
    public double salinity(double depthM) {
        return cast.salinity(Seawater.pressureDbar(depthM, latitudeDeg));
    }

    /** What the water does to light of a wavelength (300 to 880 nm) at a depth. */
    public Properties at(double wavelengthNm, double depthM) {
        return line(wavelengthNm).at(chlorophyll(depthM), temperatureDegC(depthM), salinity(depthM));
    }

    /** Everything of one wavelength that does not change with depth, worked out once. */
    Line line(double wavelengthNm) {
        return new Line(wavelengthNm);
    }

    /** The water at one wavelength. */
    final class Line {
        private final double wavelengthNm;
        private final double pureFactor;
        private final double phytoplanktonFactor;
        private final double dissolvedFactor;
        private final double backscatterFactor;
        private final double molecularFactor;

        private Line(double wavelengthNm) {
            this.wavelengthNm = wavelengthNm;
            pureFactor = truths.pureWater(wavelengthNm, PureSeawater.absorptionUncertainty(wavelengthNm))
                    * PureSeawater.ultravioletFactor(scene.getPureWaterTable(), wavelengthNm);
            phytoplanktonFactor = truths.phytoplankton(wavelengthNm);
            dissolvedFactor = scene.getDissolvedShare()
                    * Math.exp(-DISSOLVED_SLOPE * truths.dissolvedSlope() * (wavelengthNm - REFERENCE_NM));
            backscatterFactor = truths.backscatter(wavelengthNm);
            molecularFactor = truths.molecularScattering();
        }

        Properties at(double chlorophyll, double temperatureDegC, double salinity) {
            double pure = pureFactor * PureSeawater.absorption(wavelengthNm, temperatureDegC, salinity);
            double phytoplankton = phytoplanktonFactor * phytoplankton(wavelengthNm, chlorophyll);
            double dissolved = dissolvedFactor * phytoplankton(REFERENCE_NM, chlorophyll);
            double molecular = molecularFactor * PureSeawater.scattering(wavelengthNm, temperatureDegC, salinity);
            double particleBack = backscatterFactor * particleBackscatter(wavelengthNm, chlorophyll);
            double particles = particleScattering(wavelengthNm, chlorophyll);
            return new Properties(
                    pure + phytoplankton + dissolved,
                    phytoplankton,
                    molecular / 2 + particleBack,
                    particles,
                    molecular + particles);
        }
    }

    /**
     * Absorption by phytoplankton, per m: Bricaud et al. (1998) from 400 to 700 nm. Below, its value at 400 nm stands in;
     * above, its value at 700 nm falls off as the wing of a Gaussian. Neither stand-in has a source.
     */
    static double phytoplankton(double wavelengthNm, double chlorophyll) {
        double absorption =
                PHYTOPLANKTON.at(1, wavelengthNm) * Math.pow(chlorophyll, PHYTOPLANKTON.at(2, wavelengthNm));
        double beyond = Math.max(0, wavelengthNm - PHYTOPLANKTON.last()) / RED_EDGE_NM;
        return absorption * Math.exp(-0.5 * beyond * beyond);
    }

    /** Slope of the particles' scattering in wavelength: Morel and Maritorena (2001, equation 14). */
    private static double particleSlope(double chlorophyll) {
        return chlorophyll >= 2 ? 0 : 0.5 * (Math.log10(Math.max(0.02, chlorophyll)) - 0.3);
    }

    private static double particleScattering550(double chlorophyll) {
        return 0.416 * Math.pow(chlorophyll, 0.766);
    }

    static double particleScattering(double wavelengthNm, double chlorophyll) {
        return particleScattering550(chlorophyll) * Math.pow(wavelengthNm / 550, particleSlope(chlorophyll));
    }

    /** Backscatter of particles, per m: Morel and Maritorena (2001, equations 12 to 14). */
    static double particleBackscatter(double wavelengthNm, double chlorophyll) {
        double slope = Math.pow(wavelengthNm / 550, particleSlope(chlorophyll));
        double share = 0.002 + 0.01 * (0.50 - 0.25 * Math.log10(chlorophyll)) * slope;
        return share * particleScattering550(chlorophyll);
    }
}
